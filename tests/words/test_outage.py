import re
from datetime import date
from pathlib import Path

import pytest

import rillbed.plan.outage
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.outage import Shoal, Tank, outlook
from rillbed.words import outage as said

SOURCE = "".join(path.read_text() for path in sorted(Path(rillbed.plan.outage.__path__[0]).glob("*.py")))


def test_every_code_has_its_sentence_and_no_sentence_is_left_over():
    assert set(re.findall(r"\"((?:outage|warm)\.[a-z_]+)\"", SOURCE)) - {"outage.bacteria"} == said.REASONS.keys()
    acts = set(re.findall(r"Act\(\"([a-z_]+)\"", SOURCE))
    assert acts == said.ACTS.keys()


@pytest.mark.parametrize("code", sorted(said.REASONS))
def test_every_sentence_can_be_filled(code):
    fields = re.findall(r"{(\w+)", said.REASONS[code])
    text = said.reason(Reason(code, {name: 0.5 for name in fields} | {"share": 0.25, "species": "goldfish"}))
    assert text.endswith(".")
    assert not re.search(r"[{}%]|optimal|smart", text)


@pytest.fixture
def answer():
    names = ("Left", "Right")
    system = System.make(
        {
            "name": "Made-up loop",
            "latitude_deg": -34.0,
            "place": "greenhouse",
            "tanks": [{"name": name, "volume_l": 1000} for name in names],
            "started_on": date(2031, 4, 1),
        }
    )
    tanks = [Tank("Left", 1000.0, 1.25, (Shoal("channel_catfish", 300, 30.0),)),
             Tank("Right", 1000.0, 1.25, (Shoal("rainbow_trout", 2, 200.0),))]  # fmt: skip
    return outlook(system, (), date(2031, 5, 1), tanks=tanks, temp_c=22.0, days_ahead=[(20.0, 38.0)])


def test_the_card_fits_a_page_and_leads_with_what_fails_first(answer):
    card = said.card(answer)
    lines = card.splitlines()
    assert max(len(line) for line in lines) <= 80
    assert len(lines) <= 60
    assert lines[0] == "WHEN THE AIR STOPS"
    assert lines[3].startswith("1. Left")
    assert "[ ] At once: Stop feeding" in card
    assert card.count("exhaust kills") == 1


def test_the_cautious_time_comes_first(answer):
    line = said.lasts(answer.tanks[0].lasts[0])
    found = [int(item) for item in re.findall(r"(\d+)\xa0min", line)]
    assert len(found) == 4
    assert found[0] <= found[1]
    assert found[2] <= found[3]


def test_warm_days_name_water_and_what_to_do(answer):
    assert said.warm_day(answer.warm[0]).startswith("Today: air 20 to 38°C, water up to ")
    assert any("Rainbow trout" in line for line in said.reasons(answer.warm[0].advice))
