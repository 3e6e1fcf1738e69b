"""What the form does not ask, and saving it must not lose: it is carried over from the loop as it stands."""

from __future__ import annotations

from typing import Any

from rillbed.garden.system import System

FIELDS = ("products", "prices", "household", "seed_tray_places")
BED_FIELDS = ("headroom_cm", "shade_share", "shades")


def carry(data: dict[str, Any], standing: System) -> None:
    """Put into plain data for `System.make` what the form left out; beds are known by their names."""
    data |= {name: getattr(standing, name) for name in FIELDS}
    beds = {bed.name: bed for bed in standing.beds}
    named = {row.get("name") for row in data["beds"]}
    for row in data["beds"]:
        bed = beds.get(row.get("name", ""))
        if bed is not None:
            row |= {name: getattr(bed, name) for name in BED_FIELDS}
            row["shades"] = tuple(name for name in bed.shades if name in named)
