"""Columns of an empty log sheet: what everybody writes, and one for each test of the loop."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed.garden.kits import Kit
from rillbed.garden.system import System
from rillbed.tongue import current, tr
from rillbed.web.water.sheet import AS
from rillbed.words import capital, quantity

BASES = ("n", "ion")


@dataclass(frozen=True)
class Column:
    """One column: heading, unit, and the steps of the card under it."""

    title: str
    unit: str
    steps: str


def columns(system: System) -> tuple[Column, ...]:
    """Give the columns for a loop."""
    usual = (
        Column(tr("Day, time"), "", ""),
        Column(tr("By"), "", ""),
        Column(tr("Feed"), "g", ""),
        Column(tr("Water"), "°C", ""),
    )
    return (*usual, *map(_kit, system.kits), Column(tr("What else"), "", ""))


def _kit(kit: Kit) -> Column:
    name = quantity(kit.quantity)
    # A card counts an element or its ion only where there is an ion: potassium is potassium.
    counted = AS[kit.quantity][BASES.index(kit.basis)] if kit.basis and kit.quantity in AS else ""
    unit = " ".join(filter(None, (kit.unit, counted and tr(counted))))
    steps = current().row(kit.steps) if kit.kind != "meter" else ""
    return Column(capital(name), unit, steps)
