import re
from datetime import date
from pathlib import Path

import pytest

import rillbed.plan.doses
import rillbed.plan.outage
from rillbed import facts
from rillbed.garden.system import System
from rillbed.plan import doses
from rillbed.plan.advice import Reason
from rillbed.words import doses as said
from rillbed.words.phrases import REASONS as SHARED

SOURCE = "".join(path.read_text() for path in sorted(Path(rillbed.plan.doses.__path__[0]).glob("*.py")))
PREFIXES = r"\"((?:added|doses|refuse|not|instead|expect)\.[a-z0-9_]+)\""


def test_every_code_has_its_sentence_and_no_sentence_is_left_over():
    used = set(re.findall(PREFIXES, SOURCE)) - {"refuse.target"}  # names a group of reasons, not a sentence
    assert used - said.REASONS.keys() - SHARED.keys() == set()
    spare = {"doses.again", "refuse.tan_open"}  # made of a plan's own fields
    assert said.REASONS.keys() - used == spare


def test_every_caution_has_its_sentence():
    rows = {code for row in facts.supplements().values() for code in row.cautions}
    assert all(said.caution(code) for code in rows)


@pytest.mark.parametrize("code", sorted(said.REASONS))
def test_every_sentence_can_be_filled(code):
    fields = re.findall(r"{(\w+)", said.REASONS[code])
    text = said.reason(Reason(code, {name: 0.5 for name in fields} | {"share": 0.25}))
    assert text[-1] in ".:"
    assert "{" not in text
    assert not re.search(r"optimal|smart|%", text)


@pytest.fixture
def system():
    return System.make(
        {
            "name": "Made-up loop",
            "latitude_deg": -34.0,
            "place": "greenhouse",
            "tanks": [{"name": "tank", "volume_l": 1000}],
            "started_on": date(2031, 4, 1),
        }
    )


SPANS = {"ph": (6.4, 6.6), "alkalinity": (0.3, 0.5), "tan": (0.0, 0.25), "no2": (0.5, 1.0)}
GOALS = [
    doses.Goal("raise_ph", 7.0),
    doses.Goal("raise_ph", 7.0, "potassium_hydroxide"),
    doses.Goal("raise_alkalinity", 0.9),
    doses.Goal("lower_ph", 6.2),
    doses.Goal("protect_nitrite"),
    doses.Goal("dechlorinate"),
    doses.Goal("iron"),
    doses.Goal("iron", None, "nails"),
    doses.Goal("dilute", 0.1, quantity="no2"),
    doses.Goal("carbonate_media", 1.0),
    doses.Goal("supplement", needs={"k": 10.0, "fe": 1.0, "alkalinity": 0.2}),
]


@pytest.mark.parametrize("goal", GOALS, ids=lambda goal: f"{goal.kind}-{goal.substance}")
def test_whole_answers_read_as_sentences(system, goal):
    text = said.answer(doses.plan(goal, doses.Water(1000.0, SPANS), system))
    lines = [text.headline, *text.why, *text.expect, *text.instead, *text.not_to_do, *text.cautions]
    lines += [line for step in text.steps for line in (step.when, step.title, step.amount, *step.lines)]
    assert text.why
    assert text.steps or text.instead
    assert not any(re.search(r"[{}_]|None|not known|inf\b", line) for line in lines), lines


def test_a_refusal_reads_plainly(system):
    spans = SPANS | {"tan": (2.0, None)}
    text = said.answer(doses.plan(doses.Goal("raise_ph", 7.0), doses.Water(1000.0, spans), system))
    assert text.headline == "Do not do it"
    assert text.why == (
        "Ammonia is at the top of your kit, and raising pH makes it more toxic: no base from 1\xa0mg/L on.",
    )
    assert text.instead[0].startswith("First bring ammonia down")
