from datetime import date, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from rillbed import facts
from rillbed.garden.log import LogEntry
from rillbed.garden.system import AmmoniaSource, Bed
from rillbed.plan.ahead import ahead, startup_future
from rillbed.plan.cycling import plan
from rillbed.plan.ledger import additions, load_mg_l
from rillbed.plan.sources import composition, dose
from rillbed.words.cautions import CAUTIONS

START = date(2031, 4, 1)


def entry(number, kind, payload, days):
    at = datetime(2031, 4, 1, 12, tzinfo=ZoneInfo("UTC")) + timedelta(days=days, minutes=number)
    return LogEntry.make({"uuid": UUID(int=number + 1), "at": at, "kind": kind, "payload": payload})


def read(number, quantity, low, high, days):
    payload = {"quantity": quantity, "unit": "mg/L", "basis": "n", "low": low, "high": high}
    return entry(number, "reading", payload, days)


def salt(number, days, grams=7.64):
    payload = {"substance": "ammonium_chloride", "amount": {"value": grams, "unit": "g"}}
    return entry(number, "dosed", payload, days)


@pytest.mark.parametrize(("source", "grams"), [("ammonium_chloride", 3.82), ("ammonium_sulfate", 4.72), ("urea", 2.14)])
def test_mass_for_one_mg_l_in_a_cubic_metre(system, source, grams):
    # Derived from atomic masses: 1 g N over the share of N.
    assert dose(system, source, 1.0, volume_l=1000.0).amount == pytest.approx(grams, abs=0.006)


def test_solution_needs_its_strength_and_unknown_sources_are_named(system):
    given = dose(system, "ammonia_solution", 1.0, volume_l=1000.0, strength_pct=10.0)
    assert (given.unit, given.amount) == ("mL", pytest.approx(12.7, abs=0.1))
    with pytest.raises(ValueError, match="strength"):
        dose(system, "ammonia_solution", 1.0, volume_l=1000.0)
    with pytest.raises(ValueError, match="moonshine"):
        dose(system, "moonshine", 1.0, volume_l=1000.0)


def test_a_salt_brings_only_nitrogen_and_its_anion_and_uses_two_equivalents(system):
    given = dose(system, "ammonium_chloride", 2.0, volume_l=1000.0)
    assert set(given.brings_mg_l) == {"cl"}
    assert given.brings_mg_l["cl"] == pytest.approx(2.0 * 2.53, rel=0.01)
    assert given.alkalinity_used_meq_l == pytest.approx(2.0 * 2.0 / 14.007)
    assert {"ammonia.bleach", "ammonia.pure"} <= set(given.cautions)


def test_first_day_asks_for_a_refill_and_the_done_entry_is_valid(system, made, on):
    answer = plan(system, (), made(completion=np.linspace(20, 60, 100)), on)
    first = answer.advice[0]
    assert (answer.stage, first.code, first.unit) == ("new", "cycle.dose", "g")
    assert first.amount == pytest.approx(7.64, abs=0.01)
    LogEntry.make({"uuid": UUID(int=9), "at": datetime(2031, 4, 2, tzinfo=ZoneInfo("UTC")), **first.entry})


def test_nitrite_beyond_the_kit_holds_the_dose(system, made, on):
    log = [salt(1, 5), read(2, "tan", 0.0, 0.2, 20), read(3, "no2", 3.0, None, 20)]
    answer = plan(system, log, made(completion=np.linspace(20, 60, 100)), on)
    assert (answer.stage, answer.advice[0].code) == ("nitrite", "cycle.hold")


def test_a_dose_waits_for_the_reading_after_it(system, made, on):
    read_low = [read(2, "tan", 0.0, 0.2, 20), read(3, "no2", 0.5, 1.0, 20)]
    futures = made(completion=np.linspace(20, 60, 100))

    def code(*log):
        return plan(system, log, futures, on).advice[0].code

    assert code(salt(1, 5), *read_low) == "cycle.dose"
    assert code(salt(1, 5), *read_low, salt(9, 20)) == "cycle.dosed"
    assert code(salt(1, 5), *read_low, salt(9, 20), read(30, "tan", 1.5, 3.0, 20)) == "cycle.wait"


def test_two_full_doses_gone_by_the_next_day_make_it_ready_and_one_does_not(system, made, on):
    clear = [read(10 + d, "tan", 0.0, 0.2, d) for d in (11, 12)] + [read(30 + d, "no2", 0.0, 0.1, d) for d in (11, 12)]
    futures = made(completion=np.linspace(20, 60, 100))
    assert plan(system, [salt(1, 10), salt(2, 11), *clear], futures, on).stage == "ready"
    assert plan(system, [salt(1, 10), salt(2, 11, grams=2.0), *clear], futures, on).stage == "proving"


