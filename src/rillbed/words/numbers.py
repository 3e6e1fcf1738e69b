"""Figures as people read them: few digits, a no-break space before the unit, ranges in words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date, datetime, time

from rillbed.tongue import current, later, many, tr

NBSP = "\u00a0"
SMALL_UNITS = frozenset({"g", "kg", "mg", "oz", "lb", "m", "cm", "mm", "m²", "m³", "ft", "ft²", "ppm", "g/m³"})
LEAST = 0.01  # no kit of a home tells less from nothing


def number(value: float, digits: int = 2) -> str:
    """Round to ``digits`` significant figures, never in powers of ten.

    Examples
    --------
    >>> number(0.0347), number(12.4), number(1234.0), number(5.0)
    ('0.035', '12', '1230', '5')
    """
    if value == 0:
        return "0"
    if abs(value) >= 100:
        digits = max(digits, 3)
    text = f"{float(f'{value:.{digits}g}'):.6f}".rstrip("0").rstrip(".")
    return current().number(text).replace("-", "\N{MINUS SIGN}")


def least(value: float, limit: float = LEAST) -> str:
    """Figure of a table; what no kit tells from nothing only says how little it is.

    Examples
    --------
    >>> least(0.0034), least(0.034), least(0.0)
    ('<0.01', '0.034', '0')
    """
    return f"<{number(limit)}" if 0.0 < value < limit else number(value)


def between(low: float, high: float) -> str:
    """Range of a table; one figure where both ends read the same.

    Examples
    --------
    >>> between(0.054, 0.3), between(22.01, 22.04), between(0.001, 0.002)
    ('0.054–0.3', '22', '<0.01')
    """
    ends = (least(low), least(high))
    return ends[0] if ends[0] == ends[1] else "–".join(ends)


def amount(value: float, unit: str, digits: int = 2) -> str:
    """Figure and unit that never part at a line break."""
    return f"{number(value, digits)}{NBSP}{tr(unit)}" if unit else number(value, digits)


def span(low: float | None, high: float | None, unit: str = "") -> str:
    r"""Range inside a sentence; what no kit tells from nothing is left out, and so is an end that is open.

    Examples
    --------
    >>> span(0.12, 2.2, "mg/L"), span(0.0028, 2.2, "mg/L"), span(0.001, 0.002, "mg/L"), span(2.21, 2.19)
    ('0.12 to 2.2\xa0mg/L', 'up to 2.2\xa0mg/L', 'under 0.01\xa0mg/L', '2.2')
    >>> span(5.0, None, "mg/L")
    '5\xa0mg/L or more'
    """
    if high is None:
        return tr("not known") if low is None else tr("{least} or more").format(least=amount(low, unit))
    if high < LEAST:
        return tr("under {most}").format(most=amount(LEAST, unit))
    if low is None or low < LEAST:
        return tr("up to {most}").format(most=amount(high, unit))
    first, last = number(low), amount(high, unit)
    return last if first == number(high) else tr("{first} to {last}").format(first=first, last=last)


def day(value: date | str | None, *, year: bool = False) -> str:
    """Day and month, e.g. ``22 May``; a missing date says so."""
    if value is None:
        return tr("after the year ahead")
    when = date.fromisoformat(value) if isinstance(value, str) else value
    return current().day(when, year=year)


def weekday(value: date, *, short: bool = False) -> str:
    """Name of the day of the week."""
    return current().weekday(value, short=short)


def clock(value: datetime | time) -> str:
    """Time of day to the minute."""
    return current().hour(value.time() if isinstance(value, datetime) else value)


def chance(share: float) -> str:
    """Chance as a count of ten; never a bare percentage.

    Examples
    --------
    >>> chance(0.81), chance(0.99), chance(0.02)
    ('about 8 in 10', 'almost certain', 'very unlikely')
    """
    if share >= 0.95:
        return tr("almost certain")
    if share < 0.05:
        return tr("very unlikely")
    return tr("about {count} in 10").format(count=max(1, min(9, round(share * 10))))


def capital(text: str) -> str:
    """Write a text as it stands at the head of a sentence or a line; a unit or a symbol stays as it is.

    Examples
    --------
    >>> capital("cos lettuce"), capital("pH falls"), capital("mS/cm"), capital("dKH, drops"), capital("mg a day")
    ('Cos lettuce', 'pH falls', 'mS/cm', 'dKH, drops', 'mg a day')
    """
    first = re.split(r"[\s,:;]", text, maxsplit=1)[0]
    # A symbol shows itself by a capital behind its small letter: pH, mS/cm, meq/L, kWh.
    if first in SMALL_UNITS or first[:1] == "µ" or (first[:1].islower() and first[1:] != first[1:].lower()):
        return text
    return text[:1].upper() + text[1:]


def listed(items: Iterable[str], last: str = later("and")) -> str:
    """Items of a sentence.

    Examples
    --------
    >>> listed(["a"]), listed(["a", "b"]), listed(["a", "b", "c"], "or")
    ('a', 'a and b', 'a, b or c')
    """
    *some, end = items
    return f"{', '.join(some)} {tr(last)} {end}" if some else end


def filled(template: str, values: Mapping[str, object]) -> str:
    r"""Translate, and fill ``{name}`` fields.

    ``{name:day}``, ``{name:chance}`` and ``{name:unit}`` use the forms above.
    ``{name:count thing}`` counts things, one or several, ``{name:word thing}`` is the thing alone;
    ``{name:futures}`` turns a share into futures of ten, ``{name:one in}`` into one in so many.
    ``{span:mg/L}`` is the range from ``low`` to ``high``.

    Examples
    --------
    >>> filled("Feed {x:g} by {d:day}", {"x": 3.26, "d": "2031-05-22"})
    'Feed 3.3\xa0g by 22\xa0May'
    >>> filled("{n:count day} and {m:count day}", {"n": 1, "m": 3})
    '1\xa0day and 3\xa0days'
    """
    return tr(template).format_map(_Forms(values))


def say(text: str, /, **values: object) -> str:
    r"""Say ``text``, which stands in English in the code, in the reader's language; fields are filled as above.

    Strings are put in as they are: they may be names that people gave.

    Examples
    --------
    >>> say("Kept: {n:count plant}.", n=3)
    'Kept: 3\xa0plants.'
    """
    return tr(text).format_map({key: _Value(value, plain=True) for key, value in values.items()})


class _Forms(dict[str, object]):
    def __init__(self, values: Mapping[str, object]) -> None:
        super().__init__({key: _Value(value) for key, value in values.items()})
        low, high = values.get("low"), values.get("high")
        if isinstance(low, int | float | None) and isinstance(high, int | float | None):
            self.setdefault("span", _Span(low, high))


class _Span:
    def __init__(self, low: float | None, high: float | None) -> None:
        self.ends = low, high

    def __format__(self, unit: str) -> str:
        return span(*self.ends, unit)


class _Value:
    def __init__(self, value: object, *, plain: bool = False) -> None:
        self.value = value
        self.plain = plain

    def __format__(self, form: str) -> str:
        value = self.value
        if self.plain and isinstance(value, str):
            return day(value) if form == "day" else format(value, form)
        if form.startswith("count "):
            assert isinstance(value, int | float)
            shown = str(value) if isinstance(value, int) else number(value)
            one = form.removeprefix("count ")
            return f"{shown}{NBSP}{many(one, f'{one}s', value)}"
        if form.startswith("word "):
            assert isinstance(value, int | float)
            one = form.removeprefix("word ")
            return many(one, f"{one}s", value)
        if form == "day":
            return day(value if isinstance(value, date | str) else None)
        if isinstance(value, bool) or not isinstance(value, int | float):
            return tr("not known") if value is None else str(value).replace("_", " ")
        if form == "chance":
            return chance(value)
        if form == "one in":
            return tr("one in {count}").format(count=number(round(1.0 / value)))
        if form == "futures":
            return tr("{count} of 10 futures").format(count=number(value * 10))
        if isinstance(value, int):
            return f"{value}{NBSP}{tr(form)}" if form else str(value)
        return amount(value, form, 2 if form else 3)
