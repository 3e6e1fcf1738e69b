"""The form of one entry: its payload as fields, and fields as its payload; what they do not ask for stays as it was."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rillbed.garden.base import Frozen
from rillbed.garden.errors import GardenError
from rillbed.garden.log import PAYLOADS
from rillbed.garden.readings import Reading
from rillbed.garden.system import System
from rillbed.tongue import tr
from rillbed.web import clock
from rillbed.web.setup.fields import Bound, Field, bind
from rillbed.web.setup.measures import MEASURES, UNIT, number, plain, unit_of, whole
from rillbed.web.water.when import TYPED, parsed
from rillbed.words.numbers import capital

# What a new form starts with, beside the first of each set of buttons.
CHECKED = {"treated": "1", "removed": "1"}


@dataclass(frozen=True)
class Read:
    """What was typed: the payload it means, and by field what is wrong."""

    payload: dict[str, Any]
    problems: dict[str, str]


def fresh(fields: Sequence[Field]) -> dict[str, str]:
    """Return an empty form."""
    first = {one.name: one.options()[0][0] for one in fields if one.kind == "picks" and one.options}
    return first | {one.name: CHECKED[one.name] for one in fields if one.name in CHECKED}


def filled(fields: Sequence[Field], payload: Frozen | Mapping[str, Any], system: System) -> dict[str, str]:
    """Return the form that shows a payload as it was typed."""
    held = payload.model_dump(mode="json", exclude_none=True) if isinstance(payload, Frozen) else payload
    out: dict[str, str] = {}
    for one in fields:
        value = held.get(one.name)
        if isinstance(value, dict):
            out |= {one.name: plain(value["value"]), one.name + UNIT: value["unit"]}
        elif one.kind == "check":
            out[one.name] = "1" if value else ""
        elif one.kind == "moment":
            at = getattr(payload, one.name, None)
            out[one.name] = clock.local(system, at).strftime(TYPED) if at else ""
        elif value is not None:
            out[one.name] = plain(value) if isinstance(value, int | float) else str(value)
    if isinstance(payload, Reading):
        # One number, or a range: never both, so that a correction of one cannot leave the other behind.
        alone = payload.low == payload.high
        out |= {"low": "", "high": ""} if alone else {"value": ""}
    return out


def read(
    kind: str,
    fields: Sequence[Field],
    typed: Mapping[str, str],
    system: System,
    base: Mapping[str, Any] | None = None,
    *,
    shown: Sequence[Field] = (),
) -> Read:
    """Return what a filled form means; `base` holds what it does not ask for, `shown` fields that can be wrong, too."""
    held = dict(base or {})
    problems: dict[str, str] = {}
    for one in fields:
        held.pop(one.name, None)
        try:
            value = _value(one, typed, system)
        except GardenError as error:
            problems[one.name] = sentence(error)
            continue
        if value is not None:
            held[one.name] = value
    if not problems:
        names = {one.name for one in (*fields, *shown)}
        for refusal in PAYLOADS[kind].refusals(held):
            name = refusal.field.split(".")[0]
            problems.setdefault(name if name in names else "", sentence(refusal) if name in names else refusal.line())
    return Read(held, problems)


def _value(one: Field, typed: Mapping[str, str], system: System) -> Any:
    text = typed.get(one.name, "").strip()
    if one.kind == "check":
        return bool(text)
    if one.name == "unit":
        return text  # pH has none, and says so
    if not text:
        return None
    if one.measure:
        unit = unit_of(one.name, one.measure, typed)
        if unit not in dict(MEASURES[one.measure].choices):
            raise GardenError(one.name, unit, tr("its unit must be one of those offered"))
        return {"value": number(one.name, text), "unit": unit}
    if one.kind == "whole":
        return whole(one.name, text)
    if one.kind == "moment":
        return parsed(system, text).isoformat()
    if one.kind == "number" or one.name in ("fraction", "feed_share"):
        return number(one.name, text)
    return text


def bound(fields: Sequence[Field], typed: Mapping[str, str], problems: Mapping[str, str]) -> list[Bound]:
    """Return the fields as shown."""
    return [bind(one, typed, problems) for one in fields]


def sentence(error: GardenError) -> str:
    """Say what is allowed."""
    allowed = tr(error.allowed)
    return capital(allowed).rstrip(".") + "."