def test_completion_dates_are_the_members_own(system, made, on):
    answer = plan(system, (), made(completion=np.arange(100.0) + 10), on)
    assert answer.completion == tuple(START + timedelta(days=d) for d in (19, 59, 99))
    assert answer.chance_within_horizon == pytest.approx(1.0)
    assert len(answer.dots) == 20


def test_with_fish_in_the_water_no_ammonia_is_ever_dosed(system, made, on):
    stocked = system.model_copy(update={"startup_path": "fish_in"})
    fish = {"species": "nile_tilapia", "count": 9, "weight": {"value": 40, "unit": "g"}}
    for log, first in (((), "cycle.fish_in_first"), ([entry(1, "fish_in", fish, 5)], "cycle.fish_in")):
        codes = [item.code for item in plan(stocked, log, made(), on).advice]
        assert codes[0] == first
        assert not {"cycle.dose", "cycle.prove"} & set(codes)


def test_an_organic_source_is_booked_on_its_ledger_and_proves_only_what_has_come_free(system, made, on):
    # Label-style 5-1-1 emulsion: 200 g hold 10 g N; the slow end of its release is 0.10 a day (memory grade).
    dosed = {"substance": "fish_emulsion", "amount": {"value": 200, "unit": "g"}}
    log = [entry(1, "dosed", dosed, 10), read(2, "tan", 0.0, 0.2, 20), read(3, "no2", 0.5, 1.0, 20)]
    emulsion = system.model_copy(update={"ammonia_source": AmmoniaSource.make({"source": "fish_emulsion"})})
    answer = plan(emulsion, log, made(completion=np.linspace(20, 60, 100)), on)
    assert answer.still_to_come_mg_l == pytest.approx(10.0 * 0.995 * np.exp(-0.10 * 10))
    assert answer.advice[0].code == "cycle.ledger"
    given = additions(emulsion, log, 1000.0)
    day = START + timedelta(days=10)
    assert load_mg_l(given, day) == pytest.approx(10.0 * (0.005 + 0.995 * (1 - np.exp(-0.10))))
    # Everything that comes free over time adds up to what was given.
    assert sum(load_mg_l(given, day + timedelta(days=n)) for n in range(400)) == pytest.approx(10.0)


def test_feed_left_to_rot_is_a_source_with_the_protein_of_the_systems_own_feed(system, made, on):
    feed = system.model_copy(
        update={"feed": "pellet_40", "ammonia_source": AmmoniaSource.make({"source": "fish_feed"})}
    )
    # Nitrogen is 0.16 of protein (Boyd): 1 g N in 15.6 g of 40 % feed.
    assert dose(feed, None, 1.0, volume_l=1000.0).amount == pytest.approx(1 / (0.16 * 0.40), rel=1e-3)
    given = {"feed": "pellet_40", "amount": {"value": 15.625, "unit": "g"}}
    answer = plan(feed, [entry(1, "feeding", given, 20)], made(completion=np.linspace(20, 60, 100)), on)
    assert answer.still_to_come_mg_l == pytest.approx(1.0, rel=1e-3)
    assert answer.stage != "new"


def test_every_caution_on_a_supply_is_in_words():
    rows = [*facts.ammonia_sources().values(), *facts.supplements().values()]
    assert {code for row in rows for code in row.cautions} <= CAUTIONS.keys()


@pytest.mark.parametrize(
    ("source", "strength", "eq_per_mol"),
    [
        ("ammonium_chloride", None, 2.0),
        ("ammonium_sulfate", None, 2.0),
        ("ammonia_solution", 10.0, 1.0),
        ("urea", None, 1.0),
        ("fish_feed", 32.0, 1.0),
        # 0.5 % of it is ammonium already.
        ("fish_emulsion", None, 1.005),
    ],
)
def test_alkalinity_each_source_uses_until_it_is_nitrate(system, source, strength, eq_per_mol):
    # Stoichiometry: NH4+ -> NO3- + 2 H+; ammonia, urea and organic nitrogen take up one H+ on the way to NH4+.
    used = dose(system, source, 3.0, volume_l=1000.0, strength_pct=strength).alkalinity_used_meq_l
    assert used == pytest.approx(eq_per_mol * 3.0 / 14.007, rel=2e-3)


