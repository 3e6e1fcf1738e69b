"""The hours of oxygen as a page."""

from __future__ import annotations

import math
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from rillbed import draw, facts
from rillbed.plan.outage import Outlook, TankLife
from rillbed.words import outage as said
from rillbed.words.numbers import NBSP

MOST_H = 24.0
MINUTES_PER_H = 60.0
CASES = {"day": "by day", "night": "at night"}


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
    later = [item.code == "alarm" for item in found.acts]
    return Page(
        verdict=_verdict(found),
        tanks=tuple(_tank(item) for item in found.tanks),
        acts=tuple(act for act, is_later in zip(shown, later, strict=True) if not is_later),
        ready=tuple(act for act, is_later in zip(shown, later, strict=True) if is_later),
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
        return "No fish are in the log: nothing breathes here yet."
    return f"When the air stops, fish in {first.name} last {said.minutes(first.first_minutes)} at worst."


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
        label = f"{said.fish(case.species)}, {CASES[case.case]}, {'fed' if case.fed else 'not fed'}"
        beyond = math.isinf(case.critical.cautious) or case.critical.cautious > MOST_H * MINUTES_PER_H
        value = said.LONG if beyond else said.span(case.critical).replace(", at best ", f"{NBSP}to{NBSP}")
        views.append(draw.View(label, ends[0], ends[1], value))
    summary = f"Hours until fish in {item.name} fail. " + " ".join(f"{v.label}: {v.value}." for v in views)
    return draw.Room(summary, "hours", tuple(views))
