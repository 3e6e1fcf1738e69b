"""Correcting a reading with the steps of the kit it was taken with."""

from __future__ import annotations

from rillbed.garden.kits import Kit
from rillbed.garden.log import LogEntry
from rillbed.garden.readings import Reading
from rillbed.garden.system import System
from rillbed.web.water.sheet import kits_of


def kit_of(entry: LogEntry, system: System) -> Kit | None:
    """Kit that a reading was taken with, if the system still has it and it has steps."""
    if not isinstance(entry.payload, Reading):
        return None
    found = next((kit for kit in kits_of(system) if kit.name == entry.payload.kit), None)
    return found if found is not None and found.steps and found.quantity == entry.payload.quantity else None


def kept(kit: Kit, entry: LogEntry) -> dict[str, list[str]]:
    """Return what a correction of the step leaves as it was, as fields of the test sheet."""
    assert isinstance(entry.payload, Reading)
    source = {"source_water": ["1"]} if entry.payload.source_water else {}
    return {f"dilution:{kit.name}": [f"{entry.payload.dilution:g}"]} | source
