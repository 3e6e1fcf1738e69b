"""The order of what to do, and amounts a person acts on, told by principle and not by case."""

import pytest

from rillbed import facts
from rillbed.facts import trouble as table
from rillbed.plan.trouble import case_of, triage
from rillbed.plan.trouble.amounts import KITCHEN
from rillbed.words import trouble as words

CHOKING = {
    "system": {"litres": 600, "species": "tilapia", "count": 30, "weight_g": 120, "bed": "raft", "bed_m2": 3,
               "temp_c": 26, "basis": "n"},
    "log": [{"day": 0, "no2": ">=5", "tan": 1, "ph": 7.2}],
    "see": {"gasping": "all", "gills": "brown"},
}  # fmt: skip


def cold(species, temp_c):
    return {
        "system": {"litres": 800, "species": species, "count": 20, "weight_g": 250},
        "log": [{"day": 0, "temp_c": temp_c, "event": "died", "count": 1}],
        "see": {"dying": "one_by_one", "eating": "no"},
    }


def answer(data):
    case = case_of(data)
    return triage(case.system, case.entries, on=case.on)


def action(found, code):
    return next(item for item in found.actions if item.code == code)


@pytest.mark.parametrize("data", [CHOKING, cold("carp", 5), cold("tilapia", 13)], ids=["choking", "carp", "tilapia"])
def test_what_is_only_waited_for_stands_behind_what_is_done(data):
    actions = answer(data).actions
    urgencies = [item.urgency for item in actions]
    assert urgencies == sorted(urgencies)
    for urgency in set(urgencies):
        waits = [item.kind == "wait" for item in actions if item.urgency == urgency]
        assert waits == sorted(waits)
    assert all("(now)" not in words.do(item) for item in actions if item.kind == "wait")


def test_salt_for_choking_fish_stands_before_a_fish_nobody_meant_to_add():
    codes = [item.code for item in answer(CHOKING).actions]
    assert codes.index("salt.protect") < codes.index("fish.add_none")
    assert codes.index("air.add") == 0


def test_salt_names_what_a_kitchen_has_only_where_the_shelf_has_none():
    found = action(answer(CHOKING), "salt.protect")
    assert found.rate.code == "rate.salt_or"
    # Sodium of the amount named stays under the ceiling of plants in 600 L.
    sodium_mg_l = found.rate.values["grams"] * facts.supplements()[KITCHEN].na_pct / 100.0 / 0.6
    assert 0.0 < found.rate.values["share"] <= 1.0
    assert 0.0 < sodium_mg_l <= facts.water_limits()["na_plants"].high + 0.5
    own = {**CHOKING, "system": {**CHOKING["system"], "shelf": ["calcium_chloride"]}}
    assert action(answer(own), "salt.protect").rate.code == "rate.salt"


def test_kitchen_salt_never_gives_more_chloride_than_the_salt_it_stands_for():
    for no2 in (0.5, 1, 2, 5):
        found = action(answer({**CHOKING, "log": [{"day": 0, "no2": no2, "tan": 1, "ph": 7.2}]}), "salt.protect")
        salt, bought = facts.supplements()[KITCHEN], facts.supplements()["calcium_chloride"]
        if found.rate.code in ("rate.salt_or", "rate.salt_same"):
            given = found.rate.values["grams"] * salt.cl_pct
            share = found.rate.values.get("share", 1.0)
            assert share <= 1.0
            assert given == pytest.approx(share * found.amount * bought.cl_pct, rel=0.02)


@pytest.mark.parametrize(("species", "kind"), [("carp", "common_carp_koi"), ("tilapia", "nile_tilapia")])
def test_feed_in_the_cold_is_none_below_where_the_kind_stops(species, kind):
    stop = facts.species()[kind].temp_feed_stop_low_c
    below = action(answer(cold(species, stop - 2.0)), "feed.by_temperature")
    assert below.amount == 0.0
    assert below.rate.values["stop"] == stop
    assert f"{stop:g}" in words.do(below)


@pytest.mark.parametrize("code", sorted(row.id for row in table.findings().values() if row.axis == "fish"))
def test_the_dead_come_out_whatever_killed_them(code):
    row = table.findings()[code]
    assert row.quiet or row.do["dead.remove"] > table.actions()["dead.remove"].minutes


def test_slow_deaths_ask_for_a_vet_and_never_for_the_table():
    found = answer(cold("carp", 5))
    assert "expert.vet" in {item.code for item in found.actions}
    assert "refuse.eat_dead_fish" in {item.code for item in found.refusals}
