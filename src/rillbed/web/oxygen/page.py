"""The hours of oxygen as a page."""

from __future__ import annotations

import math
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from rillbed import draw, facts
from rillbed.plan.outage import Minutes, Outlook, TankLife
from rillbed.tongue import tr
from rillbed.words import outage as said
from rillbed.words.numbers import say

MOST_H = 24.0
MINUTES_PER_H = 60.0


@dataclass(frozen=True)
class Tank:
    """One tank: its line, its cases as a picture and in words, and the air it needs."""

    title: str
    picture: SafeString | None
    cases: tuple[str, ...]
    air: str


@dataclass(frozen=True)
class Act:
    """One thing to do: by when, what, why, cautions."""

    when: str
    what: str
    why: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class Page:
    """Everything the template shows."""

    verdict: str
    tanks: tuple[Tank, ...]
    acts: tuple[Act, ...]
    ready: tuple[Act, ...]
    warm: tuple[tuple[str, tuple[str, ...]], ...]
    notes: tuple[str, ...]
    sources: tuple[str, ...]


def page(found: Outlook) -> Page:
    """Lay out an answer; a caution stands with the first act it belongs to."""
    shown: list[Act] = []
    known: set[str] = set()
    for item in found.acts:
        fresh = tuple(said.caution(code) for code in item.cautions if code not in known)
        known |= set(item.cautions)
        shown.append(Act(said.by(item), said.act(item), said.reasons(item.why), fresh))
    kept = [item.code == "alarm" for item in found.acts]
    return Page(
        verdict=_verdict(found),
        tanks=tuple(_tank(item) for item in found.tanks),
        acts=tuple(act for act, is_later in zip(shown, kept, strict=True) if not is_later),
        ready=tuple(act for act, is_later in zip(shown, kept, strict=True) if is_later),
        warm=tuple((said.warm_day(day), said.reasons(day.advice)) for day in found.warm),
        notes=said.reasons(found.notes),
        sources=tuple(_work(key) for key in found.sources),
    )


def _work(key: str) -> str:
    work = facts.sources()[key]
    return f"{work.author} {work.year}" if work.year else f"{work.author}, {work.title}"


def _verdict(found: Outlook) -> str:
    first = next((tank for tank in found.tanks if tank.lasts), None)
    if first is None:
        return tr("No fish are in the log: nothing breathes here yet.")
    return say(
        "When the air stops, fish in {tank} last {time} at worst.",
        tank=first.name, time=said.minutes(first.first_minutes),
    )  # fmt: skip


def _tank(item: TankLife) -> Tank:
    if not item.lasts:
        return Tank(said.tank(item), None, (), "")
    return Tank(
        said.tank(item), mark_safe(draw.room(_picture(item))), tuple(map(said.lasts, item.lasts)), said.air(item)
    )


def _picture(item: TankLife) -> draw.Room:
    """Draw the hours until fish fail, the cautious end left, a day at most."""
    views = []
    for case in item.lasts:
        ends = [min(x, MOST_H * MINUTES_PER_H) / MINUTES_PER_H for x in (case.critical.cautious, case.critical.hopeful)]
        hour = tr("by day") if case.case == "day" else tr("at night")
        label = ", ".join((said.fish(case.species), hour, tr("fed") if case.fed else tr("not fed")))
        beyond = math.isinf(case.critical.cautious) or case.critical.cautious > MOST_H * MINUTES_PER_H
        value = tr(said.LONG) if beyond else _between(case.critical)
        views.append(draw.View(label, ends[0], ends[1], value))
    told = " ".join(f"{v.label}: {v.value}." for v in views)
    summary = f"{say('Hours until fish in {tank} fail.', tank=item.name)} {told}"
    return draw.Room(summary, tr("hours"), tuple(views))


def _between(value: Minutes) -> str:
    low, high = said.minutes(value.cautious), said.minutes(value.hopeful)
    return low if low == high else say("{low}\u00a0to\u00a0{high}", low=low, high=high)
