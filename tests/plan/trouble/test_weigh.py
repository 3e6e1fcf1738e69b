"""Chances, worth and questions from clues: against sums worked by hand and against what must hold whatever the data."""

import math
from uuid import uuid4

import pytest

from rillbed import facts
from rillbed.facts import trouble
from rillbed.garden.log import LogEntry
from rillbed.plan.ahead import ahead
from rillbed.plan.trouble import case_of, triage
from rillbed.plan.trouble.ask import value
from rillbed.plan.trouble.choose import chosen, worth
from rillbed.plan.trouble.signs import one, scene, steps
from rillbed.plan.trouble.weigh import ratio, weigh
from rillbed.plan.verdict.evidence import Evidence


def sign(clue, answer):
    return {clue: one(trouble.clues()[clue], answer)}


def ask(**data):
    case = case_of(data)
    return triage(case.system, case.entries, on=case.on)


def codes(items):
    return [item.code for item in items]


def test_one_clue_by_hand():
    # Prior times ratio to the power of the temper, over the sum: two findings of one axis by hand.
    signs = sign("level", "falling")
    temper = facts.value("trouble.temper")
    raw = {item.id: item.prior * ratio(item.id, "level", signs["level"]) ** temper for item in trouble.axes()["hull"]}
    chances = weigh(signs)
    assert chances.of["leak"] == pytest.approx(raw["leak"] / sum(raw.values()))
    assert chances.of["leak"] > 0.5 > chances.of["hull_sound"]


@pytest.mark.parametrize("axis", sorted(trouble.axes()))
def test_chances_of_an_axis_sum_to_one_whatever_is_seen(axis):
    for clue, row in trouble.clues().items():
        for answer in row.answers:
            chances = weigh(sign(clue, answer))
            assert sum(chances.of[item.id] for item in trouble.axes()[axis]) == pytest.approx(1.0)


def test_an_answer_averaged_over_its_base_says_nothing():
    for finding in trouble.findings():
        for clue, row in trouble.clues().items():
            mean = sum(b * ratio(finding, clue, one(row, a)) for a, b in zip(row.answers, row.base, strict=True))
            assert mean == pytest.approx(1.0)


def test_a_reading_over_two_steps_counts_for_both():
    clue = trouble.clues()["tan"]
    at = case_of({"system": {"litres": 900}, "log": [{"tan": 1}]})
    moment = at.entries[0].at
    item = Evidence("tan", 0.6, 1.4, moment, at.on, 0)
    assert steps(clue, item) == pytest.approx((0.0, 0.5, 0.5, 0.0))
    # The same number counted as the ion is a lower one as N; nobody knows which, so half each.
    both = Evidence("tan", 1.2, 1.2, moment, at.on, 0, ion=(0.93, 0.93))
    assert steps(clue, both) == pytest.approx((0.0, 0.5, 0.5, 0.0))


@pytest.mark.parametrize("clue", ["gills", "dying", "oxygen", "change", "spray"])
def test_knowing_is_never_worth_less_than_nothing(clue):
    signs = sign("gasping", "all")
    chances = weigh(signs)
    found = value(clue, chances, lambda c, a: {**signs, c: one(trouble.clues()[c], a)}, frozenset(), frozenset())
    assert found.saving >= 0.0
    assert 0.0 <= found.changes <= 1.0


def test_expected_value_of_a_question_by_brute_force():
    signs = sign("level", "falling")
    chances = weigh(signs)

    def suppose(clue, answer):
        return {**signs, clue: one(trouble.clues()[clue], answer)}

    found = value("pump", chances, suppose, frozenset(), frozenset())
    row = trouble.clues()["pump"]
    # By hand over the one active axis: chance of each answer, worth of every action after it.
    members = trouble.axes()["hull"]
    odds = [
        sum(chances.of[m.id] * trouble.answer_likelihoods(m, row)[k] for m in members) for k in range(len(row.answers))
    ]
    nets = [worth(weigh(suppose("pump", answer)), chances.active) for answer in row.answers]
    known = sum(p * sum(max(0.0, x) for x in net.values()) for p, net in zip(odds, nets, strict=True))
    blind = sum(max(0.0, sum(p * net[a] for p, net in zip(odds, nets, strict=True))) for a in nets[0])
    assert chances.active == {"hull"}
    assert math.isclose(sum(odds), 1.0)
    assert found.saving == pytest.approx(known - blind)


