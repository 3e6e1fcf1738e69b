"""Every action that can hurt carries its caution, every caution has its words once, a hazard and a source."""

import ast
import re
from pathlib import Path

import pytest

import rillbed
from rillbed import facts
from rillbed.facts import remedies
from rillbed.facts import trouble as table
from rillbed.garden.log import PAYLOADS
from rillbed.garden.system import System
from rillbed.plan.elements import food
from rillbed.words import outage, size_phrases
from rillbed.words.cautions import CAUTIONS, SAME, caution, cautions
from rillbed.words.log_cares import CARES
from rillbed.words.outage_phrases import ACTS
from rillbed.words.phrases import TITLES

ROOT = Path(rillbed.__path__[0])
PLAN = "".join(path.read_text("utf-8") for path in sorted((ROOT / "plan").rglob("*.py")))

# Waiting, reading, feeding within the ration and sowing hurt nobody; every other advice must carry a caution.
HARMLESS_ADVICE = {
    "add.tomorrow", "base.read_first", "base.wait", "cycle.dosed", "cycle.first_reading", "cycle.fish_in", "cycle.hold",
    "cycle.ledger", "cycle.no_source", "cycle.wait", "feed.done", "feed.ration", "feed.stop", "plant.after",
    "plant.none", "read.due", "sow.tray",
}  # fmt: skip
# Made by one call whose code is chosen at the time: the amounts of a start-up, and what reads too high.
CHOSEN = {"cycle.dose", "cycle.prove", "warn.tan", "warn.nitrite"}
# Stopping, leaving, covering, feeding less and watching hurt nobody.
HARMLESS_TROUBLE = {
    "acid.stop", "airflow", "ammonia.add_none", "base.later", "base.stop", "cool.slowly", "cover.opaque",
    "dose.none_yet", "feed.by_steps", "feed.by_temperature", "feed.cut", "feed.stop", "feed.stop_day", "fish.add_none",
    "insulate", "iron.stable", "light.more", "media.fizz_test", "metal.remove", "oxygen.dense_first", "pests.by_hand",
    "ph.accept", "ph.forecast", "ph.leave", "plants.fewer", "plants.hold", "plants.more", "prove.first", "reserve.keep",
    "roots.cool_aerate", "roots.inspect", "roots.remove", "salt.no_more", "shade", "source.soften",
    "source.test", "source.test_alkalinity", "stock.binding", "stock.first_share", "stock.stages", "wait.course",
    "wait.plants", "wait.recover", "wash.stop", "water.hold", "water.no_chasing",
}  # fmt: skip
# The plan for the dose hands its own cautions through with the amount.
BY_DOSE = {"potassium.dose", "magnesium.dose", "calcium.dose"}
HARMLESS_ACTS = {"stop_feed", "change", "cool", "back_on", "test_after"}
HARMLESS_KINDS = {
    "reading", "feeding", "removed", "temperature", "observation", "note", "feed_changed", "set_up",
    "withdrawn", "plan_line", "product", "household", "planned",
}  # fmt: skip


def advice():
    """Code of every advice written out in the plans, with the cautions keyword it is made with."""
    found = {}
    for call in ast.walk(ast.parse(PLAN.replace("from __future__ import annotations", ""))):
        if isinstance(call, ast.Call) and getattr(call.func, "id", "") == "Advice":
            first = call.args[0]
            if isinstance(first, ast.Constant):
                carried = any(word.arg == "cautions" for word in call.keywords)
                found[first.value] = found.get(first.value, True) and carried
    return found


def test_every_advice_of_a_day_carries_a_caution_or_hurts_nobody():
    made = advice()
    carried = {code for code, with_caution in made.items() if with_caution}
    assert len(carried) > 8
    assert carried & HARMLESS_ADVICE == set()
    assert TITLES.keys() - carried - CHOSEN == HARMLESS_ADVICE


