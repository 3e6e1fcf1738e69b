"""A triage as plain data with its sentences: what ``rillbed check --json`` and the programming interface give."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from rillbed.plan.trouble import Triage
from rillbed.words import trouble as words
from rillbed.words.plain import plain


def with_words(answer: Triage) -> dict[str, Any]:
    """Return the answer as plain data, each item with its sentence under ``text``."""
    data: dict[str, Any] = plain(answer)
    _say(data["findings"], answer.findings, words.found)
    _say(data["actions"], answer.actions, words.do)
    _say(data["refusals"], answer.refusals, words.refused)
    _say(data["next_tests"], answer.next_tests, words.next_test)
    _say(data["contradictions"], answer.contradictions, words.said)
    _say(data["hidden"], answer.hidden, words.said)
    for row, item in zip(data["findings"], answer.findings, strict=True):
        for side in ("evidence_for", "evidence_against"):
            _say(row[side], getattr(item, side), words.said)
    for row, refusal in zip(data["refusals"], answer.refusals, strict=True):
        _say(row["why"], refusal.why, words.said)
    for key in ("question", "then_ask"):
        asked = getattr(answer, key)
        if asked is not None:
            data[key]["text"] = words.asked(asked)
    data["cautions"] = [{"code": code, "text": words.caution(code)} for code in answer.cautions]
    return data


T = TypeVar("T")


def _say(rows: list[dict[str, Any]], items: Sequence[T], say: Callable[[T], str]) -> None:
    """Put the sentence of each item beside its data."""
    for row, item in zip(rows, items, strict=True):
        row["text"] = say(item)
