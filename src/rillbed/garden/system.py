"""What the user has: the loop as it stands, one value valid from the day it was set up or changed."""

from __future__ import annotations

from datetime import UTC, date, datetime
from functools import cached_property
from typing import Annotated, Final, Literal, Self
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import Field, model_validator

from rillbed import facts
from rillbed.garden.base import Frozen
from rillbed.garden.errors import GardenError, must_be_known
from rillbed.garden.household import Household
from rillbed.garden.kits import Kit
from rillbed.garden.known import CropId, FeedId, SourceId, SpeciesId, SupplyId, TownId
from rillbed.garden.products import Product, is_own
from rillbed.tongue import later, tr

SYSTEM_FORMAT: Final = 1
Name = Annotated[str, Field(min_length=1, max_length=80)]
Positive = Annotated[float, Field(gt=0)]
NotNegative = Annotated[float, Field(ge=0)]


class Tank(Frozen):
    """One vessel of the loop; `volume_l` is the water it holds in use."""

    name: Name
    volume_l: Annotated[float, Field(gt=0, le=1e6)]
    kind: Literal["fish", "sump"] = "fish"
    volume_typed: str | None = None  # as entered, e.g. "300 gal_us"


class Bed(Frozen):
    """One growing bed; `water_depth_cm` is the mean depth of water while it runs."""

    name: Name
    kind: Literal["media", "raft", "nft"]
    area_m2: Annotated[float, Field(gt=0, le=1e5)]
    medium: str | None = None  # id in facts.media(); media beds only
    depth_cm: Annotated[float, Field(gt=0, le=200)] | None = None  # depth of the medium
    water_depth_cm: Annotated[float, Field(ge=0, le=200)] | None = None
    water_fraction: Annotated[float, Field(gt=0, le=1)] | None = None  # pore space; None = that of the medium
    area_typed: str | None = None
    headroom_cm: Annotated[float, Field(gt=0, le=2000)] | None = None  # how tall plants may get; None = no limit
    shade_share: Annotated[float, Field(ge=0, lt=1)] = 0.0  # part of the light that does not reach the bed
    shades: tuple[Name, ...] = ()  # beds that lie in the shadow of what grows tall here

    @property
    def water_m3(self) -> float:
        """Water standing in the bed on average, m³; 0 where no depth of water is known."""
        depth_m = (self.water_depth_cm or 0.0) / 100.0
        return self.area_m2 * depth_m * self.pore_fraction

    @property
    def pore_fraction(self) -> float:
        """Share of the wetted depth that is water: as measured, else that of the medium; 1 in a raft or channel."""
        if self.kind != "media":
            return 1.0
        if self.water_fraction is not None:
            return self.water_fraction
        return facts.media()[self.medium].pore_fraction if self.medium else facts.choice("bed.pore_fraction")


class SourceWater(Frozen):
    """The water the loop is filled and topped up with; None = unknown. Nitrogen as N, phosphorus as P, sulfate as S."""

    alkalinity_meq_l: Annotated[float, Field(ge=-5, le=50)] | None = None
    ph: Annotated[float, Field(ge=3, le=12)] | None = None
    ca_mg_l: NotNegative | None = None
    mg_mg_l: NotNegative | None = None
    k_mg_l: NotNegative | None = None
    na_mg_l: NotNegative | None = None
    cl_mg_l: NotNegative | None = None
    so4_s_mg_l: NotNegative | None = None
    no3_n_mg_l: NotNegative | None = None
    p_mg_l: NotNegative | None = None
    fe_mg_l: NotNegative | None = None
    free_chlorine_mg_l: NotNegative | None = None
    chloramine_mg_l: NotNegative | None = None


class AmmoniaSource(Frozen):
    """The ammonia source at hand; `source` is an id in facts.ammonia_sources()."""

    source: SourceId
    strength_pct: Annotated[float, Field(gt=0, le=100)] | None = None  # by weight, as on the label
    density_g_ml: Annotated[float, Field(gt=0.5, lt=2)] | None = None
    stock_ml: NotNegative | None = None  # how much is on the shelf
    stock_g: NotNegative | None = None


class Price(Frozen):
    """What one kilogram of a supply costs, in the user's money."""

    supply: SupplyId
    per_kg: Positive


class PlannedFish(Frozen):
    """Fish that are to arrive; `weight_g` is the mean weight of one."""

    species: SpeciesId
    count: Annotated[int, Field(gt=0, le=100_000)]
    weight_g: Annotated[float, Field(gt=0, le=50_000)]
    on: date | None = None


class PlannedPlanting(Frozen):
    """Plants that are to go in."""

    crop: CropId
    count: Annotated[int, Field(gt=0, le=100_000)]
    bed: Name
    on: date


