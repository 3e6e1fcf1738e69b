"""Oxygen, temperature, chlorine and salts."""

import pytest

from rillbed.plan.verdict import LEVELS


def test_oxygen_by_kind(judged, read, fish):
    """FAO 589: warm-water fish 4-6, cold-water fish 6-8 mg/L; below 4 act, below 2 emergency."""

    def level(species, mg_l, temp_c):
        log = (fish(species), read("oxygen", mg_l, mg_l, hour=5), read("temperature", temp_c, temp_c))
        return judged(*log).band("o2").level

    assert [level("nile_tilapia", x, 28.0) for x in (7.5, 5.8, 3.5, 1.5)] == list(LEVELS)
    assert [level("rainbow_trout", x, 12.0) for x in (10.0, 8.0, 5.8, 4.0)] == list(LEVELS)


def test_share_of_saturation_stands_beside(judged, read):
    """ISO 5814: 8.26 mg/L at 25 degC."""
    log = (read("oxygen", 4.13, 4.13), read("temperature", 25.0, 25.0))
    reason = judged(*log).band("o2").reasons[0]
    assert reason.values["full"] == pytest.approx(8.26, abs=0.01)
    assert reason.values["share"] == pytest.approx(50.0, abs=0.1)


def test_height_thins_the_air(judged, read, loop):
    """FAO 56: 81.8 kPa at 1800 m; Benson & Krause: 9.09 mg/L at 20 degC at the sea."""
    log = (read("oxygen", 6.0, 6.0), read("temperature", 20.0, 20.0))
    full = judged(*log, system=loop(elevation_m=1800)).band("o2").reasons[0].values["full"]
    assert full == pytest.approx(9.09 * 0.803, abs=0.03)


def test_oxygen_by_day_falls_at_night(judged, read):
    codes = [[item.code for item in judged(read("oxygen", 6.0, 6.0, hour=hour)).band("o2").reasons] for hour in (15, 5)]
    assert ["o2.by_day" in found for found in codes] == [True, False]


def test_yesterdays_oxygen_is_stale(judged, read):
    band = judged(read("oxygen", 7.0, 7.0, day=15)).band("o2")
    assert "verdict.stale" in [item.code for item in band.reasons]
    assert band.age_days == 5


def test_gasping_without_a_test_is_danger(judged):
    assert judged().band("o2") is None
    found = judged(seen=("gasping",))
    assert found.first.code == "o2"
    assert found.level == "danger"
    assert found.missing[0] == "oxygen"


def test_temperature_by_species(judged, read, fish):
    """FAO 589: cold-water fish 10-18, warm-water fish 22-32 degC; a loop of trout died once water passed 27."""

    def level(species, temp_c):
        return judged(fish(species), read("temperature", temp_c, temp_c)).band("temperature").level

    assert [level("rainbow_trout", x) for x in (15, 17, 20, 24)] == list(LEVELS)
    assert level("rainbow_trout", 27) == "danger"
    assert level("nile_tilapia", 28) == "safe"
    assert level("nile_tilapia", 20) == "watch"
    assert level("nile_tilapia", 12) == "danger"
    assert judged(fish("rainbow_trout"), read("temperature", 24, 24)).band("temperature").grade == "memory"


def test_a_test_that_shows_no_chlorine_is_no_proof(judged, read):
    """WEF manual 8: harm from 0.02 mg/L, less than any strip shows."""
    nothing = judged(read("chlorine", 0.0, 0.05)).band("chlorine")
    assert (nothing.level, nothing.reasons[0].code) == ("watch", "chlorine.no_proof")
    assert judged(read("chlorine", 0.05, 0.15)).band("chlorine").level == "danger"


def test_untreated_water_counts_as_it_came(judged, entry, loop):
    """2 mg/L free and 1 bound in a tenth of the water: 0.2 and 0.1 mg/L."""
    system = loop(source_water={"free_chlorine_mg_l": 2.0, "chloramine_mg_l": 1.0})
    amount = {"value": 90, "unit": "L"}
    found = judged(entry("water_changed", volume=amount, treated=False), system=system)
    assert found.band("chlorine").worst == pytest.approx(0.2)
    assert found.band("chloramine").worst == pytest.approx(0.1)
    assert found.level == "danger"
    for log in (
        (entry("water_changed", volume=amount, treated=True),),
        (entry("water_changed", day=15, volume=amount, treated=False),),
        (entry("topped_up", volume=amount, treated=False, source="rain"),),
    ):
        assert judged(*log, system=system).band("chlorine") is None


def test_salts(judged, read):
    assert [judged(read("gh", x, x)).band("hardness").level for x in (0.5, 2.0, 6.0)] == ["watch", "safe", "watch"]
    assert [judged(read("ec", x, x)).band("ec").level for x in (0.1, 0.6, 2.0)] == ["watch", "safe", "watch"]
