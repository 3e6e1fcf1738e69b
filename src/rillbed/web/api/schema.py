"""The OpenAPI document: addresses from the interface itself, shapes from the types of the loop, its log and answers."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from rillbed.garden.log import PAYLOADS, LogEntry
from rillbed.garden.system import System
from rillbed.plan.answers import Room, Today
from rillbed.plan.beds.answers import PlantingPlan
from rillbed.plan.beds.year import RoomWeek
from rillbed.plan.carry import Carried
from rillbed.plan.doses import DosePlan, Refusal
from rillbed.plan.elements.answer import Nutrients
from rillbed.plan.fish import Fish
from rillbed.plan.outage import Outlook as Oxygen
from rillbed.plan.outlook import Outlook
from rillbed.plan.verdict import Verdict
from rillbed.web.api import answers, loops
from rillbed.web.api.base import PREFIX, api
from rillbed.web.api.shapes import REF, shape

ASKED_IN = (answers, loops)  # importing them puts their addresses into the interface
FRESH = {"fresh": bool, "made_at": str | None, "problem": str}
# Name of an address -> what its answer holds.
ANSWERS: dict[str, dict[str, Any]] = {
    "today": FRESH | {"today": Today | None},
    "forecast": FRESH | {"forecast": Outlook | None, "carried": Carried | None},
    "fish": FRESH | {"fish": Fish | None},
    "room": FRESH | {"room": Room | None, "weeks": tuple[RoomWeek, ...] | None, "crop": str},
    "plan": FRESH | {"plan": PlantingPlan | None},
    "nutrients": FRESH | {"nutrients": Nutrients | None},
    "water": {"verdict": Verdict},
    "dose": {"answer": str, "plan": DosePlan | Refusal},
    "oxygen": {"oxygen": Oxygen},
}
CASE = {
    "type": "object",
    "properties": {
        "title": {"type": "string"},
        "system": {"type": "object"},
        "log": {"type": "array", "items": {"type": "object"}},
        "see": {"anyOf": [{"type": "object"}, {"type": "array", "items": {"type": "object"}}]},
        "on": {"anyOf": [{"type": "integer"}, {"type": "string", "format": "date"}]},
    },
    "additionalProperties": False,
}


def _entries(known: dict[str, Any]) -> None:
    """Say of each kind of entry what its payload holds; author and time of storing are the server's to say."""
    fields = known["LogEntry"]["properties"]
    sent = {name: fields[name] for name in ("uuid", "at", "version", "supersedes")}
    each = []
    for kind, payload in PAYLOADS.items():
        held = shape(payload, known)
        name = f"Entry_{kind}"
        known[name] = {
            "type": "object",
            "description": (payload.__doc__ or "").split("\n\n")[0],
            "properties": sent | {"kind": {"const": kind}, "payload": held},
            "required": ["uuid", "at", "kind", "payload"],
            "additionalProperties": False,
        }
        each.append({"$ref": REF.format(model=name)})
    known["NewEntry"] = {"oneOf": each, "description": "One entry, of any kind that the log has."}


@cache
def schema() -> dict[str, Any]:
    """Give the document; it is the same for everybody."""
    found: dict[str, Any] = json.loads(json.dumps(api.get_openapi_schema(path_prefix=PREFIX)))
    known: dict[str, Any] = found["components"]["schemas"]
    for name, model in (("LogEntry", LogEntry), ("System", System)):
        made = model.model_json_schema(ref_template=REF)
        known |= made.pop("$defs", {})
        known[name] = made
    _entries(known)
    known["Case"] = CASE
    for path, verbs in found["paths"].items():
        held = ANSWERS.get(path.rsplit("/", 1)[-1])
        if held is not None:
            properties = {name: shape(kind, known) for name, kind in held.items()}
            told = {"type": "object", "properties": properties, "required": list(held)}
            verbs["get"]["responses"]["200"]["content"] = {"application/json": {"schema": told}}
        if path.endswith("/system"):
            verbs["get"]["responses"]["200"]["content"] = {
                "application/json": {"schema": {"$ref": REF.format(model="System")}}
            }
    return found
