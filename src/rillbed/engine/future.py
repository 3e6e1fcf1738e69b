"""What is assumed about the days after the log: one frozen value, compared by What-if."""

from dataclasses import dataclass
from datetime import date

from rillbed import facts
from rillbed.garden.log import LogEntry
from rillbed.science.dosing import Form


@dataclass(frozen=True)
class Arrival:
    """Fish that will go in: species id, count, mean weight (g), day."""

    species: str
    count: float
    weight_g: float
    on: date


@dataclass(frozen=True)
class Sowing:
    """Plants that will go in: crop id, number of plants, day."""

    crop: str
    count: float
    on: date


@dataclass(frozen=True)
class Pause:
    """Days with less feed or none, both ends included."""

    first: date
    last: date
    feed_share: float = 0.0


@dataclass(frozen=True)
class Future:
    """Rules that act after the last day of the log.

    Parameters
    ----------
    refill_to_mg_l, refill_below_mg_l, hold_no2_mg_l
        Start-up dose rule, all as N: when TAN is under `refill_below_mg_l` bring it to `refill_to_mg_l`, unless
        nitrite is at or above `hold_no2_mg_l`. `refill_to_mg_l` None switches the rule off.
    refill_salt
        True when the ammonia comes with its own acid anion (a chloride salt): no alkalinity is brought.
    refill_bound_share
        Part of a refill that comes free only over days, as organic nitrogen does (0 to 1). The next one then waits
        until little is still to come; the full load, and every dose after the first such, is ammonia.
    full_load_mg_l
        The load (mg/L as N) given in place of the refill once the water reads clear; its disappearance in 24 h, two
        days running, is completion. Take what the planned feed will make in a day.
    clear_mg_l
        TAN and nitrite-N must both be under this to count as gone.
    base_floor_meq_l, base_target_meq_l, base_element
        When alkalinity falls under the floor it is brought to the target with a base of this element (k, ca, na).
    base_form, base_ph_step
        What the base is (bicarbonate, carbonate or hydroxide), and the most pH may rise by one day's dose.
    feed_share
        Factor on the growth-driven ration; 0 is a fast.
    feed_g_day
        A fixed ration instead of the growth-driven one.
    pauses
        Days on which that ration is cut, a holiday for example. Those of the log are among them only if they are put
        there (see `happened.pauses_of`): what is thought about may take their place.
    fish, plantings
        Arrivals and sowings to come.
    planned
        Entries that have not happened: they act on their day, after the last day of the log, as if logged then.
    replant
        Cropped plantings are followed by the same again.
    supplement_to_mg_l
        Element name to concentration kept by additions (for example {"k": 20, "fe": 1}), weekly.
    temp_c
        Twelve monthly water temperatures that override the system's.
    drain_l_day
        Water drained on purpose and replaced by source water.
    """

    refill_to_mg_l: float | None = None
    refill_below_mg_l: float = facts.value("start.refill_below")
    hold_no2_mg_l: float = facts.value("plan.hold_no2")
    refill_salt: bool = True
    refill_bound_share: float = 0.0
    full_load_mg_l: float = facts.value("start.refill_to")
    clear_mg_l: float = facts.value("start.clear_below")
    base_floor_meq_l: float | None = None
    base_target_meq_l: float = facts.choice("run.base_target_meq_l")
    base_element: str = "k"
    base_form: Form = "bicarbonate"
    base_ph_step: float = facts.value("dosing.ph_step")
    feed_share: float = 1.0
    feed_g_day: float | None = None
    pauses: tuple[Pause, ...] = ()
    fish: tuple[Arrival, ...] = ()
    plantings: tuple[Sowing, ...] = ()
    planned: tuple[LogEntry, ...] = ()
    replant: bool = True
    supplement_to_mg_l: tuple[tuple[str, float], ...] = ()
    temp_c: tuple[float, ...] | None = None
    drain_l_day: float = 0.0