class System(Frozen):
    """A whole loop.

    Notes
    -----
    Volumes are litres, areas m², temperatures °C, and concentrations mg/L at this edge; nitrogen is always as N.
    """

    format: Literal[1] = SYSTEM_FORMAT
    name: Name
    latitude_deg: Annotated[float, Field(ge=-90, le=90)]
    longitude_deg: Annotated[float, Field(ge=-180, le=180)] = 0.0
    elevation_m: Annotated[float, Field(ge=-450, le=6000)] = 0.0
    time_zone: str = "UTC"
    place: Literal["indoors", "greenhouse", "outdoors"]
    town: TownId | None = None
    tanks: tuple[Tank, ...] = Field(min_length=1)
    beds: tuple[Bed, ...] = ()
    aeration: Literal["stones", "cascade", "strong"] = "stones"
    source_water: SourceWater = SourceWater()
    seeding: Literal["none", "pond", "mature"] = "none"
    heater_set_c: Annotated[float, Field(ge=5, le=40)] | None = None
    water_temp_c: tuple[Annotated[float, Field(ge=0, le=45)], ...] | None = None  # January to December
    feed: FeedId | None = None
    kits: tuple[Kit, ...] = ()
    shelf: tuple[SupplyId, ...] = ()
    products: tuple[Product, ...] = ()
    prices: tuple[Price, ...] = ()
    ammonia_source: AmmoniaSource | None = None
    startup_path: Literal["fishless", "fish_in", "stocked", "running"] = "fishless"
    started_on: date
    meals_per_day: Annotated[int, Field(ge=1, le=24)] = 2
    planned_fish: tuple[PlannedFish, ...] = ()
    planned_feed_g_day: NotNegative | None = None
    household: Household | None = None
    seed_tray_places: Annotated[int, Field(ge=0, le=1_000_000)] | None = None  # seedlings the trays hold

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        for field, items in (("tanks", self.tanks), ("beds", self.beds), ("kits", self.kits)):
            names = [item.name for item in items]
            for name in names:
                if names.count(name) > 1:
                    raise GardenError(
                        f"{field}.name", name, tr("each of the {things} needs its own name").format(things=tr(field))
                    )
        if not any(tank.kind == "fish" for tank in self.tanks):
            raise GardenError("tanks.kind", "sump", tr("at least one tank must be of kind fish"))
        if self.water_temp_c is not None and len(self.water_temp_c) != 12:
            raise GardenError("water_temp_c", len(self.water_temp_c), tr("needs twelve values, January to December"))
        for number, bed in enumerate(self.beds):
            if bed.medium is not None:
                must_be_known(f"beds.{number}.medium", bed.medium, facts.media(), later("growing medium"))
            for other in bed.shades:
                if other == bed.name or other not in {b.name for b in self.beds}:
                    raise GardenError(f"beds.{number}.shades", other, tr("must name another bed of the loop"))
        for fish in self.planned_fish:
            if fish.on is not None and fish.on < self.started_on:
                raise GardenError(
                    "planned_fish.on", fish.on, tr("must not be before started_on, {day}").format(day=self.started_on)
                )
        for ids in [item.id for item in self.products], list(self.shelf):
            twice = next((name for name in ids if is_own(name) and ids.count(name) > 1), None)
            if twice is not None:
                raise GardenError(
                    "products.id", twice, tr("each product needs its own id, and stands on the shelf once")
                )
        for name in (*self.shelf, *(item.supply for item in self.prices)):
            if is_own(name):
                self.product(name)
        self._zone()
        return self

    def product(self, name: str) -> Product:
        """Own product by its id.

        Raises
        ------
        GardenError
            If it is not among the products.
        """
        must_be_known("product", name, {item.id for item in self.products}, later("product of this loop"))
        return next(item for item in self.products if item.id == name)

    def _zone(self) -> ZoneInfo | None:
        if self.time_zone == "UTC":
            return None
        try:
            return ZoneInfo(self.time_zone)
        except (ZoneInfoNotFoundError, ValueError):
            raise GardenError("time_zone", self.time_zone, tr("needs a zone name such as Australia/Perth")) from None

    @cached_property
    def total_volume_m3(self) -> float:
        """Water in tanks, sumps and beds, m³."""
        return self.tank_volume_m3 + sum(bed.water_m3 for bed in self.beds)

    @cached_property
    def tank_volume_m3(self) -> float:
        """Water in all tanks and sumps, m³."""
        return sum(tank.volume_l for tank in self.tanks) / 1000.0

    @cached_property
    def fish_tank_volume_m3(self) -> float:
        """Water in the fish tanks alone, m³: what fish have in a power cut."""
        return sum(tank.volume_l for tank in self.tanks if tank.kind == "fish") / 1000.0

    @cached_property
    def bed_area_m2(self) -> float:
        """Area of all beds, m²."""
        return sum(bed.area_m2 for bed in self.beds)

    def day_of(self, at: datetime) -> date:
        """Return the calendar day of a moment where the loop stands; `at` must be aware."""
        return at.astimezone(self._zone() or UTC).date()
