"""Rows of a case file, flat and forgiving, into entries of the log: readings, what happened, and what was seen."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from rillbed import facts
from rillbed.facts import trouble
from rillbed.garden.errors import GardenError, must_be_known
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System

# Day 0 of a file that counts in days: no real date, only a place to count from.
FIRST_DAY = date(2031, 5, 1)
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
NITROGEN = ("tan", "no2", "no3")
# Numbers a case may state that are no reading of the loop.
NUMBERS = {
    "feed_g_day": (0.0, 1e6), "planned_count": (1.0, 1e6), "harvest_g": (1.0, 5e4), "water_ahead_c": (-2.0, 50.0),
    "air_ahead_c": (-60.0, 60.0), "outage_hours": (0.0, 1000.0), "dead": (0.0, 1e6), "salt_g_l": (0.0, 50.0),
}  # fmt: skip
ROW = {"day", "at", "basis", "source", "event", "what", "share", "litres", "treated", "count", "species", "weight_g",
       "group", "substance", "grams", "ml", "hours", "dilution", "temp_c", "note", "equipment", "fed_g", "crop",
       "top"}  # fmt: skip
YES = {True: "yes", False: "no", "true": "yes", "false": "no"}
INTERVAL = re.compile(r"^\s*(>=|<=|>|<|≥|≤)?\s*(-?[\d.]+)\s*(\+|[-–]\s*([\d.]+))?\s*$")


def number(value: Any, field: str, low: float = float("-inf"), high: float = float("inf")) -> float:
    """Read a number inside a range.

    Raises
    ------
    GardenError
        If it is none, or outside.
    """
    if isinstance(value, bool) or not isinstance(value, int | float) or value != value:
        raise GardenError(field, value, "needs a number")
    if not low <= value <= high:
        raise GardenError(field, value, f"must be {low:g} to {high:g}")
    return float(value)


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
            raise GardenError(field, value, 'needs a number, ">=5", "<6", "2-4" or [2, 4]')
        sign, first, tail, second = match.groups()
        found = float(first)
        if second:
            return found, float(second)
        if tail == "+" or sign in (">", ">=", "≥"):
            return found, None
        return (None, found) if sign else (found, found)
    found = number(value, field)
    return found, found


class Rows:
    """Collects the entries of one case."""

    def __init__(self, system: System, basis: str, kinds: tuple[str, ...]) -> None:
        self.system, self.basis, self.kinds = system, basis, kinds
        self.entries: list[LogEntry] = []
        self.now: float | None = None

    def moment(self, day: float) -> datetime:
        """Noon of a whole day; a part of a day counts from midnight."""
        hours = 12.0 if float(day).is_integer() else (day % 1.0) * 24.0
        at = datetime.combine(FIRST_DAY, datetime.min.time(), UTC)
        return at + timedelta(days=day // 1.0, hours=hours)

    def last_day(self) -> float:
        """Day that what has no day of its own belongs to: the last one logged."""
        return 0.0 if self.now is None else self.now

    def add(self, kind: str, at: datetime, payload: Mapping[str, object], field: str) -> None:
        """Add one entry, its errors named by the row they come from."""
        name = uuid5(NAMESPACE_URL, f"{field}:{kind}:{at.isoformat()}:{len(self.entries)}")
        try:
            self.entries.append(LogEntry.make({"uuid": str(name), "at": at, "kind": kind, "payload": dict(payload)}))
        except GardenError as error:
            raise error.within(field) from None

    def _at(self, row: Mapping[str, Any], field: str, default: float | None = None) -> datetime:
        at = row.get("at")
        if isinstance(at, datetime):
            return at if at.tzinfo else at.replace(tzinfo=UTC)
        if isinstance(at, date):
            return datetime(at.year, at.month, at.day, 12, tzinfo=UTC)
        day = row.get("day", default if default is not None else 0)
        return self.moment(number(day, f"{field}.day", -36500.0, 36500.0))

    def log(self, row: Mapping[str, Any], field: str) -> None:
        """Take one row of [[log]]: any readings, and at most one event."""
        for key in row:
            if key not in ROW and key not in READINGS and key not in trouble.clues() and key not in NUMBERS:
                must_be_known(f"{field}.{key}", key, {*ROW, *READINGS, *NUMBERS, *trouble.clues()}, "key of a row")
        at = self._at(row, field)
        day = float((self.system.day_of(at) - FIRST_DAY).days)
        self.now = day if self.now is None else max(self.now, day)
        of_source = row.get("source") is True
        for key, value in row.items():
            if key in READINGS:
                self._reading(key, value, row, at, of_source, field)
            elif (key in trouble.clues() or key in NUMBERS) and not isinstance(value, bool if key == "source" else ()):
                self._observe(key, value, at, field)
        if "temp_c" in row and not of_source:
            low, high = interval(row["temp_c"], f"{field}.temp_c")
            ends = [end for end in (low, high) if end is not None]
            payload = {"value": sum(ends) / len(ends), "low": min(ends), "high": max(ends)}
            self.add("temperature", at, payload, f"{field}.temp_c")
        if "event" in row:
            from rillbed.plan.trouble.events import happened

            happened(self, row, at, field)

    def _reading(self, key: str, value: Any, row: Mapping[str, Any], at: datetime, of_source: bool, field: str) -> None:
        quantity, unit = READINGS[key]
        low, high = interval(value, f"{field}.{key}")
        basis = str(row.get("basis", self.basis)) if quantity in NITROGEN else ""
        if basis not in ("", "n", "ion", "unknown"):
            raise GardenError(f"{field}.basis", basis, "must be n, ion or unknown")
        payload: dict[str, object] = {"quantity": quantity, "unit": unit, "low": low, "high": high,
                                      "source_water": of_source, "dilution": row.get("dilution", 1.0)}  # fmt: skip
        if low == high:
            payload["value"] = low
        if basis in ("n", "ion"):
            payload["basis"] = basis
        self.add("reading", at, payload, f"{field}.{key}")

    def see(self, row: Mapping[str, Any], field: str) -> None:
        """Take one row of [[see]]: a code and its answer."""
        code = row.get("code")
        if not isinstance(code, str):
            raise GardenError(f"{field}.code", code, "needs the code of what was seen")
        extra = set(row) - {"code", "value", "day", "at", "basis"}
        if extra:
            raise GardenError(f"{field}.{min(extra)}", row[min(extra)], "a row of see has code, value, day and at")
        at = self._at(row, field, self.last_day())
        value = row.get("value", True)
        if code in READINGS:
            self._reading(code, value, row, at, False, field)
        elif code == "temp_c":
            self.log({"temp_c": value, "day": row.get("day", self.last_day())}, field)
        elif code in ("asked", "note"):
            self.add("observation", at, {"what": code, "text": str(value)}, field)
        else:
            self._observe(code, value, at, field)

    def _observe(self, code: str, value: Any, at: datetime, field: str) -> None:
        if code in NUMBERS:
            text = f"{number(value, f'{field}.{code}', *NUMBERS[code]):g}"
            self.add("observation", at, {"what": code, "text": text}, field)
            return
        must_be_known(f"{field}.code", code, {*trouble.clues(), *NUMBERS, *READINGS}, "thing to see")
        self.add("observation", at, {"what": code, "text": answer_of(code, value, field)}, field)

    def fish_at_start(self, told: Mapping[str, Any], stocked: list[Mapping[str, Any]]) -> None:
        """Put the fish of [system] in on the day the loop was started."""
        if stocked or not self.kinds:
            return
        weight = told.get("weight_g")
        count = told.get("count")
        if "kg" in told:
            grams = 1000.0 * number(told["kg"], "system.kg", 0.001, 1e6)
            count = count or max(1, round(grams / (weight or 100.0)))
            weight = grams / count
        share = max(1, int(number(count, "system.count", 1.0, 1e6)) // len(self.kinds))
        for kind in self.kinds:
            self._put_in(kind, kind, share, float(weight or 100.0))

    def stock_tank(self, tank: Mapping[str, Any]) -> None:
        """Put the fish of one tank in; the group carries the tank's name."""
        from rillbed.plan.trouble.short import kind_of

        kind = kind_of(str(tank["species"]), "system.tanks.species")
        self._put_in(str(tank["name"]), kind, int(tank.get("count", 10)), float(tank.get("weight_g", 100.0)))

    def _put_in(self, group: str, kind: str, count: int, weight_g: float) -> None:
        at = datetime.combine(self.system.started_on, datetime.min.time(), UTC) + timedelta(hours=12)
        payload = {"species": kind, "count": count, "weight": {"value": weight_g, "unit": "g"}, "group": group}
        self.add("fish_in", at, payload, "system")


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
    raise GardenError(f"{field}.{code}", value, f"must be one of {', '.join(answers)}")


def most(row: Mapping[str, Any], system: System, field: str) -> float:
    """Litres of a change, from litres or a share of the loop."""
    if "litres" in row:
        return number(row["litres"], f"{field}.litres", 0.001, 1e6)
    share = number(row.get("share", facts.value("dosing.change_most_unknown")), f"{field}.share", 0.0, 1.0)
    return max(share, 1e-6) * 1000.0 * system.total_volume_m3