def test_of_two_actions_that_exclude_each_other_one_is_kept():
    chances = weigh(sign("gasping", "all") | sign("leftovers", "yes"))
    kept = chosen(worth(chances))
    for code in kept:
        assert not set(trouble.actions()[code].excludes) & set(kept)


def test_order_of_safety():
    answer = ask(system={"litres": 900, "species": "tilapia"}, log=[{"tan": 4, "ph": 8.4, "no2": 2, "basis": "n"}],
                 see={"gasping": True, "leaf": "new", "pattern": "between_veins"})  # fmt: skip
    for items in (answer.actions, answer.findings):
        assert [item.urgency for item in items] == sorted(item.urgency for item in items)


def test_the_first_question_always_has_a_safe_action_beside_it():
    for see in ({"gasping": True}, {"dying": "overnight"}, {"leaf": "new"}, {"colour": "green"}):
        answer = ask(system={"litres": 900, "species": "goldfish"}, see=see)
        assert answer.question.interim
        assert all(trouble.actions()[code].safe for code in answer.question.interim)


def test_nothing_known_asks_for_nothing_and_claims_nothing():
    answer = ask(system={"litres": 900, "species": "goldfish"})
    assert answer.findings == ()
    assert answer.question.code == "ask.none"


def test_ph_is_asked_where_ammonia_hangs_on_it():
    answer = ask(system={"litres": 900, "species": "trout"}, log=[{"tan": 6, "no2": 0, "basis": "n"}])
    assert "test.ph" in codes(answer.actions)
    known = ask(system={"litres": 900, "species": "trout"}, log=[{"tan": 6, "no2": 0, "ph": 7.0, "basis": "n"}])
    assert "test.ph" not in codes(known.actions)


def test_what_dilution_cannot_leave_is_shown():
    log = [{"day": 0, "tan": 8, "basis": "n"}, {"day": 1, "event": "water_changed", "share": 0.6, "treated": True},
           {"day": 2, "event": "water_changed", "share": 0.6, "treated": True}, {"day": 3, "tan": 4}]  # fmt: skip
    answer = ask(system={"litres": 1000, "species": "tilapia", "basis": "n"}, log=log)
    (found,) = answer.hidden
    assert found.code == "hidden.producing"
    # Two changes of 60 % leave 16 %: 1.28 of 8.
    assert found.values["left"] == pytest.approx(0.16)
    assert found.values["expected"] == pytest.approx(1.28)


def test_no_base_is_given_while_ammonia_is_high():
    answer = ask(system={"litres": 1000, "species": "tilapia"}, log=[{"tan": 2, "ph": 6.0, "basis": "n"}])
    assert "base.small" not in codes(answer.actions)
    assert "refuse.raise_ph_with_ammonia" in codes(answer.refusals)


def test_the_basis_of_a_kit_is_asked_where_it_decides():
    def told(**more):
        loop = {"litres": 900, "species": "trout", "temp_c": 14, **more}
        see = {"gasping": False}
        return ask(system=loop, log=[{"no2": 0.4, "tan": 0, "ph": 7}], see=see)

    answer = told()
    assert answer.unknown_basis == ("no2", "tan")
    assert "ask.basis" in (answer.question.code, answer.then_ask and answer.then_ask.code)
    known = told(basis="n")
    assert known.unknown_basis == ()
    assert "ask.basis" not in (known.question.code, known.then_ask and known.then_ask.code)


