"""Identifiers that must be in the tables of facts."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Annotated

from pydantic import AfterValidator

from rillbed import facts
from rillbed.garden.errors import must_be_known
from rillbed.garden.products import is_own
from rillbed.tongue import later


def _known(field: str, table: Callable[[], Mapping[str, object]], what: str) -> AfterValidator:
    return AfterValidator(lambda value: must_be_known(field, value, table(), what))


def supplies() -> dict[str, object]:
    """Return everything that can stand on a shelf: supplements, ammonia sources and feeds by id."""
    return {**facts.supplements(), **facts.ammonia_sources(), **facts.feeds()}


SpeciesId = Annotated[str, _known("species", lambda: facts.species(), later("species"))]
CropId = Annotated[str, _known("crop", lambda: facts.crops(), later("crop"))]
FeedId = Annotated[str, _known("feed", lambda: facts.feeds(), later("feed"))]
SourceId = Annotated[str, _known("source", lambda: facts.ammonia_sources(), later("ammonia source"))]


def _supply(value: str) -> str:
    # Whether an own product stands in the system is known only there.
    return value if is_own(value) else must_be_known("supply", value, supplies(), later("supply"))


SupplyId = Annotated[str, AfterValidator(_supply)]
JobId = Annotated[str, _known("job", lambda: facts.upkeep(), later("job of upkeep"))]
TownId = Annotated[str, _known("town", lambda: facts.towns(), later("town"))]