def test_every_action_in_trouble_carries_a_caution_or_hurts_nobody():
    bare = {code for code, row in table.actions().items() if not row.cautions and row.kind != "test"}
    assert bare - BY_DOSE == HARMLESS_TROUBLE - {"media.fizz_test", "prove.first", "roots.inspect", "source.test",
                                                 "source.test_alkalinity"}  # fmt: skip


def test_every_act_of_a_power_cut_carries_a_caution_or_hurts_nobody():
    source = (ROOT / "plan" / "outage" / "acts.py").read_text("utf-8")
    calls = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call)]
    made = [node for node in calls if getattr(node.func, "id", "") == "Act"]
    carried = {
        node.args[0].value for node in made if len(node.args) > 6 or any(k.arg == "cautions" for k in node.keywords)
    }
    assert {node.args[0].value for node in made} == ACTS.keys()
    assert ACTS.keys() - carried == HARMLESS_ACTS


@pytest.mark.parametrize("row", [*facts.supplements().values(), *facts.ammonia_sources().values()], ids=lambda r: r.id)
def test_what_is_caustic_or_poisonous_says_so(row):
    if (
        "hydroxide" in row.id
        or "lime" in row.id
        or row.id in ("hydrochloric_acid", "phosphoric_acid", "ammonia_solution")
    ):
        assert any(facts.hazard_of(code).id in ("acids_and_bases", "ammonia_solution") for code in row.cautions), row.id
    assert all(caution(code) for code in row.cautions)


def test_every_spray_that_is_not_simply_allowed_says_why():
    rows = remedies.sprays().values()
    assert any(row.verdict == "never" for row in rows)
    assert all(row.cautions or row.verdict == "allowed" for row in rows)


@pytest.mark.parametrize("kind", sorted(PAYLOADS))
def test_every_form_of_the_log_carries_a_caution_or_hurts_nobody(kind):
    # What is planted and picked has the cautions of its food, by crop.
    assert (kind in CARES or kind in ("planted", "picked")) != (kind in HARMLESS_KINDS), kind


def used():
    """Every code named anywhere: plans, pages, tables."""
    code = "".join(
        path.read_text("utf-8") for path in ROOT.rglob("*.py") if path.name not in ("cautions.py",)
    ) + "".join(path.read_text("utf-8") for path in ROOT.rglob("*.toml") if path.name != "hazards.toml")
    return set(re.findall(r'"([a-z_]+(?:\.[a-z_]+)?)"', code))


def test_no_caution_stands_idle_and_each_has_a_hazard_with_its_grade():
    assert CAUTIONS.keys() - used() == set()
    listed = [code for row in facts.hazards().values() for code in row.codes]
    assert len(listed) == len(set(listed))
    assert set(listed) == CAUTIONS.keys() | size_phrases.CAUTIONS.keys()
    for row in facts.hazards().values():
        assert row.source or row.grade in ("practice", "memory")
        assert set(row.source) <= facts.sources().keys()
    with pytest.raises(KeyError):
        facts.hazard_of("no.such")


def test_codes_that_say_the_same_say_it_once():
    assert not SAME.keys() & CAUTIONS.keys()
    assert len(set(CAUTIONS.values())) == len(CAUTIONS)
    assert cautions(["trouble.electric", "electricity", "salt.plain"]) == (
        CAUTIONS["electricity"], CAUTIONS["salt.plain"],
    )  # fmt: skip
    assert outage.caution("trouble.generator") == CAUTIONS["generator.outdoors"]


def test_food_from_the_beds_is_covered_at_planting_and_picking():
    system = System.make({"name": "Made up", "latitude_deg": 50.0, "place": "greenhouse", "started_on": "2031-04-01",
                          "tanks": [{"name": "Tank", "volume_l": 500}],
                          "beds": [{"name": "Raft", "kind": "raft", "area_m2": 2}]})  # fmt: skip
    assert "food.no_wet_leaves" in food.at_planting(system, "lettuce_loose")


def test_cautions_defer_to_those_who_decide():
    text = " ".join(CAUTIONS.values()).lower()
    for who in ("vet", "electrician", "fisheries", "local rules", "local law", "licensed"):
        assert who in text, who
