"""Sourced figures, loaded from the data files of this package."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files

from rillbed.facts.climate import nearest_town as nearest_town
from rillbed.facts.climate import towns as towns
from rillbed.facts.figures import fact as fact
from rillbed.facts.figures import facts as facts
from rillbed.facts.figures import series as series
from rillbed.facts.figures import value as value
from rillbed.facts.hazards import hazard_of as hazard_of
from rillbed.facts.hazards import hazards as hazards
from rillbed.facts.jobs import upkeep as upkeep
from rillbed.facts.living import crops as crops
from rillbed.facts.living import species as species
from rillbed.facts.loops import feed_rate_bands as feed_rate_bands
from rillbed.facts.loops import kits as kits
from rillbed.facts.loops import media as media
from rillbed.facts.loops import priors as priors
from rillbed.facts.loops import water_limits as water_limits
from rillbed.facts.records import Source
from rillbed.facts.remedies import sprays as sprays
from rillbed.facts.remedies import symptoms as symptoms
from rillbed.facts.single import choice as choice
from rillbed.facts.single import choices as choices
from rillbed.facts.single import dilution_curves as dilution_curves
from rillbed.facts.single import growth_classes as growth_classes
from rillbed.facts.supplies import ammonia_sources as ammonia_sources
from rillbed.facts.supplies import element_fractions as element_fractions
from rillbed.facts.supplies import feeds as feeds
from rillbed.facts.supplies import supplements as supplements
from rillbed.facts.traces import trace_elements as trace_elements


@cache
def sources() -> dict[str, Source]:
    """Return every source by key; an unknown field in the registry raises TypeError."""
    table = tomllib.loads(files(__name__).joinpath("sources.toml").read_text("utf-8"))
    return {key: Source(key=key, **row) for key, row in table.items()}
