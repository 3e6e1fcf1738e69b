"""Readings typed on the command line: ``ph=6.4``, ``alkalinity=40:ppm_CaCO3``, ``no2=2..5:ion``."""

from __future__ import annotations

import argparse
from collections.abc import Iterable

from rillbed import units
from rillbed.cli.options import figure
from rillbed.garden.quantities import QUANTITIES
from rillbed.plan.doses.water import READ, Span

Typed = tuple[str, Span]


def reading(text: str) -> Typed:
    """Parse one reading: a quantity, a value or ``low..high`` with an end left out where it is open, and a unit."""
    name, equals, rest = text.partition("=")
    if not equals or name not in READ:
        raise argparse.ArgumentTypeError(f"{text!r}: write quantity=value, with one of {', '.join(READ)}")
    figures, _, unit = rest.partition(":")
    low, dots, high = figures.partition("..")
    try:
        ends = (_end(low), _end(high) if dots else _end(low))
    except ValueError:
        ends = (None, None)
    if ends == (None, None):
        raise argparse.ArgumentTypeError(f"{text!r}: needs a number, or low..high with at most one end left out")
    try:
        found = tuple(None if end is None else _canonical(name, end, unit) for end in ends)
    except (units.UnitError, KeyError, ValueError) as error:
        raise argparse.ArgumentTypeError(f"{text!r}: {' '.join(str(error).split())}") from None
    if found[0] is not None and found[1] is not None and found[0] > found[1]:
        raise argparse.ArgumentTypeError(f"{text!r}: the low end is above the high end")
    return name, (found[0], found[1])


def amount(text: str) -> tuple[str, float]:
    """Parse one element and its rise or content: ``k=20``."""
    name, _, value = text.partition("=")
    try:
        return name, figure(value)
    except argparse.ArgumentTypeError:
        raise argparse.ArgumentTypeError(f"{text!r}: write name=number, e.g. k=20") from None


def spans(items: Iterable[Typed] | None) -> dict[str, Span]:
    """Gather the readings; the last of one quantity counts."""
    return dict(items or ())


def _end(text: str) -> float | None:
    return float(text) if text else None


def _canonical(name: str, value: float, unit: str) -> float:
    # Chloramine is no quantity of the log; it counts as chlorine.
    known = QUANTITIES["chlorine" if name == "chloramine" else name]
    if unit == "ion":
        if known.ion is None:
            raise ValueError(f"{name} has no ion basis")
        value = units.convert_basis(value, known.ion, known.element)
    elif unit:
        value = units.convert(value, unit, known.unit)
    if not known.low <= value <= known.high:
        raise ValueError(f"{value:g} is outside {known.low:g} to {known.high:g} {known.unit}".rstrip())
    return value
