"""The answer to trouble as a page shows it: what to do first, what not, what it may be, what to find out next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from rillbed.facts import trouble as table
from rillbed.plan.trouble import Do, Found, Triage
from rillbed.tongue import tr
from rillbed.words import trouble as words
from rillbed.words.cautions import cautions
from rillbed.words.numbers import capital
from rillbed.words.trouble_actions import ACTIONS

SHOWN = 5  # more than anybody does at once; the rest is folded, as is what no finding on the page explains


@dataclass(frozen=True)
class Job:
    """One thing to do: what, how much, by when, how fast, with which cautions."""

    when: str
    title: str
    amount: str
    rate: str
    cautions: tuple[str, ...]
    lines: tuple[str, ...]


@dataclass(frozen=True)
class May:
    """One thing it may be, with what speaks for and against it."""

    text: str
    speaks: tuple[str, ...]
    against: tuple[str, ...]
    grade: str


@dataclass(frozen=True)
class Ask:
    """The question worth most: its text, its answers as queries, and what is safe meanwhile."""

    text: str
    answers: tuple[tuple[str, str], ...]
    meanwhile: str
    test: bool


@dataclass(frozen=True)
class Answer:
    """The whole page."""

    first: tuple[Job, ...]
    later: tuple[Job, ...]
    never: tuple[str, ...]
    may: tuple[May, ...]
    ask: Ask | None
    tests: tuple[str, ...]
    unfit: tuple[str, ...]
    hidden: tuple[str, ...]
    cautions: tuple[str, ...]


def answer(found: Triage, seen: Mapping[str, str]) -> Answer:
    """Put an answer into words."""
    named = {item.code for item in found.findings}
    plain = [item for item in found.actions if item.safe or named & set(item.because)]
    first, later = plain[:SHOWN], [item for item in found.actions if item not in plain[:SHOWN]]
    return Answer(
        tuple(map(_job, first)),
        tuple(map(_job, later)),
        tuple(words.refused(item) for item in found.refusals),
        tuple(_may(item) for item in found.findings),
        _ask(found, seen) if found.findings or seen else None,
        tuple(words.next_test(item) for item in found.next_tests),
        tuple(words.said(item) for item in found.contradictions),
        tuple(words.said(item) for item in found.hidden),
        cautions(found.cautions),
    )


def _job(item: Do) -> Job:
    text, how_much = tr(ACTIONS[item.code]), words.how_much(item) if item.amount else ""
    lines = tuple(words.tank(row) for row in item.details if "tank" in row)
    rate = words.said(item.rate) if item.rate is not None else ""
    by = words.due(item)
    return Job(capital(by), text, how_much, rate, cautions(item.cautions), lines)


def _may(item: Found) -> May:
    speaks = tuple(words.said(one) for one in item.evidence_for)
    return May(words.found(item), speaks, tuple(words.said(one) for one in item.evidence_against), item.grade)


def _ask(found: Triage, seen: Mapping[str, str]) -> Ask:
    asked = found.question
    meanwhile = words.interim(asked.interim) if asked.clue and asked.interim else ""
    clue = table.clues().get(asked.clue)
    if clue is None:
        return Ask(words.asked(asked), (), meanwhile, asked.clue == "basis")
    text = words.clue(asked.clue, clue.answers[0])[0]
    if clue.quantity:
        return Ask(text, (), meanwhile, True)
    answers = tuple(
        (words.clue(asked.clue, one)[1], urlencode({**seen, asked.clue: one})) for one in asked.answers or clue.answers
    )
    return Ask(text, answers, meanwhile, False)
