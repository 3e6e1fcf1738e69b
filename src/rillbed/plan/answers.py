"""What the plans hand back: plain frozen records of numbers and codes, ready for words, pages and JSON."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from rillbed.plan.advice import Advice, Reason, Values
from rillbed.plan.bands import Band as Band
from rillbed.plan.learned import Learned
from rillbed.plan.startup import Startup


@dataclass(frozen=True)
class Dose:
    """Amount of one ammonia source for one rise of nitrogen.

    Attributes
    ----------
    source : str
        Row of the table of ammonia sources.
    amount, unit
        What to measure out, in ``g`` or ``mL``.
    target_mg_l, volume_l : float
        Rise asked for (mg N/L, all of it once released) and the water it is meant for.
    nitrogen_g : float
        Nitrogen the dose brings, g N.
    at_once_mg_l : float
        Part of the rise an ammonia kit can see at once, mg N/L.
    alkalinity_used_meq_l : float
        Alkalinity used until all of it is nitrate, meq/L (negative never).
    brings_mg_l : mapping
        Other elements it adds, mg/L.
    organic : bool
        Whether the nitrogen comes free over days, so that the ledger and not the kit decides on the next dose.
    cautions : tuple of str
        Codes of cautions that stand on the dose.
    grade, source_ref : str
        Grade and source of the composition used.
    """

    source: str
    amount: float
    unit: str
    target_mg_l: float
    volume_l: float
    nitrogen_g: float
    at_once_mg_l: float
    alkalinity_used_meq_l: float
    brings_mg_l: Mapping[str, float] = field(default_factory=dict)
    organic: bool = False
    cautions: tuple[str, ...] = ()
    grade: str = ""
    source_ref: str = ""


@dataclass(frozen=True)
class Sowing:
    """When to sow so that the tray is three to six weeks old when the loop is ready."""

    on: date
    chance: float
    tray_from_days: int
    tray_to_days: int


@dataclass(frozen=True)
class CyclingPlan:
    """Where a start-up stands and what is next.

    ``stage`` is one of new, ammonia, nitrite, proving, ready; ``completion`` holds the 10, 50 and 90 % dates
    (``None`` past the horizon); ``dots`` are twenty dates, each one chance in twenty.
    """

    path: str
    stage: str
    advice: tuple[Advice, ...]
    completion: tuple[date | None, date | None, date | None]
    chance_within_horizon: float
    dots: tuple[date | None, ...]
    still_to_come_mg_l: float
    ready_load_g_day: Band | None
    planned_load_g_day: float | None
    sowing: Sowing | None
    basis: str = "prior"

    @property
    def dose_alkalinity_meq_l(self) -> float:
        """Alkalinity that today's dose of ammonia will use, meq/L; 0 on a day without one."""
        return sum(float(str(item.params.get("alkalinity_meq_l", 0.0))) for item in self.advice)


@dataclass(frozen=True)
class Ration:
    """Feed for one fish group today: g per meal and per day, and why it is not more."""

    group: str
    species: str
    count: int
    weight_g: float
    biomass_g: float
    meals: int
    per_meal_g: float
    per_day_g: float
    share_per_day: float
    fed_today_g: float
    limits: tuple[Reason, ...] = ()


@dataclass(frozen=True)
class Binding:
    """How often one limit is the one that binds, and the middle day on which it does."""

    limit: str
    chance: float
    day: int


@dataclass(frozen=True)
class Room:
    """How much more planting the loop carries, seen two ways.

    Attributes
    ----------
    crop : str
        Crop the batch is counted in; ``places_m2`` plants stand on one square metre.
    next_batch : int or None
        Plants of one more batch at ``confidence``, ``None`` when the members cannot tell.
    next_batch_half : int
        The same at even chances.
    nitrogen_half : int
        The nitrogen view alone at even chances, whatever other elements do.
    steady_m2 : Band
        Area kept planted for good that nitrogen carries at the current feed, m2.
    rule_m2 : tuple of float
        Area by the feed-rate rule, low and high end, m2.
    rule_band_g_m2_day : tuple of float
        Grams of feed per m2 and day the rule asks for.
    free_plants : int
        Plants of this crop that still fit on the beds.
    binding : tuple of Binding
        Limits in order of how often they bind.
    supplement_g : mapping
        Element that must be added for the batch, g.
    state : str
        young, ramping or steady.
    missing : tuple of str
        Elements to add before anything more can be planted, the shortest supply first.
    next_batch_then : int
        Plants of one more batch once they are added, at ``confidence``.
    instead : tuple of (str, int)
        Other crops of the season and how many of each would be carried in place of this batch, as it is counted here.
    staged : Reason or None
        "n now, more when nitrate reads at least x on two tests".
    outgrown : Reason or None
        When nitrogen is made for more than all beds, if it comes to that.
    rule_n_g_m2_day, demand_n_g_m2_day
        Nitrogen in the feed the rule asks for (low and high end) and in what one square metre of the crop takes up.
    """

    on: date
    crop: str
    confidence: float
    places_m2: float
    next_batch: int | None
    next_batch_half: int
    nitrogen_half: int
    life_days: int
    steady_m2: Band
    rule_m2: tuple[float, float]
    rule_band_g_m2_day: tuple[float, float]
    feed_g_day: float
    free_plants: int
    binding: tuple[Binding, ...]
    supplement_g: Mapping[str, float]
    state: str
    staged: Reason | None = None
    outgrown: Reason | None = None
    rule_n_g_m2_day: tuple[float, float] = (0.0, 0.0)
    demand_n_g_m2_day: float = 0.0
    missing: tuple[str, ...] = ()
    next_batch_then: int = 0
    instead: tuple[tuple[str, int], ...] = ()
    notes: tuple[Reason, ...] = ()
    basis: str = "prior"


@dataclass(frozen=True)
class ReadingDue:
    """A reading that is due: quantity, when it was last taken, why it matters now."""

    quantity: str
    last: date | None
    every_days: int
    overdue_days: int
    why: str


@dataclass(frozen=True)
class Level:
    """One element in the water.

    Attributes
    ----------
    element : str
        n (as nitrate), p, k, ca, mg or fe.
    mg_l : Band
        What is there: the reading's interval with its middle, else the members' 10, 50 and 90 % points.
    read_on : date or None
        Day of the reading, ``None`` where only the model speaks.
    floor_mg_l, target_mg_l : float
        Least that plants need, and the lower end of the working target.
    state : str
        missing (surely below the floor), unsure (perhaps below it) or present.
    """

    element: str
    mg_l: Band
    read_on: date | None
    floor_mg_l: float
    target_mg_l: float

    @property
    def state(self) -> str:
        """Judge the range against the floor."""
        if self.mg_l.high < self.floor_mg_l:
            return "missing"
        return "present" if self.mg_l.low >= self.floor_mg_l else "unsure"


@dataclass(frozen=True)
class Today:
    """Everything the Today page and ``rillbed today`` show."""

    on: date
    system: str
    verdict: Reason
    advice: tuple[Advice, ...]
    coming_up: tuple[Reason, ...]
    readings_due: tuple[ReadingDue, ...]
    glance: Mapping[str, Band]
    flows_g_n_day: Mapping[str, float]
    rations: tuple[Ration, ...]
    room: Room | None
    cycling: CyclingPlan | None
    nutrients: tuple[Level, ...] = ()
    notes: tuple[Reason, ...] = ()
    stop: str = ""
    digest: str = ""
    basis: str = "prior"
    known: Learned | None = None
    start: Startup | None = None
    figures: Values = field(default_factory=dict)
