"""A school year as lines of text, one spell a line."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from rillbed.garden.errors import GardenError
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Spell
from rillbed.garden.spells import must_be_free, spells
from rillbed.tongue import tr
from rillbed.web.log.form import sentence
from rillbed.words import say

MOST_LINES = 120  # a school year and all its weekends
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
    standing = spells(log)
    told = [entry for entry, _ in standing]  # a long log is looked through once
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
