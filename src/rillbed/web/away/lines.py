"""A school year as lines of text, one spell a line, and a calendar of term dates as such lines."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from icalendar import Calendar

from rillbed.garden.errors import GardenError
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Spell
from rillbed.garden.spells import must_be_free, spells
from rillbed.garden.system import System
from rillbed.tongue import tr
from rillbed.web.log.form import sentence
from rillbed.words import day, say

MOST_LINES = 60
MOST_BYTES = 2**20
DATES = (
    (re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})"), (1, 2, 3)),
    (re.compile(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})"), (3, 2, 1)),
)


@dataclass(frozen=True)
class Row:
    """A line as it was understood: its number and text, the spell, and what is wrong or that it is there already."""

    number: int
    text: str
    spell: Spell | None = None
    known: bool = False
    problem: str = ""


def rows_of(text: str, by: str, share: float, log: Iterable[LogEntry]) -> list[Row]:
    """Read lines ``name, first day, last day`` with who feeds as a fourth cell if it is another.

    Parameters
    ----------
    by, share
        Who feeds, and what part of the ration, where the line does not say.
    log
        Of the loop: a spell of the same days is there already, one that shares days with another is refused.

    Raises
    ------
    GardenError
        For no line, or too many.
    """
    lines = [(number, line.strip()) for number, line in enumerate(text.splitlines(), 1) if line.strip()]
    if not lines:
        raise GardenError("lines", tr("nothing"), tr("needs a line such as: winter break, 2031-12-20, 2032-01-04"))
    if len(lines) > MOST_LINES:
        raise GardenError("lines", len(lines), tr("at most {n} lines at a time").format(n=MOST_LINES))
    told = list(log)
    standing = [(spell.name, spell) for _, spell in spells(told)]
    out: list[Row] = []
    for number, line in lines:
        try:
            spell = _spell(line, by, share)
            if any((old.first, old.last) == (spell.first, spell.last) for _, old in standing):
                out.append(Row(number, line, spell, known=True))
                continue
            must_be_free(told, spell)
            _free_of_lines(out, spell)
        except GardenError as error:
            out.append(Row(number, line, problem=_said(error)))
        else:
            out.append(Row(number, line, spell))
    return out


def _said(error: GardenError) -> str:
    names = {
        "name": tr("What for"), "first": tr("First day away"), "last": tr("Last day away"), "by": tr("Who feeds"),
        "feed_share": tr("Feed meanwhile"),
    }  # fmt: skip
    label = names.get(error.field, error.field)
    if error.value in ("", None):
        return f"{label}: {sentence(error)}"
    return say("{label}, “{value}”: {why}", label=label, value=str(error.value)[:60], why=sentence(error))


def _free_of_lines(rows: Sequence[Row], new: Spell) -> None:
    for row in rows:
        old = row.spell
        if old is not None and new.first <= old.last and old.first <= new.last:
            allowed = tr("must not lie in the spell of line {n}").format(n=row.number)
            raise GardenError("first" if old.covers(new.first) else "last", new.first, allowed)


def _spell(line: str, by: str, share: float) -> Spell:
    cells = _cells(line)
    if not 3 <= len(cells) <= 4:
        raise GardenError("line", line, tr("needs name, first day and last day, parted by commas"))
    who = cells[3] if len(cells) == 4 and cells[3] else by
    return Spell.make({
        "name": cells[0], "first": _day("first", cells[1]), "last": _day("last", cells[2]), "by": who,
        "feed_share": share,
    })  # fmt: skip


def _cells(line: str) -> list[str]:
    """Part a line by tabs, as a spreadsheet gives it, else by semicolons, else by commas."""
    sign = next((sign for sign in "\t;" if sign in line), ",")
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=sign, skipinitialspace=True))]
    except csv.Error:
        return [line]  # no cell is as long as that


def _day(field: str, text: str) -> date:
    for shape, (year, month, on) in DATES:
        if found := shape.fullmatch(text):
            try:
                return date(int(found[year]), int(found[month]), int(found[on]))
            except ValueError:
                break
    # 3/4/2031 is two days to two people.
    raise GardenError(field, text, tr("needs a date such as 2031-05-22 or 22.5.2031"))


def lines_of(data: bytes, system: System, on: date) -> str:
    """Turn a calendar file into lines that can be looked over; what is over by a day is left out.

    Raises
    ------
    GardenError
        For what is no calendar, is too large, or holds nothing to come.
    """
    if len(data) > MOST_BYTES:
        raise GardenError("file", f"{len(data)} bytes", tr("at most {n} MB").format(n=MOST_BYTES // 2**20))
    try:
        found = Calendar.from_ical(data).walk("VEVENT")
        told = sorted({_event(event, system) for event in found if "DTSTART" in event})
    except (ValueError, LookupError, TypeError, AttributeError, OverflowError):
        # Whatever the library stumbles over.
        raise GardenError("file", tr("this file"), tr("must be a calendar (iCalendar, .ics) with dates")) from None
    coming = [one for one in told if one[1] >= on]
    if not coming:
        raise GardenError("file", tr("this file"), tr("must hold a date from {day} on").format(day=day(on)))
    return "\n".join(f"{name}, {first.isoformat()}, {last.isoformat()}" for first, last, name in coming)


def _event(event: Any, system: System) -> tuple[date, date, str]:
    """First day, last day and name of an event; its end is the first moment after it."""
    first = _local(event.decoded("DTSTART"), system)
    if "DTEND" in event:
        end = event.decoded("DTEND")
        whole = not isinstance(end, datetime) or end.time() == datetime.min.time()
        last = _local(end, system) - timedelta(days=1 if whole else 0)
    elif "DURATION" in event:
        last = first + max(event.decoded("DURATION") - timedelta(days=1), timedelta(0))
    else:
        last = first
    name = " ".join(str(event.get("SUMMARY", "")).replace(",", " ").replace(";", " ").split())
    return first, max(first, last), name[:80] or tr("days away")


def _local(when: Any, system: System) -> date:
    if isinstance(when, datetime):
        return system.day_of(when) if when.tzinfo else when.date()
    if isinstance(when, date):
        return when
    raise TypeError("no date")
