"""Loops, their set-up and their log."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date, datetime
from typing import Any

from django.db import IntegrityError
from django.http import HttpRequest
from ninja import Schema

from rillbed.garden.errors import GardenError
from rillbed.garden.log import PAYLOADS, LogEntry
from rillbed.web import bridge, clock
from rillbed.web.api.base import Refusals, api, loop_of, loops_for, needs, refusal, token_of
from rillbed.web.api.models import ALL, LOG
from rillbed.web.forecasts import worker
from rillbed.web.frame.roles import may_change
from rillbed.web.incoming import timely, trusted
from rillbed.web.log.chains import chain_of
from rillbed.web.log.models import LogRow, Loop, Role

MOST_ENTRIES, PAGE, MOST_PAGE, MOST_ERRORS = 500, 100, 1000, 50
TOLD = ("uuid", "at", "kind", "version", "payload", "supersedes")
_ENTRY = {"$ref": "#/components/schemas/NewEntry"}
BODY = {"anyOf": [_ENTRY, {"type": "array", "items": _ENTRY, "minItems": 1, "maxItems": MOST_ENTRIES}]}


class LoopOut(Schema):
    """One loop."""

    id: int
    name: str
    role: str
    invented: bool
    today: date


class EntriesOut(Schema):
    """Entries in the order in which they were stored, and the key to ask for the next ones after."""

    entries: list[dict[str, Any]]
    after: int | None


class Stored(Schema):
    """How many entries are new, and how many were there already."""

    stored: int
    known: int


def day_of(loop: Loop) -> date:
    """Today where the loop stands; the day of the server before it is set up."""
    try:
        return clock.today(bridge.standing_system(loop))
    except GardenError:
        return clock.now().date()


@api.get("/loops", response={200: list[LoopOut], 401: Refusals}, summary="Loops this token may see")
def loops(request: HttpRequest) -> list[dict[str, Any]]:
    """List the loops, the oldest first."""
    return [
        {"id": one.pk, "name": one.name, "role": one.role, "invented": one.invented, "today": day_of(one)}
        for one in loops_for(request)
    ]


@api.get(
    "/loops/{int:loop_id}/system",
    response={200: dict[str, Any], 401: Refusals, 404: Refusals, 422: Refusals},
    summary="The loop as set up",
)
def system(request: HttpRequest, loop_id: int) -> dict[str, Any]:
    """Give the set-up that stands, with the fields of a system file."""
    return bridge.standing_system(loop_of(request, loop_id)).model_dump(mode="json", exclude_none=True)


@api.get(
    "/loops/{int:loop_id}/entries",
    response={200: EntriesOut, 401: Refusals, 404: Refusals, 422: Refusals},
    summary="Entries of the log",
)
def entries(
    request: HttpRequest,
    loop_id: int,
    after: int = 0,
    kind: str = "",
    since: datetime | None = None,
    until: datetime | None = None,
    limit: int = PAGE,
) -> dict[str, Any]:
    """Give entries as stored, corrections beside what they correct; `after` is the key the last answer ended with."""
    loop = loop_of(request, loop_id)
    if kind and kind not in PAYLOADS:
        raise GardenError("kind", kind, f"must be one of {', '.join(PAYLOADS)}")
    if not 1 <= limit <= MOST_PAGE:
        raise GardenError("limit", limit, f"must be from 1 to {MOST_PAGE}")
    if not 0 <= after < 2**63:
        raise GardenError("after", after, "must be a key given before, or 0")
    rows = LogRow.objects.filter(loop=loop, pk__gt=after).order_by("pk")
    rows = rows.filter(kind=kind) if kind else rows
    for name, moment in (("since", since), ("until", until)):
        if moment is None:
            continue
        if moment.tzinfo is None or not 1900 <= moment.year <= 2200:
            raise GardenError(name, moment, "needs its time zone and a year from 1900 to 2200")
        rows = rows.filter(**{"at__gte" if name == "since" else "at__lt": moment})
    found = list(rows[:limit])
    told = [bridge.entry(row).model_dump(mode="json", exclude_none=True) for row in found]
    return {"entries": told, "after": found[-1].pk if len(found) == limit else None}


@api.post(
    "/loops/{int:loop_id}/entries",
    response={200: Stored, 401: Refusals, 403: Refusals, 404: Refusals, 413: Refusals, 422: Refusals},
    summary="Write one entry or a list",
    openapi_extra={"requestBody": {"required": True, "content": {"application/json": {"schema": BODY}}}},
)
def write(request: HttpRequest, loop_id: int) -> Any:
    """Write all entries or none. Sending the same again is harmless: `uuid`, made by the sender, tells them apart."""
    loop = loop_of(request, loop_id)
    needs(request, loop, LOG, Role.HELPER)
    author, log = token_of(request).person.get_username(), bridge.entries(loop)
    try:
        began = bridge.first_system(log)
    except GardenError:
        began = None
    made: list[LogEntry] = []
    errors = []
    for place, row in enumerate(_rows(request)):
        try:
            entry = _entry(row, author)
            timely(entry, began)
            if entry.kind == "set_up":
                needs(request, loop, ALL, Role.OWNER)
            if entry.supersedes is not None:
                _may_correct(loop, author, entry, log)
            made.append(entry)
        except GardenError as error:
            if type(error) is not GardenError:
                raise
            errors.append(refusal(error, place))
    if errors:
        said = Refusals(errors=errors[:MOST_ERRORS])
        return api.create_response(request, said.model_dump(exclude_none=True), status=422)
    stored = _add(loop, made)
    if stored:
        worker.wake()
    return {"stored": stored, "known": len(made) - stored}


def _add(loop: Loop, made: list[LogEntry]) -> int:
    try:
        return bridge.add(loop, *made)
    except IntegrityError:  # the same entry came in twice at once; now it is known
        return bridge.add(loop, *made)


def _rows(request: HttpRequest) -> list[Any]:
    data = body_of(request)
    rows = data if isinstance(data, list) else [data]
    if not 1 <= len(rows) <= MOST_ENTRIES:
        raise GardenError("body", f"{len(rows)} entries", f"needs 1 to {MOST_ENTRIES} entries")
    return rows


def body_of(request: HttpRequest) -> Any:
    """Read the JSON that was sent.

    Raises
    ------
    GardenError
        If it is none, or holds what cannot be stored.
    """
    try:
        return trusted(json.loads(request.body or b"null"))
    except GardenError:
        raise
    except (ValueError, RecursionError) as error:
        raise GardenError("body", "not JSON", f"needs JSON in UTF-8; {' '.join(str(error).split())[:80]}") from None


def _entry(row: Any, author: str) -> LogEntry:
    if not isinstance(row, dict):
        raise GardenError("entry", row, "needs an object with uuid, at, kind and payload")
    for name in row:
        if name not in TOLD:
            raise GardenError(str(name), "given", f"an entry sent has {', '.join(TOLD)}")
    return LogEntry.make(row | {"author": author, "recorded_at": clock.now()})


def _may_correct(loop: Loop, author: str, entry: LogEntry, log: Sequence[LogEntry]) -> None:
    chain = chain_of(log, entry.supersedes) if entry.supersedes else None
    if chain is not None and not may_change(loop, author, chain.now.author):
        raise GardenError("supersedes", entry.supersedes, "a helper corrects own entries; an owner any")
