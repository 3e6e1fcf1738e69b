"""Every code has its sentence, and every sentence can be filled from what its code carries."""

from dataclasses import replace
from datetime import date

import pytest

from rillbed.facts import remedies
from rillbed.plan.advice import Reason
from rillbed.plan.answers import Band
from rillbed.plan.elements.evidence import LESS, MORE, Against
from rillbed.plan.elements.ledger import CAUSES, COUNTED, FOLLOWED
from rillbed.plan.elements.short import Shortage
from rillbed.plan.elements.sprays import check
from rillbed.plan.elements.symptoms import SIGNS
from rillbed.words import elements
from rillbed.words.cautions import CAUTIONS
from rillbed.words.elements_phrases import CHECKS, ELEMENTS, LINES, REASONS, SUSPECTS

VALUES = {
    "element": "k", "elements": ("k", "ca"), "low": 1.0, "high": 2.0, "floor": 5.0, "on": "2031-05-22", "now": 0.4,
    "target": 1.0, "ph": 6.4, "early": "2031-05-02", "rise": 3.0, "room": 2.0, "sign": "where", "answer": "old",
    "value": 4.0, "mark": 5.0, "k": 100.0, "ca": 20.0, "days": 3.0, "substance": "white oil", "spray": "neem",
    "pest": "aphids", "quantity": "k",
}  # fmt: skip


@pytest.mark.parametrize("code", REASONS)
def test_every_sentence_can_be_filled(code):
    text = elements.reason(Reason(code, VALUES))
    assert "{" not in text
    assert text[-1] in ".?!"


def test_every_remedy_check_clue_and_caution_has_words():
    for row in remedies.symptoms().values():
        for remedy in row.remedy:
            assert f"remedy.{remedy}" in REASONS or remedy in ("dose", "trace")
        for code in row.check:
            assert elements.check(code)
        for clue in row.water:
            assert elements.reason(Reason(f"clue.{clue}", VALUES))
    for row in remedies.sprays().values():
        assert set(row.cautions) <= set(CAUTIONS)
        assert all(elements.reason(item) for item in check(row.names[0]).why)
    assert set(CHECKS) >= {code for row in remedies.symptoms().values() for code in row.check if code[:5] == "look."}
    assert all(elements.check(f"sign.{sign}").endswith("?") for sign in SIGNS)
    assert set(ELEMENTS) >= {*FOLLOWED, *COUNTED}
    assert set(LINES) == set(CAUSES)
    assert set(SUSPECTS) == {*MORE, *LESS}


def test_a_shortage_in_words():
    day = date(2031, 5, 22)
    item = Shortage("k", 5.0, 20.0, Band(8.0, 9.0, 10.0), None, (day, day, day), 1.0, 0.2, Band(0.0, 0.0, 0.0), ())
    assert elements.shortage(item) == "Potassium: 8–10\xa0mg/L, under 5\xa0mg/L about 22\xa0May."
    low = replace(item, now_mg_l=Band(1.0, 2.0, 3.0))
    assert "under the 5\xa0mg/L that plants need" in elements.shortage(low)
    assert "stays above" in elements.shortage(replace(item, dates=(None, None, None)))


def test_a_contradiction_in_words():
    item = Against("ca", date(2031, 5, 22), None, 20.0, Band(55.0, 60.0, 65.0), "less", 35.0, ("water_left", "kit"))
    text = elements.against(item)
    assert "at most 20\xa0mg/L" in text
    assert "35\xa0g are missing" in text
