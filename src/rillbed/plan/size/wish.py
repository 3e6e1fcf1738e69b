"""What somebody who has no loop yet knows: appetite, space, fish, place; everything else has a sane default."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rillbed import facts
from rillbed.garden.errors import GardenError, one_of
from rillbed.tongue import current, tr

GROUNDS = ("soil", "concrete", "upper")
KINDS = ("media", "raft", "nft")
PLACES = ("indoors", "greenhouse", "outdoors")
MOST = {"greens_week": 1000.0, "fish_month": 1000.0, "floor_m2": 10_000.0, "fish_count": 10_000.0}
CEILINGS = {"kwh_price": 100.0, "feed_price_kg": 1000.0, "source_na_mg_l": 1000.0}


@dataclass(frozen=True, kw_only=True)
class Wish:
    """What the loop is to be sized for; at least one of the first four must be given.

    Attributes
    ----------
    greens_week : float or None
        Portions of leaves and herbs a week, in season.
    fish_month : float or None
        Portions of fish a month.
    floor_m2 : float or None
        Floor there is, paths included, m2.
    fish_count : float or None
        Fish one would like to keep.
    place, latitude_deg, longitude_deg, elevation_m, town
        Where it stands; a town's normals are its weather.
    heater_set_c : float or None
        Water is kept at least this warm, degC.
    bed_kind, medium
        Media, raft or channels; a medium only for media beds.
    species : str
        Kind of fish, an id in `facts.species()`.
    feed : str or None
        Feed, an id in `facts.feeds()`.
    ground : str
        soil, concrete, or upper: anything with a room below it.
    seasoned : bool
        Whether the keeper has alarms and years of practice: denser fish.
    supplements : bool
        Whether iron, potassium and calcium come from the shelf; else feed must bring them.
    kwh_price, feed_price_kg : float or None
        In any one money; None leaves its cost out.
    source_na_mg_l : float or None
        Sodium of the source water, mg/L.
    """

    greens_week: float | None = None
    fish_month: float | None = None
    floor_m2: float | None = None
    fish_count: float | None = None
    place: Literal["indoors", "greenhouse", "outdoors"] = "outdoors"
    latitude_deg: float = 0.0
    longitude_deg: float = 0.0
    elevation_m: float = 0.0
    town: str | None = None
    heater_set_c: float | None = None
    bed_kind: Literal["media", "raft", "nft"] = "media"
    medium: str | None = None
    species: str
    feed: str | None = None
    ground: Literal["soil", "concrete", "upper"] = "soil"
    seasoned: bool = False
    supplements: bool = True
    kwh_price: float | None = None
    feed_price_kg: float | None = None
    source_na_mg_l: float | None = None

    def __post_init__(self) -> None:
        if all(getattr(self, name) is None for name in MOST):
            told = tr("one of {names} must be given").format(names=", ".join(MOST))
            raise GardenError("greens_week", "nothing", told)
        for name, most in (MOST | CEILINGS).items():
            value = getattr(self, name)
            low = 0.0 if name in CEILINGS else 1e-9
            if value is not None and not low <= value <= most:
                text = tr("must be from 0 to {most}") if name in CEILINGS else tr("must be above 0 to {most}")
                raise GardenError(name, value, text.format(most=current().number(f"{most:g}")))
        for name, allowed in (("ground", GROUNDS), ("bed_kind", KINDS), ("place", PLACES)):
            if getattr(self, name) not in allowed:
                raise GardenError(name, getattr(self, name), one_of(allowed))
        if self.species not in facts.species():
            raise GardenError("species", self.species, one_of(sorted(facts.species())))
        if self.feed is not None and self.feed not in facts.feeds():
            raise GardenError("feed", self.feed, one_of(sorted(facts.feeds())))
        if self.medium is not None and self.bed_kind != "media":
            raise GardenError("medium", self.medium, tr("only a media bed has one"))
        if self.medium is not None and self.medium not in facts.media():
            raise GardenError("medium", self.medium, one_of(sorted(facts.media())))
