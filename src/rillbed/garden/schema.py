"""JSON Schema of the system file and of the log, made from the types themselves."""

from __future__ import annotations

from typing import Any

from rillbed.garden.log import PAYLOADS, VERSIONS, LogEntry
from rillbed.garden.logrows import LOG_FORMAT
from rillbed.garden.system import SYSTEM_FORMAT, System


def system_schema() -> dict[str, Any]:
    """Return the JSON Schema of a system file."""
    return {"$schema": _DIALECT, "$comment": f"format {SYSTEM_FORMAT}", **System.model_json_schema()}


def entry_schema(kind: str) -> dict[str, Any]:
    """Return the JSON Schema of the payload of one kind of entry; KeyError for an unknown kind."""
    return PAYLOADS[kind].model_json_schema()


def log_schema() -> dict[str, Any]:
    """Return the JSON Schema of one entry of a log in JSON lines, its payload chosen by its kind."""
    schema = LogEntry.model_json_schema()
    definitions = schema.pop("$defs", {})
    choices = []
    for kind in PAYLOADS:
        payload = PAYLOADS[kind].model_json_schema(ref_template="#/$defs/{model}")
        definitions.update(payload.pop("$defs", {}))
        definitions[PAYLOADS[kind].__name__] = payload
        versions = {"minimum": 1, "maximum": VERSIONS[kind]}
        properties = {
            "kind": {"const": kind},
            "version": versions,
            "payload": {"$ref": f"#/$defs/{PAYLOADS[kind].__name__}"},
        }
        choices.append({"properties": properties})
    return {"$schema": _DIALECT, "$comment": f"format {LOG_FORMAT}", **schema, "oneOf": choices, "$defs": definitions}


_DIALECT = "https://json-schema.org/draft/2020-12/schema"
