"""What can be typed into a field and how it becomes the value of a garden type, and back."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import isinf
from typing import Any, NoReturn

from rillbed import units
from rillbed.garden.errors import GardenError
from rillbed.tongue import current, later, tr

UNIT = ":unit"  # ends the form name of the unit beside a number


@dataclass(frozen=True)
class Measure:
    """A kind of amount: the unit it is kept in (empty: as typed) and those it may be typed in, the first by default.

    `convert` takes (value, typed unit, kept unit). `digits` are the decimals kept of a converted value: far finer than
    anybody measures, and free of the tails that conversion leaves.
    """

    kept: str
    choices: tuple[tuple[str, str], ...]
    digits: int = 4
    convert: Callable[[float, str, str], float] = units.convert


MEASURES = {
    "volume": Measure("L", (("L", "L"), ("gal_us", later("US gal")), ("gal_imp", later("imperial gal")), ("m3", "m³"))),
    "area": Measure("m2", (("m2", "m²"), ("ft2", "ft²"))),
    "depth": Measure("cm", (("cm", "cm"), ("in", later("inches"))), 2),
    "temperature": Measure("degC", (("degC", "°C"), ("degF", "°F")), 2),
    "mass": Measure("g", (("g", "g"), ("oz", "oz"), ("kg", "kg"), ("lb", "lb")), 2),
    "liquid": Measure("mL", (("mL", "mL"), ("L", "L"))),
    "dose": Measure("", (("g", "g"), ("mL", "mL"), ("kg", "kg"), ("oz", "oz"), ("L", "L"))),
    "alkalinity": Measure("meq/L", (("dKH", "°dKH"), ("ppm_CaCO3", later("mg/L as CaCO₃")), ("meq/L", "meq/L"))),
    "nitrate": Measure(
        "N", (("N", later("mg/L as N")), ("NO3", later("mg/L as nitrate"))), convert=units.convert_basis
    ),
    "phosphate": Measure(
        "P", (("P", later("mg/L as P")), ("PO4", later("mg/L as phosphate"))), convert=units.convert_basis
    ),
    "sulfate": Measure(
        "S", (("S", later("mg/L as S")), ("SO4", later("mg/L as sulfate"))), convert=units.convert_basis
    ),
    "mg_l": Measure("mg/L", (("mg/L", "mg/L"),)),
    "length_m": Measure("m", (("m", "m"), ("ft", later("ft"))), 1),
    "percent": Measure("%", (("%", "%"),)),
}


def number(field: str, typed: str) -> float:
    """Read a number as people write it, with a point or a comma for decimals.

    Raises
    ------
    GardenError
        If it is none, or may mean two: 1,300 is thirteen hundred to some and a little more than one to others, and so
        is 1.300 for whoever writes a decimal comma. Thousands may be parted by blanks only.

    Examples
    --------
    >>> number("volume_l", "0,5"), number("volume_l", "1 300"), number("volume_l", "2.125")
    (0.5, 1300.0, 2.125)
    """
    text = re.sub(r"(?<=\d)[ \u00a0\u202f'\u2019](?=\d{3}\b)", "", typed.strip()).replace("\u2212", "-")
    bare = text.lstrip("+-")
    if re.fullmatch(r"[1-9]\d{0,2}(,\d{3})+", bare) or (
        current().decimal == "," and re.fullmatch(r"[1-9]\d{0,2}(\.\d{3})+", bare)
    ):
        _refuse_two(field, typed, re.split("[,.]", text))
    if re.fullmatch(r"\d{1,3}(,\d{3})+\.\d*|\d{1,3}(\.\d{3})+,\d*", bare):
        *thousands, part = re.split("[,.]", text)
        meant = current().number(f"{''.join(thousands)}.{part}")
        raise GardenError(field, typed, tr("write {meant}, with no sign between thousands").format(meant=meant))
    if not re.fullmatch(r"[+-]?(\d+[.,]?\d*|[.,]\d+)(e[+-]?\d{1,2})?", text, re.ASCII | re.IGNORECASE):
        raise GardenError(field, typed, tr("needs a number"))
    value = float(text.replace(",", "."))
    if isinf(value):
        raise GardenError(field, f"{typed[:12]}…", tr("needs a number of fewer digits"))
    return value


def _refuse_two(field: str, typed: str, parts: list[str]) -> NoReturn:
    first, *rest = parts
    together, part = first + "".join(rest), current().number(f"{first}.{''.join(rest)}")
    if len(rest) > 1:
        allowed = tr("write {meant}, with no sign between thousands").format(meant=together)
    else:
        # A nought more makes it plain that no thousands are meant.
        allowed = tr("may mean two numbers; write {whole} or {part}").format(whole=together, part=f"{part}0")
    raise GardenError(field, typed, allowed)


def whole(field: str, typed: str) -> int:
    """Read a whole number.

    Raises
    ------
    GardenError
        If it is none.
    """
    value = number(field, typed)
    if value != int(value):
        raise GardenError(field, typed, tr("needs a whole number"))
    return int(value)


def kept(field: str, measure: str, filled: Mapping[str, str]) -> float | None:
    """Return the number of a field in the unit it is kept in; None while it is empty.

    Raises
    ------
    GardenError
        If it is no number, or its unit is not one of the choices.
    """
    typed = filled.get(field, "").strip()
    if not typed:
        return None
    kind, unit = MEASURES[measure], unit_of(field, measure, filled)
    if unit not in dict(kind.choices):
        names = ", ".join(tr(name) for _, name in kind.choices)
        raise GardenError(field, unit, tr("its unit must be one of {units}").format(units=names))
    value = number(field, typed)
    return value if unit == kind.kept or not kind.kept else round(kind.convert(value, unit, kind.kept), kind.digits)


def unit_of(field: str, measure: str, filled: Mapping[str, str]) -> str:
    """Return the unit typed beside a field."""
    return filled.get(field + UNIT) or MEASURES[measure].choices[0][0]


def as_typed(field: str, measure: str, filled: Mapping[str, str]) -> str | None:
    """Return number and unit as typed, e.g. ``300 gal_us``; None where that is the kept unit already."""
    unit = unit_of(field, measure, filled)
    if not filled.get(field, "").strip() or unit == MEASURES[measure].kept:
        return None
    return f"{number(field, filled[field])!r} {unit}".replace(".0 ", " ")


def shown(field: str, measure: str, value: Any, typed: str | None = None) -> dict[str, str]:
    """Return what the form shows for a kept value: as it was typed if that is known."""
    if value is None:
        return {field: "", field + UNIT: MEASURES[measure].choices[0][0]}
    if typed:
        text, _, unit = typed.partition(" ")
        if unit in dict(MEASURES[measure].choices):
            return {field: _certain(text), field + UNIT: unit}
    return {field: plain(value), field + UNIT: MEASURES[measure].kept}


def plain(value: float | int | None) -> str:
    """Write a number so that reading it gives the same number back, whatever the reader's decimal sign.

    Examples
    --------
    >>> plain(760.0), plain(0.35), plain(2.125), plain(None)
    ('760', '0.35', '2.125', '')
    """
    return "" if value is None else _certain(repr(value).removesuffix(".0"))


def _certain(text: str) -> str:
    """Keep a figure from meaning two: 2.125 is two thousand to whoever writes a decimal comma, 2.1250 is not."""
    return f"{text}0" if current().decimal == "," and re.fullmatch(r"-?[1-9]\d{0,2}\.\d{3}", text) else text
