"""What the form of a first loop starts with."""

from __future__ import annotations

from datetime import date

from rillbed import facts
from rillbed.facts.loops import KitKind
from rillbed.tongue import tr
from rillbed.web.setup.measures import plain

# A new row of each list: only what nearly everybody would choose.
BLANK = {
    "tanks": {"name": "", "kind": "fish"},
    "beds": {"name": "", "kind": "media"},
    "kits": {"name": "", "kind": "drops", "unit": "mg/L", "low_open": "1", "high_open": "1"},
    "planned_fish": {"count": ""},
}
FIRST_TESTS = ("tan", "no2", "no3", "ph", "alkalinity")


def fresh(on: date) -> dict[str, str]:
    """Return the form of a first loop: one fish tank, one bed and the five neutral tests of a start-up."""
    out = {
        "time_zone": "UTC",
        "aeration": "stones",
        "startup_path": "fishless",
        "seeding": "none",
        "started_on": on.isoformat(),
        "meals_per_day": "2",
    }
    out |= {f"tanks-0-{key}": value for key, value in (BLANK["tanks"] | {"name": tr("Fish tank")}).items()}
    out |= {f"beds-0-{key}": value for key, value in BLANK["beds"].items()}
    for n, kit in enumerate(_tests()):
        out |= {
            f"kits-{n}-name": tr(kit.name),
            f"kits-{n}-quantity": kit.quantity,
            f"kits-{n}-kind": kit.kind,
            f"kits-{n}-unit": kit.unit,
            f"kits-{n}-basis": kit.basis or "",
            f"kits-{n}-steps": " ".join(plain(step) for step in kit.steps),
            f"kits-{n}-low_open": "1" if kit.low_open else "",
            f"kits-{n}-high_open": "1" if kit.high_open else "",
            f"kits-{n}-wait_minutes": plain(kit.wait_minutes),
        }
    return out


def _tests() -> list[KitKind]:
    found: dict[str, KitKind] = {}
    for kit in facts.kits().values():
        if kit.kind == "drops":
            found.setdefault(kit.quantity, kit)
    return [found[quantity] for quantity in FIRST_TESTS if quantity in found]
