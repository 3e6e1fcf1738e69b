"""Identifiers that must be in the tables of facts."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Annotated

from pydantic import AfterValidator

from rillbed import facts
from rillbed.garden.errors import must_be_known
from rillbed.garden.products import is_own


def _known(field: str, table: Callable[[], Mapping[str, object]], what: str) -> AfterValidator:
    return AfterValidator(lambda value: must_be_known(field, value, table(), what))


def supplies() -> dict[str, object]:
    """Return everything that can stand on a shelf: supplements, ammonia sources and feeds by id."""
    return {**facts.supplements(), **facts.ammonia_sources(), **facts.feeds()}


SpeciesId = Annotated[str, _known("species", lambda: facts.species(), "species")]
CropId = Annotated[str, _known("crop", lambda: facts.crops(), "crop")]
FeedId = Annotated[str, _known("feed", lambda: facts.feeds(), "feed")]
SourceId = Annotated[str, _known("source", lambda: facts.ammonia_sources(), "ammonia source")]


def _supply(value: str) -> str:
    # Whether an own product stands in the system is known only there.
    return value if is_own(value) else must_be_known("supply", value, supplies(), "supply")


SupplyId = Annotated[str, AfterValidator(_supply)]
JobId = Annotated[str, _known("job", lambda: facts.upkeep(), "job of upkeep")]
TownId = Annotated[str, _known("town", lambda: facts.towns(), "town")]