def test_the_log_answers_for_itself():
    # Entries as the pages write them, without any observation beside them.
    case = case_of({"system": {"litres": 900, "species": "trout", "temp_c": 14}, "log": [{"day": 0, "tan": 0}]})
    at = case.entries[-1].at

    def entry(kind, **payload):
        return LogEntry.make({"uuid": str(uuid4()), "at": at, "kind": kind, "payload": payload})

    log = [*case.entries, entry("water_changed", volume="400 L", treated=False), entry("spray", substance="pyrethrum"),
           entry("equipment_stopped", equipment="pump"), entry("dosed", substance="potassium_hydroxide", amount="5 g"),
           entry("cleaned", what="gravel", fraction=1.0)]  # fmt: skip
    signs = scene(case.system, log, case.on).signs
    for clue, answer in (("change", "untreated"), ("spray", "pesticide"), ("pump", "stopped"), ("base", "large"),
                         ("washed", "all")):  # fmt: skip
        assert signs[clue] == one(trouble.clues()[clue], answer)


def test_tanks_are_ranked_by_the_minutes_they_last():
    tanks = [{"name": "full", "litres": 300, "species": "trout", "count": 60, "weight_g": 100},
             {"name": "few", "litres": 900, "species": "trout", "count": 5, "weight_g": 100}]  # fmt: skip
    answer = ask(system={"tanks": tanks, "temp_c": 14}, see={"power": "off"})
    (found,) = [item for item in answer.actions if item.code == "oxygen.dense_first"]
    assert [row["tank"] for row in found.details] == ["full", "few"]
    assert found.amount == found.details[0]["minutes"] < found.details[1]["minutes"]
    assert found.unit == "min"


def test_room_for_fish_by_hand():
    # 1136 L, 0.454 kg each, 20 kg/m3 (FAO 589): 50 fish; a quarter of them first.
    loop = {"litres": 1136, "species": "tilapia", "bed_m2": 3.8, "temp_c": 26, "planned_count": 100, "harvest_g": 454}
    answer = ask(system=loop)
    amounts = {item.code: item.amount for item in answer.actions}
    assert amounts["stock.limit"] == int(20 * 1.136 / 0.454) == 50
    assert amounts["stock.first_share"] == 12
    fits = ask(system={**loop, "planned_count": 40})
    assert "plan_too_big" not in codes(fits.findings)


def test_salt_comes_by_the_published_ratio():
    # SRAC 462: chloride ten times the nitrite ion by weight, never under 100 mg/L; salt is 60.7 % chloride.
    loop = {"litres": 1000, "species": "trout", "temp_c": 14, "basis": "n", "shelf": ["sodium_chloride"]}
    answer = ask(system=loop, log=[{"no2": 1.0, "tan": 0, "ph": 7, "chloride": 0}])
    (found,) = [item for item in answer.actions if item.code == "salt.protect"]
    steps_g = sum(row["amount"] for row in found.details if row["unit"] == "g")
    assert steps_g == pytest.approx(100.0 / 0.607, rel=0.03)


def test_a_stage_takes_longer_in_the_cold():
    def days(temp_c):
        answer = ask(system={"litres": 900, "species": "goldfish", "temp_c": temp_c, "age_days": 30, "basis": "n"},
                     log=[{"no2": ">=2", "tan": 0.1, "ph": 7.4}])  # fmt: skip
        return next(item.amount for item in answer.actions if item.code == "wait.course")

    assert days(14) > days(20) > days(26)


@pytest.mark.parametrize("thing", ["vinegar", "copper", "antibiotics", "bleach", "hydroxide", "more fish", "ice"])
def test_what_is_asked_for_and_harms_is_refused_first(thing):
    answer = ask(system={"litres": 900, "species": "goldfish"}, see={"asked": thing})
    assert answer.refusals[0].asked


def test_members_of_a_forecast_speak_where_nobody_read():
    case = case_of({"system": {"litres": 900, "species": "tilapia", "count": 20, "age_days": 120},
                    "log": [{"day": 0, "temp_c": 25, "ph": 7.2}], "see": {"power": "off"}})  # fmt: skip
    members = ahead(case.system, case.entries, on=case.on, members=50, horizon_days=3)
    alone, helped = (triage(case.system, case.entries, on=case.on, forecast=item) for item in (None, members))
    minutes = [next(x.amount for x in item.actions if x.code == "oxygen.dense_first") for item in (alone, helped)]
    assert all(value > 0 for value in minutes)
    assert {row["code"] for row in alone.bands} < {row["code"] for row in helped.bands}
