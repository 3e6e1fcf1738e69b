import re
from pathlib import Path

import pytest

import rillbed
import rillbed.plan
from rillbed import words
from rillbed.plan.advice import Advice, Reason
from rillbed.words.cautions import CAUTIONS
from rillbed.words.learned_phrases import REASONS as LEARNED
from rillbed.words.phrases import REASONS, TITLES

SOURCE = "".join(path.read_text() for path in sorted(Path(rillbed.plan.__path__[0]).glob("*.py")))


def codes(call):
    return set(re.findall(call + r"\(\s*\"([a-z0-9_.]+)\"", SOURCE))


def test_every_code_a_plan_can_give_has_words():
    assert codes("Advice") - TITLES.keys() == set()
    assert codes("Reason") - REASONS.keys() - LEARNED.keys() == set()
    named = set(re.findall(r"cautions=\((.*?)\)", SOURCE))
    used = {code for text in named for code in re.findall(r"\"([a-z_.]+)\"", text)}
    assert used
    assert used <= CAUTIONS.keys()


def test_no_phrase_stands_idle():
    # Built from parts: the stage of a start, the quantity that stops feed, the state of a loop.
    built = ("cycle.", "feed.tan", "feed.no2", "room.state.")
    code = "".join(path.read_text() for path in Path(rillbed.__path__[0]).rglob("*.py") if path.name != "phrases.py")
    tables = "".join(path.read_text() for path in Path(rillbed.__path__[0], "facts").glob("*.toml"))
    for table in (TITLES, REASONS):
        assert [name for name in table if f'"{name}"' not in code + tables and not name.startswith(built)] == []


def test_an_advice_reads_as_amount_title_reason_and_caution():
    said = words.sentence(
        Advice(
            "cycle.dose",
            "dose",
            amount=7.639,
            unit="g",
            params={"source": "ammonium_chloride"},
            reasons=(Reason("cycle.tan_low", {"high": 0.375, "mark": 0.5}),),
            cautions=("ammonia.bleach",),
        )
    )
    assert said.title == "Stir in ammonium chloride"
    assert said.amount == "7.6\N{NO-BREAK SPACE}g"
    assert said.reasons == (
        "Ammonia reads no higher than 0.38\N{NO-BREAK SPACE}mg/L as N, below the refill mark of "
        "0.5\N{NO-BREAK SPACE}mg/L.",
    )
    assert "bleach" in said.cautions[0]


def test_no_phrase_promises_what_the_style_forbids():
    for text in (*TITLES.values(), *REASONS.values(), *CAUTIONS.values()):
        assert not re.search(r"optimal|smart|\bAI\b|%", text), text


@pytest.mark.parametrize("code", sorted(REASONS))
def test_every_reason_can_be_filled(code):
    fields = set(re.findall(r"{(\w+)", REASONS[code]))
    values = {name: "2031-05-02" if name in ("low", "middle", "high", "on", "last") else 0.5 for name in fields}
    if ":day" not in REASONS[code]:
        values = dict.fromkeys(fields, 0.5)
    text = words.reason(Reason(code, values))
    assert text[-1] in ".:"
    assert "{" not in text
