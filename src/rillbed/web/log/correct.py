"""Correcting an entry: the fields that can be typed anew, and the entry that replaces it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rillbed.garden.errors import GardenError
from rillbed.garden.kits import Kit
from rillbed.garden.log import LogEntry
from rillbed.garden.readings import Reading
from rillbed.garden.system import System
from rillbed.web.water.sheet import kits_of

LABELS = {
    "amount": "Amount with its unit",
    "volume": "Volume with its unit",
    "weight": "Weight of one, with its unit",
    "total": "Weight together, with its unit",
    "count": "How many",
    "value": "What it showed",
    "low": "At least",
    "high": "At most",
    "group": "Group of fish",
    "bed": "Bed",
    "planting": "Planting",
    "text": "Words",
    "what": "What",
}


@dataclass(frozen=True)
class Field:
    """One field of an entry as it stands."""

    name: str
    label: str
    text: str


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


def fields(entry: LogEntry) -> list[Field]:
    """List what can be typed anew."""
    held = _held(entry)
    return [Field(name, label, _text(held[name])) for name, label in LABELS.items() if name in held]


def payload(entry: LogEntry, typed: Mapping[str, str]) -> dict[str, object]:
    """Return the payload with the typed fields in place of the old ones; an emptied field is unknown.

    Raises
    ------
    GardenError
        If a number is none.
    """
    held = _held(entry)
    for name in LABELS:
        if name in held and name in typed:
            text = typed[name].strip()
            if not text:
                del held[name]
            else:
                held[name] = _number(name, text) if isinstance(held[name], int | float) else text
    return held


def _held(entry: LogEntry) -> dict[str, Any]:
    return entry.payload.model_dump(mode="json", exclude_none=True)


def _text(value: Any) -> str:
    if isinstance(value, dict):
        return f"{value['value']:g} {value['unit']}"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _number(name: str, text: str) -> float:
    try:
        number = float(text.replace(",", "."))
    except ValueError:
        raise GardenError(name, text, "needs a number") from None
    return int(number) if number == int(number) else number
