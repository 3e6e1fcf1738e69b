"""Rows of a case file, flat and forgiving, into entries of the log: readings, what happened, and what was seen."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from rillbed.facts import trouble
from rillbed.garden.errors import GardenError, must_be_known
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.trouble.events import happened
from rillbed.plan.trouble.values import (
    MOST_DAYS,
    NUMBERS,
    READINGS,
    answer_of,
    interval,
    kind_of,
    moment_of,
    number,
)
from rillbed.tongue import tr

# Day 0 of a file that counts in days: no real date, only a place to count from.
FIRST_DAY = date(2031, 5, 1)
NITROGEN = ("tan", "no2", "no3")
ROW = {"day", "at", "basis", "source", "event", "what", "share", "litres", "treated", "count", "species", "weight_g",
       "group", "substance", "grams", "ml", "hours", "dilution", "temp_c", "note", "equipment", "fed_g", "crop",
       "temp_f"}  # fmt: skip


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
        if isinstance(at, str):
            typed, at = at, moment_of(at)
            if at is None:
                raise GardenError(f"{field}.at", typed, tr("needs a day or time such as 2031-05-22T08:05:00Z"))
            if "T" not in typed and " " not in typed:
                at = at.replace(hour=12)
        if isinstance(at, datetime):
            return at if at.tzinfo else at.replace(tzinfo=UTC)
        if isinstance(at, date):
            return datetime(at.year, at.month, at.day, 12, tzinfo=UTC)
        day = row.get("day", default if default is not None else 0)
        return self.moment(number(day, f"{field}.day", -MOST_DAYS, MOST_DAYS))

    def log(self, row: Mapping[str, Any], field: str) -> None:
        """Take one row of [[log]]: any readings, and at most one event."""
        for key in row:
            if key not in ROW and key not in READINGS and key not in trouble.clues() and key not in NUMBERS:
                must_be_known(f"{field}.{key}", key, {*ROW, *READINGS, *NUMBERS, *trouble.clues()}, "key of a row")
        at = self._at(row, field)
        day = float((self.system.day_of(at) - FIRST_DAY).days)
        self.now = day if self.now is None else max(self.now, day)
        of_source = row.get("source") is True
        row = _plain(row, field)
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
            happened(self, row, at, field)

    def _reading(self, key: str, value: Any, row: Mapping[str, Any], at: datetime, of_source: bool, field: str) -> None:
        quantity, unit = READINGS[key]
        low, high = interval(value, f"{field}.{key}")
        basis = str(row.get("basis", self.basis)) if quantity in NITROGEN else ""
        if basis not in ("", "n", "ion", "unknown"):
            raise GardenError(f"{field}.basis", basis, tr("must be n, ion or unknown"))
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
            raise GardenError(f"{field}.code", code, tr("needs the code of what was seen"))
        extra = set(row) - {"code", "value", "day", "at", "basis"}
        if extra:
            raise GardenError(f"{field}.{min(extra)}", row[min(extra)], tr("a row of see has code, value, day and at"))
        at = self._at(row, field, self.last_day())
        value = row.get("value", True)
        if code in READINGS:
            self._reading(code, value, row, at, False, field)
        elif code in ("temp_c", "temperature") and not (isinstance(value, str) and value in _clue("temperature")):
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
        weight = number(told["weight_g"], "system.weight_g", 0.001, 1e6) if "weight_g" in told else None
        count = number(told["count"], "system.count", 1.0, 1e6) if "count" in told else None
        if "kg" in told:
            grams = 1000.0 * number(told["kg"], "system.kg", 0.001, 1e6)
            count = count or max(1, round(grams / (weight or 100.0)))
            weight = grams / count
        share = max(1, int(number(count, "system.count", 1.0, 1e6)) // len(self.kinds))
        for kind in self.kinds:
            self._put_in(kind, kind, share, float(weight or 100.0))

    def stock_tank(self, tank: Mapping[str, Any]) -> None:
        """Put the fish of one tank in; the group carries the tank's name."""
        kind = kind_of(str(tank["species"]), "system.tanks.species")
        count = int(number(tank.get("count", 10), "system.tanks.count", 1.0, 1e6))
        weight_g = number(tank.get("weight_g", 100.0), "system.tanks.weight_g", 0.001, 1e6)
        self._put_in(str(tank["name"]), kind, count, weight_g)

    def _put_in(self, group: str, kind: str, count: int, weight_g: float) -> None:
        at = datetime.combine(self.system.started_on, datetime.min.time(), UTC) + timedelta(hours=12)
        payload = {"species": kind, "count": count, "weight": {"value": weight_g, "unit": "g"}, "group": group}
        self.add("fish_in", at, payload, "system")


def _clue(code: str) -> tuple[str, ...]:
    return trouble.clues()[code].answers


def _plain(row: Mapping[str, Any], field: str) -> dict[str, Any]:
    """Return a row with a water temperature in whichever key it came under ``temp_c``."""
    out = dict(row)
    if "temp_f" in out:
        out["temp_c"] = (number(out.pop("temp_f"), f"{field}.temp_f") - 32.0) / 1.8
    if isinstance(out.get("temperature"), int | float) and not isinstance(out["temperature"], bool):
        out["temp_c"] = out.pop("temperature")
    return out
