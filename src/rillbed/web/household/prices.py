"""What a kilogram of the feed and of each plain substance on the shelf costs, in the keeper's money."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rillbed.garden.errors import GardenError
from rillbed.garden.known import supplies
from rillbed.garden.products import is_own
from rillbed.garden.system import System
from rillbed.tongue import tr
from rillbed.web.log.form import sentence
from rillbed.web.setup.fields import Field
from rillbed.web.setup.measures import number, plain

PREFIX = "price-"


def fields(system: System) -> tuple[Field, ...]:
    """Give one field for each; own products carry their price on their label."""
    known = supplies()
    names = dict.fromkeys([*([system.feed] if system.feed else []), *system.shelf])
    return tuple(
        Field(PREFIX + name, tr(getattr(known[name], "name", name)), "number") for name in names if name in known
    )


def filled_from(system: System) -> dict[str, str]:
    """Give what is known already, as it would be typed."""
    return {PREFIX + item.supply: plain(item.per_kg) for item in system.prices}


def read(typed: Mapping[str, str], system: System) -> tuple[list[dict[str, Any]], dict[str, str]]:
    """Give the prices of a loop, those of other things kept as they are; and what is wrong by field."""
    asked = [field.name for field in fields(system)]
    kept = [dict(item) for item in system.prices if PREFIX + item.supply not in asked or is_own(item.supply)]
    problems: dict[str, str] = {}
    for name in asked:
        text = typed.get(name, "").strip()
        if not text:
            continue
        try:
            price = number(name, text)
        except GardenError as error:
            problems[name] = sentence(error)
            continue
        if price <= 0.0:
            problems[name] = tr("Must be above 0; empty if you do not know.")
        kept.append({"supply": name.removeprefix(PREFIX), "per_kg": price})
    return kept, problems
