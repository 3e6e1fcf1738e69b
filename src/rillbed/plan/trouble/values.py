"""Single values of a case: numbers, intervals, answers, kinds of fish; each refused with what is allowed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from rillbed import facts
from rillbed.facts import trouble
from rillbed.garden.errors import GardenError, must_be_known, one_of
from rillbed.garden.system import System
from rillbed.tongue import tr

NICKNAMES = {
    "tilapia": "nile_tilapia", "trout": "rainbow_trout", "catfish": "channel_catfish", "carp": "common_carp_koi",
    "koi": "common_carp_koi", "bass": "largemouth_bass", "perch": "yellow_perch", "crayfish": "redclaw",
}  # fmt: skip
# Key of a row: quantity, unit.
READINGS = {
    "tan": ("tan", "mg/L"), "ammonia": ("tan", "mg/L"), "no2": ("no2", "mg/L"), "nitrite": ("no2", "mg/L"),
    "no3": ("no3", "mg/L"), "nitrate": ("no3", "mg/L"), "ph": ("ph", ""), "alkalinity": ("alkalinity", "meq/L"),
    "kh_dkh": ("alkalinity", "dKH"), "kh_ppm": ("alkalinity", "ppm_CaCO3"), "gh": ("gh", "meq/L"),
    "gh_dgh": ("gh", "dKH"), "gh_ppm": ("gh", "ppm_CaCO3"), "oxygen": ("oxygen", "mg/L"), "co2": ("co2", "mg/L"),
    "chlorine": ("chlorine", "mg/L"), "chloride": ("cl", "mg/L"), "cl": ("cl", "mg/L"), "ec": ("ec", "mS/cm"),
    "k": ("k", "mg/L"), "fe": ("fe", "mg/L"), "ca": ("ca", "mg/L"), "mg": ("mg", "mg/L"), "p": ("p", "mg/L"),
    "na": ("na", "mg/L"),
}  # fmt: skip
# Numbers a case may state that are no reading of the loop.
NUMBERS = {
    "feed_g_day": (0.0, 1e6), "planned_count": (1.0, 1e6), "harvest_g": (1.0, 5e4), "water_ahead_c": (-2.0, 50.0),
    "air_ahead_c": (-60.0, 60.0), "outage_hours": (0.0, 1000.0), "dead": (0.0, 1e6), "salt_g_l": (0.0, 50.0),
}  # fmt: skip
YES = {True: "yes", False: "no", "true": "yes", "false": "no"}
_DECIMAL = r"(?:\d+\.?\d*|\.\d+)"
INTERVAL = re.compile(rf"^\s*(>=|<=|>|<|≥|≤)?\s*(-?{_DECIMAL})\s*(\+|[-–]\s*({_DECIMAL}))?\s*$", re.ASCII)
MOST_DAYS = 36500.0


def number(value: Any, field: str, low: float = float("-inf"), high: float = float("inf")) -> float:
    """Read a number inside a range.

    Raises
    ------
    GardenError
        If it is none, or outside.
    """
    if isinstance(value, bool) or not isinstance(value, int | float) or value != value:
        raise GardenError(field, value, tr("needs a number"))
    if not low <= value <= high:
        raise GardenError(field, value, tr("must be {low:g} to {high:g}").format(low=low, high=high))
    return float(value)


def moment_of(value: Any) -> datetime | None:
    """Read a date or time written as text; None for what is none.

    Examples
    --------
    >>> moment_of("2031-05-22")
    datetime.datetime(2031, 5, 22, 0, 0)
    """
    try:
        found = datetime.fromisoformat(value) if isinstance(value, str) else None
    except ValueError:
        return None
    return found if found is not None and 1900 <= found.year <= 2200 else None


def interval(value: Any, field: str) -> tuple[float | None, float | None]:
    """Read 4, ">=5", "<6", "5+", "2-4" or [2, 4] as an interval.

    Examples
    --------
    >>> interval(">=5", "no2"), interval("2-4", "tan"), interval(0.5, "tan")
    ((5.0, None), (2.0, 4.0), (0.5, 0.5))
    """
    if isinstance(value, list) and len(value) == 2:
        return number(value[0], field), number(value[1], field)
    if isinstance(value, str):
        match = INTERVAL.match(value)
        if match is None:
            raise GardenError(field, value, tr('needs a number, ">=5", "<6", "2-4" or [2, 4]'))
        sign, first, tail, second = match.groups()
        found = float(first)
        if second:
            return found, float(second)
        if tail == "+" or sign in (">", ">=", "≥"):
            return found, None
        return (None, found) if sign else (found, found)
    found = number(value, field)
    return found, found


def kind_of(name: str, field: str) -> str:
    """Return the id of a kind of fish; everyday names are understood."""
    plain = name.strip().lower().replace(" ", "_").replace("-", "_")
    return must_be_known(field, NICKNAMES.get(plain, plain), facts.species(), "kind of fish")


def answer_of(code: str, value: Any, field: str) -> str:
    """Return an answer of a clue; yes and no are understood, also where the clue has other words for them.

    Raises
    ------
    GardenError
        Naming the answers there are.
    """
    answers = trouble.clues()[code].answers
    text = YES.get(value, value) if isinstance(value, bool | str) else value
    if isinstance(text, str):
        text = text.strip().lower().replace(" ", "_").replace("-", "_")
        if text in answers:
            return text
        if text in ("no", "none", "normal", "ok", "false") and "yes" not in answers:
            return answers[0]
        if text in ("yes", "true"):
            return "all" if "all" in answers else answers[1]
    raise GardenError(f"{field}.{code}", value, one_of(answers))


def most(row: Mapping[str, Any], system: System, field: str) -> float:
    """Litres of a change, from litres or a share of the loop."""
    if "litres" in row:
        return number(row["litres"], f"{field}.litres", 0.001, 1e6)
    share = number(row.get("share", facts.value("dosing.change_most_unknown")), f"{field}.share", 0.0, 1.0)
    return max(share, 1e-6) * 1000.0 * system.total_volume_m3
