"""The feed rule somebody chose, and the unit they like it in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from rillbed import facts, units
from rillbed.plan.beds.year import RoomWeek
from rillbed.plan.room import rule_for
from rillbed.tongue import later, tr
from rillbed.web.setup.fields import Bound, Field, bind
from rillbed.web.sources.figures import GRADES
from rillbed.words.numbers import number, say

PART_G = 100.0
UNITS = {
    "m2": later("g a day for each m²"),
    "ft2": later("g a day for each ft²"),
    "oz_ft2": later("oz a day for each ft²"),
    "part": later("m² for each 100 g a day"),
}
# As they stand in a list, where a small letter at the start would be raised: "G" is no gram.
NAMES = {
    "m2": later("grams a day for each m²"),
    "ft2": later("grams a day for each ft²"),
    "oz_ft2": later("ounces a day for each ft²"),
    "part": later("square metres for each 100 g a day"),
}


@dataclass(frozen=True)
class Rule:
    """A row of the feed-rate bands, as shown."""

    band: str
    unit: str
    fields: tuple[Bound, ...]
    text: str

    def over(self, weeks: Iterable[RoomWeek]) -> tuple[RoomWeek, ...]:
        """Give the same weeks with their area by this rule."""
        row = facts.feed_rate_bands()[self.band]
        ends = row.high_g_m2_day, row.low_g_m2_day
        return tuple(replace(week, rule_m2=(week.feed_g_day / ends[0], week.feed_g_day / ends[1])) for week in weeks)


def chosen(asked: Mapping[str, str], kinds: frozenset[str]) -> Rule:
    """Give the rule asked for, or the usual one; what is not known counts as not asked.

    Parameters
    ----------
    asked : mapping
        `band`, a key of `facts.feed_rate_bands()`, and `unit`, a key of `UNITS`.
    kinds : frozenset of str
        Kinds of bed the loop has; bands for others are not on offer.
    """
    table = facts.feed_rate_bands()
    offered = {key: row for key, row in table.items() if row.bed == "any" or row.bed in kinds}
    usual = rule_for("leafy")
    band = asked.get("band", "") if asked.get("band") in offered else usual
    unit = asked.get("unit", "") if asked.get("unit") in UNITS else "m2"
    fields = (
        Field("band", later("Feed rule"), "choice", lambda: [(key, tr(row.name)) for key, row in offered.items()]),
        Field("unit", later("Counted in"), "choice", lambda: [(key, tr(name)) for key, name in NAMES.items()]),
    )
    bound = tuple(bind(field, {"band": band, "unit": unit}, {}) for field in fields)
    return Rule(band, unit, bound, _text(band, unit))


def _text(band: str, unit: str) -> str:
    row = facts.feed_rate_bands()[band]
    low, high = (_in(value, unit) for value in (row.low_g_m2_day, row.high_g_m2_day))
    return say(
        "{rule}: {low} to {high} {unit}, {grade}.",
        rule=tr(row.name), low=number(min(low, high)), high=number(max(low, high)), unit=tr(UNITS[unit]),
        grade=tr(GRADES[row.grade][1]),
    )  # fmt: skip


def _in(g_m2_day: float, unit: str) -> float:
    if unit == "part":
        return PART_G / g_m2_day
    if unit == "oz_ft2":
        return _in(units.convert(g_m2_day, "g", "oz"), "ft2")
    return g_m2_day / units.convert(1.0, "m2", unit)
