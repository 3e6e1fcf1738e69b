"""A card for each kind of trouble: what to do first, and what never, for the loop as it stands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from uuid import NAMESPACE_URL, uuid5

from rillbed.garden.chains import Told
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.trouble import triage
from rillbed.tongue import tr
from rillbed.web.trouble.asking import BEGIN
from rillbed.web.trouble.page import answer

MOST = 4


@dataclass(frozen=True)
class Card:
    """One kind of trouble."""

    title: str
    do: tuple[tuple[str, str], ...]
    never: tuple[str, ...]
    cares: tuple[str, ...]


def cards_of(system: System, log: Told, on: date) -> tuple[Card, ...]:
    """Give a card for each kind of trouble that the page Trouble begins with."""
    return tuple(_card(title, seen, system, log, on) for title, seen in BEGIN)


def _card(title: str, seen: dict[str, str], system: System, log: Told, on: date) -> Card:
    at = datetime.combine(on, time(12), tzinfo=UTC)
    told = [_told(code, value, at) for code, value in seen.items()]
    found = answer(triage(system, log.seen(told), on=on), seen)
    first = found.first[:MOST]
    do = [(f"{job.title} ({job.amount})" if job.amount else job.title, job.when) for job in first]
    if not do and found.ask is not None and found.ask.answers:
        do.append((found.ask.text, tr("Find out first")))
    cares = dict.fromkeys(care for job in first for care in job.cautions)
    return Card(tr(title), tuple(do), found.never[:MOST], tuple(cares)[:MOST])


def _told(code: str, value: str, at: datetime) -> LogEntry:
    told = {"uuid": uuid5(NAMESPACE_URL, f"rillbed card {code}"), "at": at, "recorded_at": at, "author": ""}
    return LogEntry.make(told | {"kind": "observation", "payload": {"what": code, "text": value}})
