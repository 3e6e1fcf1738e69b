"""What a verdict is made of: one band for each question about the water, in the order of safety."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from rillbed.plan.advice import Reason

Level = Literal["safe", "watch", "act", "danger"]
LEVELS: tuple[Level, ...] = ("safe", "watch", "act", "danger")

# The order of safety: oxygen, what poisons, how fast pH moves, then what works over days, then plants.
ORDER = (
    "o2", "chlorine", "chloramine", "nh3_n", "no2_n", "co2", "ph_rate", "temperature", "ph", "tan", "alkalinity",
    "no3_n", "hardness", "ec",
)  # fmt: skip


@dataclass(frozen=True)
class Band:
    """How one quantity stands.

    Attributes
    ----------
    quantity : str
        Name of the quantity in the log (``tan`` stands behind ``nh3_n``).
    code : str
        One of `ORDER`.
    level : str
        The verdict: at least the level of the worst value the reading allows; plausible waters only make it stricter.
    probabilities : mapping of level to float
        Share of the plausible waters at each level, summing to one.
    worst : float
        Worst value consistent with the readings, infinite beyond the end of a kit.
    low, high : float
        Ends of what the readings allow, in ``unit``.
    unit : str
        mg/L (nitrogen as N), meq/L, degC, mS/cm or none.
    limits : mapping of level to (low, high)
        Ends of the range outside which a level begins; ``None`` where it is open.
    binding : str
        Whose limit is the strictest: a species id, ``fish``, ``cold_fish``, ``warm_fish``, ``loop``, ``plants``.
    applies : bool
        Whether anything lives in the water that this band is about.
    age_days : int or None
        Age of the oldest reading behind it; ``None`` where nothing was read and the model, or an assumption, speaks.
    basis : str
        ``reading``, ``model`` or ``assumed``: the weakest of what it stands on.
    reasons : tuple of Reason
        The evidence.
    grade : str
        Grade of the limit that decided.
    sources : tuple of str
        Keys of ``facts.sources()``.
    facts : tuple of str
        Keys of the figures used.
    """

    quantity: str
    code: str
    level: Level
    probabilities: Mapping[Level, float]
    worst: float
    low: float
    high: float
    unit: str
    limits: Mapping[Level, tuple[float | None, float | None]] = field(default_factory=dict)
    binding: str = "fish"
    applies: bool = True
    age_days: int | None = None
    basis: str = "reading"
    reasons: tuple[Reason, ...] = ()
    grade: str = ""
    sources: tuple[str, ...] = ()
    facts: tuple[str, ...] = ()

    def chance(self, level: Level) -> float:
        """Share of the plausible waters at this level or a worse one."""
        return sum(self.probabilities.get(item, 0.0) for item in LEVELS[LEVELS.index(level) :])


@dataclass(frozen=True)
class Verdict:
    """Every band of one day in the order of safety, and what stands in the way of a better answer.

    Attributes
    ----------
    on : date
        Day judged.
    bands : tuple of Band
        In the order of `ORDER`; a quantity nothing is known of has none.
    contradictions : tuple of Reason
        Facts that cannot be true together, with their values.
    unknown_basis : tuple of str
        Quantities read with a kit that may count N or the ion: to be asked once; both are carried until then.
    missing : tuple of str
        Quantities nobody read lately whose absence widens a band, the most telling first.
    """

    on: date
    bands: tuple[Band, ...]
    contradictions: tuple[Reason, ...] = ()
    unknown_basis: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()

    def band(self, code: str) -> Band | None:
        """Band of a code, ``None`` when nothing is known of it."""
        return next((item for item in self.bands if item.code == code), None)

    @property
    def level(self) -> Level:
        """Worst level of any band that concerns something alive in the water; safe when there is none."""
        found: list[Level] = [item.level for item in self.bands if item.applies]
        return max(found, key=LEVELS.index, default="safe")

    @property
    def first(self) -> Band | None:
        """What to deal with first: the worst level; among equals the order of safety decides."""
        found = [item for item in self.bands if item.applies and item.level != "safe"]
        return max(found, key=lambda item: LEVELS.index(item.level), default=None)
