"""Triage as data: every code it names exists, chances add up, and every row has a source that is registered."""

import math

import pytest

from rillbed import facts
from rillbed.facts import trouble
from rillbed.facts.table import GRADES

ROWS = [
    pytest.param(row, id=f"{type(row).__name__}-{row.id}")
    for table in (trouble.clues(), trouble.findings(), trouble.actions(), trouble.bans())
    for row in table.values()
]


@pytest.mark.parametrize("row", ROWS)
def test_every_row_has_a_grade_and_registered_sources(row):
    assert row.grade in GRADES
    assert set(row.source) <= facts.sources().keys()
    if row.grade == "published":
        assert row.source


def test_answers_have_bases_that_add_up():
    for clue in trouble.clues().values():
        assert len(clue.answers) == len(clue.base) == len(set(clue.answers)), clue.id
        assert math.isclose(sum(clue.base), 1.0), clue.id
        assert min(clue.base) > 0.0, clue.id
        if clue.quantity:
            assert len(clue.edges) == len(clue.answers) - 1, clue.id
            assert list(clue.edges) == sorted(clue.edges), clue.id


def test_findings_name_only_what_exists():
    for finding in trouble.findings().values():
        for key, ratio in finding.likelihood.items():
            clue, answer = key.split(".")
            assert answer in trouble.clues()[clue].answers, (finding.id, key)
            assert ratio > 0.0, (finding.id, key)
        assert {*finding.do, *finding.harm} <= trouble.actions().keys(), finding.id


def test_every_axis_has_one_finding_that_all_is_well_and_it_is_the_likeliest():
    for axis, members in trouble.axes().items():
        quiet = [item for item in members if item.quiet]
        assert len(quiet) == 1, axis
        assert quiet[0].prior == max(item.prior for item in members), axis


def test_every_action_is_worth_taking_somewhere():
    for action in trouble.actions().values():
        assert any(item.do.get(action.id, 0.0) > action.minutes for item in trouble.findings().values()), action.id
        assert set(action.excludes) <= trouble.actions().keys(), action.id


def test_chances_of_a_finding_add_up_and_keep_their_ratios():
    clue = trouble.clues()["gills"]
    chances = trouble.answer_likelihoods(trouble.findings()["nitrite_poisoning"], clue)
    assert math.isclose(sum(chances), 1.0)
    ratio = chances[clue.answers.index("brown")] / chances[clue.answers.index("pale")]
    assert math.isclose(ratio, 25.0 * clue.base[1] / clue.base[2])


def test_bans_name_only_what_exists():
    for ban in trouble.bans().values():
        for item in ban.when:
            if item.startswith("finding:"):
                assert item.removeprefix("finding:") in trouble.findings(), ban.id
            elif item.startswith("clue:"):
                clue, answer = item.removeprefix("clue:").split(".")
                assert answer in trouble.clues()[clue].answers, ban.id
            else:
                assert ">=" in item or "<=" in item, ban.id