def test_the_proof_is_a_days_load_of_the_planned_feed(system, made, on):
    # 0.092 g N per g protein (aquaculture textbooks): 30 g of 32 % feed in the loop's 1 m3, and the 0.25 that may stay.
    planned = system.model_copy(update={"planned_feed_g_day": 30.0, "feed": "pellet_32"})
    load = 30.0 * 0.32 * 0.092 / planned.total_volume_m3 + 0.25
    clear = [read(2, "tan", 0.0, 0.2, 20), read(3, "no2", 0.0, 0.1, 20)]
    proof = plan(planned, [salt(1, 10), *clear], made(completion=np.linspace(20, 60, 100)), on).advice[0]
    assert proof.code == "cycle.prove"
    assert proof.params["target_mg_l"] == pytest.approx(load)
    assert startup_future(planned, on).full_load_mg_l == pytest.approx(load)
    days = [read(10 + d, "tan", 0.0, 0.2, d) for d in (11, 12)] + [read(30 + d, "no2", 0.0, 0.1, d) for d in (11, 12)]

    def stage(share):
        grams = share * load * 3.82 * planned.total_volume_m3
        doses = [salt(1, 10, grams), salt(2, 11, grams)]
        return plan(planned, [*doses, *days], made(completion=np.linspace(20, 60, 100)), on).stage

    assert (stage(1.0), stage(0.8)) == ("ready", "proving")


def test_a_start_on_an_organic_source_waits_for_what_is_bound_and_is_proved_with_ammonia(system, made, on):
    # Label-style 5-1-1 emulsion, 0.5 % of it ammonium; the members release the rest at 0.15 a day (memory grade).
    emulsion = system.model_copy(update={"ammonia_source": AmmoniaSource.make({"source": "fish_emulsion"})})
    clear = [read(2, "tan", 0.0, 0.2, 20), read(3, "no2", 0.0, 0.1, 20)]
    proof = plan(emulsion, [salt(1, 10), *clear], made(completion=np.linspace(20, 60, 100)), on).advice[0]
    assert (proof.code, proof.params["source"]) == ("cycle.prove", "ammonium_chloride")
    assert "cycle.prove_with" in {item.code for item in proof.reasons}
    # Gravel, so that there is surface for a full load.
    beds = (Bed.make({"name": "bed", "kind": "media", "medium": "volcanic_gravel", "area_m2": 2.0}),)
    warm = [loop.model_copy(update={"water_temp_c": (25.0,) * 12, "beds": beds}) for loop in (emulsion, system)]
    slow, quick = (ahead(loop, (), on=START, horizon_days=200, members=60) for loop in warm)
    assert quick.at("tan_mg_l", START).mean() > 1.9
    assert 0.01 < slow.at("tan_mg_l", START).mean() < 0.5
    assert np.nanmedian(slow.completion) > np.nanmedian(quick.completion)
    assert np.isfinite(slow.completion).mean() > 0.8
    # Once there is ammonia for the proof, refills are ammonia too.
    low = [read(2, "tan", 0.0, 0.2, 20), read(3, "no2", 0.5, 1.0, 20)]
    refill = plan(emulsion, [salt(1, 10), *low], made(completion=np.linspace(20, 60, 100)), on).advice[0]
    assert (refill.code, refill.params["source"]) == ("cycle.dose", "ammonium_chloride")
    # Nothing is added on the day after, while three quarters of the first dose are still bound.
    assert (slow.columns["n_dose"][0] > 0).all()
    assert not slow.columns["n_dose"][1].any()


@pytest.mark.parametrize("source", sorted(facts.ammonia_sources()))
def test_the_members_hold_back_what_a_source_holds_back(system, source):
    strength = 10.0 if facts.ammonia_sources()[source].strength_of == "ammonia" else None
    own = AmmoniaSource.make({"source": source, "strength_pct": strength})
    rules = startup_future(system.model_copy(update={"ammonia_source": own}), START)
    assert rules.refill_bound_share == pytest.approx(1.0 - composition(source, strength).at_once)


def test_a_start_on_ammonia_solution_is_planned_like_any_other(system, made, on):
    own = AmmoniaSource.make({"source": "ammonia_solution", "strength_pct": 9.5})
    loop = system.model_copy(update={"ammonia_source": own})
    low = [read(2, "tan", 0.0, 0.2, 20), read(3, "no2", 0.5, 1.0, 20)]
    refill = plan(loop, [salt(1, 10), *low], made(completion=np.linspace(20, 60, 100)), on).advice[0]
    assert (refill.code, refill.unit, refill.params["source"]) == ("cycle.dose", "mL", "ammonia_solution")
