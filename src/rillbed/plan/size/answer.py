"""What sizing answers: several loops side by side, each with the limit that binds."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.bands import Band

OUTSIDE = ("space", "filter")  # tank and feed are cut to the fish and the beds
ROUNDED = 1.01  # share of the floor that whole fish and whole tanks may run over
NEARLY = 0.95


@dataclass(frozen=True)
class Use:
    """How much of a limit a loop uses, 1 being all of it."""

    limit: str
    share: Band

    @property
    def over(self) -> bool:
        """Whether it is more than there is; a tank rounded up to ten litres is not what makes a floor too small."""
        return self.share.middle > (ROUNDED if self.limit == "space" else 1.0 + 1e-6)


@dataclass(frozen=True)
class Stage:
    """One step of building up, weeks after filling; `many` is what the step counts."""

    code: str
    week: Band
    many: float | None = None


@dataclass(frozen=True)
class Option:
    """One loop.

    Attributes
    ----------
    code : str
        small, middle (the largest that is wished for and fits) or large.
    bed_m2, tables, places : float, int, int
        Beds, frames they stand on, and plants at the usual distance.
    tank_l, sump_l, loop_l : float
        Fish tank, sump, and all the water.
    fish_count, most_biomass_g : float
        Fish kept on average, and their mass on the fullest day.
    feed_g_day : Band
        Feed of a mean day once the loop is full; the high end is the fullest day.
    balance_g_day, rule_g_day : Band
        Feed the beds ask for, by the nitrogen plants take and by the feed rule.
    greens_week, fish_month : float
        Portions, the first in season.
    floor_m2, foot_kg, floor_kg_m2 : float
        Floor with paths, weight on the heaviest foot, and the heaviest load on the floor under a tank or bed.
    pump_l_h, pump_w, air_l_min, air_w : float
        What moves water and air.
    filter_m2, filter_needs_m2 : float
        Surface for bacteria, and what the fullest day asks.
    kwh_month, heat_kwh_month : Band
        Electricity of pump and air; of the heater in the mildest, a mean and the coldest month.
    water_l_day, bleed_l_day : Band, float
        Water lost to the air from the coolest to the warmest month; water to drain so that sodium stays low.
    cost_month : Band or None
        In the money of the prices given.
    uses : tuple of Use
        Every limit, fullest first; what a floor may bear comes last.
    fits : bool
        Whether it keeps within all that was given; what a floor bears only an engineer can say.
    system : System
        The loop as a system file, ready to be changed.
    """

    code: str
    bed_m2: float
    tables: int
    places: int
    tank_l: float
    sump_l: float
    loop_l: float
    fish_count: int
    most_biomass_g: float
    feed_g_day: Band
    balance_g_day: Band
    rule_g_day: Band
    greens_week: float
    fish_month: float
    floor_m2: float
    foot_kg: float
    floor_kg_m2: float
    pump_l_h: float
    pump_w: float
    air_l_min: float
    air_w: float
    filter_m2: float
    filter_needs_m2: float
    kwh_month: Band
    heat_kwh_month: Band
    water_l_day: Band
    bleed_l_day: float
    cost_month: Band | None
    uses: tuple[Use, ...]
    fits: bool
    system: System

    @property
    def binds(self) -> str:
        """What stops it from being bigger: the fullest of the limits it was not cut to itself, else the wish."""
        own = [use for use in self.uses if use.limit in OUTSIDE and use.share.middle > NEARLY]
        return own[0].limit if own else "wish"


@dataclass(frozen=True)
class Sizing:
    """Answer to a wish.

    Attributes
    ----------
    options : tuple of Option
        Small, the one that fits, and large.
    verdict : tuple of Reason
        What can be had and what stops more.
    crops : tuple of str
        Crops it was worked out with: the easiest of the season.
    species : str
    days_to_table : int
        From purchase to harvest weight.
    stages : tuple of Stage
        Of the middle loop.
    cautions : tuple of str
        Codes; they hold for every option.
    """

    options: tuple[Option, ...]
    verdict: tuple[Reason, ...]
    crops: tuple[str, ...]
    species: str
    days_to_table: int
    stages: tuple[Stage, ...]
    cautions: tuple[str, ...]
