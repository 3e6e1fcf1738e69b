"""Over fish: what plants.md and FAO paper 589 (sections 6.5 to 6.7, appendix 2) allow, and what they forbid."""

from datetime import timedelta

import pytest

from rillbed import facts
from rillbed.facts.remedies import sprays
from rillbed.plan.elements.sprays import PESTS, against, check


@pytest.mark.parametrize(
    "typed",
    ["Pyrethrum spray", "permethrin 10%", "rotenone", "nicotine", "Copper sulphate", "sulfur", "metaldehyde",
     "bleach", "tobacco water", "imidacloprid", "malathion", "carbaryl", "dish soap", "benzalkonium chloride",
     "streptomycin", "Bordeaux mixture", "slug pellets"],
)  # fmt: skip
def test_what_kills_fish_is_never_used(typed):
    answer = check(typed)
    assert (answer.verdict, answer.refused) == ("never", True)
    assert answer.instead


@pytest.mark.parametrize(
    "typed", ["potassium soap", "neem oil", "horticultural oil", "spinosad", "iron phosphate bait"]
)
def test_what_needs_a_sheet_between(typed):
    assert (check(typed).verdict, check(typed).refused) == ("barrier", False)


@pytest.mark.parametrize(
    "typed", ["hand picking", "ladybirds", "Bacillus thuringiensis kurstaki", "netting", "milk spray", "Btk"]
)
def test_what_may_be_used(typed):
    assert check(typed).verdict == "allowed"


def test_the_worst_of_a_mixture_decides():
    answer = check("neem oil with pyrethrin and milk")
    assert answer.verdict == "never"
    assert set(answer.found) == {"neem", "pyrethrum", "milk"}


def test_what_nobody_knows_does_not_go_over_fish():
    answer = check("Wonder Mist 3000")
    assert (answer.verdict, answer.refused, answer.found) == ("unknown", True, ())


def test_a_slip_of_the_finger_is_understood():
    assert check("pyrethrom").found == ("pyrethrum",)


def test_dish_soap_is_not_taken_for_potassium_soap():
    assert check("dish soap").found == ("detergent",)


def test_instead_comes_something_that_helps_against_this_pest():
    answer = check("pyrethrum", pest="caterpillars")
    named = [item.values["spray"] for item in answer.instead]
    assert named[0] == "hand_picking"
    assert "bt" in named
    assert all("caterpillars" in sprays()[name].against for name in named)
    assert [item.code for item in check("Bt", pest="aphids").why][-1] == "spray.not_against"


def test_every_pest_has_a_gentle_way():
    table = sprays()
    for pest in set(PESTS) - {"scale", "ants"}:
        assert any(table[name].verdict == "allowed" for name in against(pest)), pest


def test_the_table_holds_together():
    names = [name for row in sprays().values() for name in row.names]
    assert len(names) == len(set(names))
    assert all(name == name.lower() for name in names)
    for row in sprays().values():
        assert set(row.source) <= set(facts.sources())
        assert (row.verdict == "never") == (not row.against)
        assert row.cautions or row.verdict == "allowed"


def test_an_empty_loop_is_told_apart(system, on):
    answer = check("copper", system=system, entries=(), on=on + timedelta(days=1))
    assert answer.verdict == "never"
    assert "spray.no_fish_yet" in [item.code for item in answer.why]


def test_bad_input():
    with pytest.raises(ValueError, match="substance: nothing was named"):
        check("  ")
    with pytest.raises(ValueError, match="pest = 'wolves': must be one of"):
        check("neem", pest="wolves")
