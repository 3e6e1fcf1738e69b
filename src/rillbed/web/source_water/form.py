"""The fields of the source water: those kept in the set-up, and what counts for one answer only."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from rillbed.garden.errors import GardenError
from rillbed.plan.verdict import SourceFacts
from rillbed.tongue import later, tr
from rillbed.web.log.form import sentence
from rillbed.web.setup.fields import Field
from rillbed.web.setup.filled import SOURCE_WATER
from rillbed.web.setup.measures import kept, number
from rillbed.web.setup.questions import MORE_WATER, WATER

PREFIX = "source_water-"
KINDS = (
    ("", later("not said")),
    ("mains", later("the mains")),
    ("well", later("a well")),
    ("rain", later("rain, caught clean")),
    ("roof", later("a roof")),
)
EXTRA = (
    Field("kind", later("It comes from"), "choice", lambda: [(key, tr(name)) for key, name in KINDS]),
    Field("stood", later("it stands with air for a day first"), "check"),
    Field("tan_mg_l", later("Ammonia in it"), "number", unit=later("mg/L as N")),
    Field("copper_mg_l", later("Copper in it"), "number", unit="mg/L"),
    Field("zinc_mg_l", later("Zinc in it"), "number", unit="mg/L"),
    Field("temp_c", later("As it goes in"), "number", measure="temperature"),
)


def kept_fields() -> tuple[Field, ...]:
    """Give the fields that belong to the set-up."""
    return tuple(replace(field, name=PREFIX + field.name) for field in (*WATER, *MORE_WATER))


def kept_of(filled: Mapping[str, str]) -> tuple[dict[str, Any], dict[str, str]]:
    """Read the kept fields; give values and what is wrong, by form name."""
    values: dict[str, Any] = {}
    problems: dict[str, str] = {}
    for name, read in SOURCE_WATER.items():
        try:
            values[name] = read(PREFIX + name, filled)
        except GardenError as error:
            problems[PREFIX + name] = sentence(error)
    return values, problems


def extra_of(typed: Mapping[str, str]) -> SourceFacts:
    """Read what counts for this answer only.

    Raises
    ------
    GardenError
        Naming the field.
    """
    figures: dict[str, float | None] = {}
    for field in EXTRA:
        if field.kind != "number":
            continue
        text = typed.get(field.name, "").strip()
        if not text:
            figures[field.name] = None
        else:
            figures[field.name] = kept(field.name, field.measure, typed) if field.measure else number(field.name, text)
    return SourceFacts(kind=typed.get("kind") or None, stood=bool(typed.get("stood")), **figures)  # type: ignore[arg-type]
