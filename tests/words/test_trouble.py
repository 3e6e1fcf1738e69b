"""Every code of the way through trouble has its words, and nothing has words that no code has."""

from pathlib import Path

from rillbed.facts import trouble as table
from rillbed.plan.trouble import case_of, triage
from rillbed.plan.trouble.amounts import AMOUNTS
from rillbed.plan.trouble.events import ANSWERS, KINDS
from rillbed.plan.trouble.values import NUMBERS
from rillbed.words import trouble
from rillbed.words.cautions import CAUTIONS, SAME
from rillbed.words.trouble_actions import ACTIONS
from rillbed.words.trouble_clues import CLUES
from rillbed.words.trouble_findings import FINDINGS
from rillbed.words.trouble_rest import REFUSALS, SAID

TROUBLE_CAUTIONS = {code for row in table.actions().values() for code in row.cautions if code.startswith("trouble.")}


def test_every_code_has_its_words():
    assert FINDINGS.keys() == table.findings().keys()
    assert ACTIONS.keys() == table.actions().keys()
    assert CLUES.keys() == table.clues().keys()
    assert REFUSALS.keys() == {f"refuse.{code}" for code in table.bans()}
    assert {f"expect.{row.expect}" for row in table.findings().values() if row.expect} <= SAID.keys()
    assert {row.amount for row in table.actions().values() if row.amount} == AMOUNTS.keys()


def test_every_answer_has_its_words():
    for code, (_, *answers) in CLUES.items():
        assert len(answers) == len(table.clues()[code].answers), code


def test_every_caution_has_a_sentence():
    assert {code for code in (*CAUTIONS, *SAME) if code.startswith("trouble.")} == TROUBLE_CAUTIONS
    assert all(trouble.caution(code) for code in TROUBLE_CAUTIONS)


def test_a_whole_answer_reads_as_sentences():
    case = case_of(
        {
            "system": {"litres": 900, "species": "tilapia", "count": 20, "temp_c": 26, "basis": "n", "source": "city"},
            "log": [{"day": 0, "tan": ">=4", "no2": 2, "ph": 7.4}, {"day": 1, "event": "water_changed", "share": 0.5},
                    {"day": 2, "tan": ">=4", "no2": 3, "ph": 7.4}],
            "see": {"gasping": True, "dying": "one_by_one", "leaf": "old", "pattern": "edges", "power": "off"},
        }
    )  # fmt: skip
    answer = triage(case.system, case.entries, on=case.on)
    lines = [*map(trouble.found, answer.findings), *map(trouble.do, answer.actions),
             *map(trouble.refused, answer.refusals), *map(trouble.next_test, answer.next_tests),
             *map(trouble.said, answer.hidden), trouble.asked(answer.question)]  # fmt: skip
    lines += [trouble.said(item) for row in answer.findings for item in (*row.evidence_for, *row.evidence_against)]
    lines += [trouble.caution(code) for code in answer.cautions]
    assert answer.hidden
    for line in lines:
        assert line
        assert "{" not in line
        assert "_" not in line, line
    assert any("900" in line or "L" in line for line in lines)


def test_the_manual_lists_every_code():
    manual = (Path(__file__).parents[2] / "docs" / "check.md").read_text("utf-8")
    codes = {
        *table.findings(),
        *table.actions(),
        *REFUSALS,
        *table.clues(),
        *TROUBLE_CAUTIONS,
        *NUMBERS,
        *ANSWERS,
        *KINDS,
    }
    codes |= {f"expect.{row.expect}" for row in table.findings().values() if row.expect}
    assert {code for code in codes if f"`{code}`" not in manual} == set()
