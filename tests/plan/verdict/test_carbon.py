"""PH, its rate, alkalinity and carbon dioxide, held against print."""

import pytest

from rillbed.plan.verdict import LEVELS
from rillbed.plan.verdict.carbon import co2_mg_l


# Carbon dioxide of PHREEQC 3.7.3 (phreeqc.dat): temperature, alkalinity, pH, ionic strength, mg/L.
@pytest.mark.parametrize(
    ("temp_c", "alkalinity", "ph", "strength", "published"),
    [(10, 0.5, 7.0, 0.00100, 6.17), (20, 1.0, 7.5, 0.00150, 3.20), (25, 2.0, 7.0, 0.00250, 18.70),
     (20, 4.0, 7.8, 0.00450, 6.21), (25, 0.4, 6.2, 0.00090, 24.17)],
)  # fmt: skip
def test_carbon_dioxide_from_ph_and_alkalinity(judged, read, temp_c, alkalinity, ph, strength, published):
    log = (
        read("temperature", temp_c, temp_c),
        read("alkalinity", alkalinity, alkalinity),
        read("ph", ph, ph),
        read("p", 0, 0),
        read("ec", strength / 0.016, strength / 0.016),
    )
    assert judged(*log).band("co2").worst == pytest.approx(published, rel=0.005)


# PHREEQC: ammonia or phosphate that a titration counts as alkalinity; carbon dioxide in mmol/kg.
@pytest.mark.parametrize(
    ("temp_c", "alkalinity", "ph", "tan_mmol", "p_mmol", "mmol"),
    [(27, 1.5, 8.2, 0.714, 0.0, 0.0183), (25, 0.6, 7.0, 0.0, 0.65, 0.0678), (24, 0.9, 7.4, 0.20, 0.50, 0.0483)],
)
def test_ammonia_and_phosphate_hold_no_carbon(temp_c, alkalinity, ph, tan_mmol, p_mmol, mmol):
    found = co2_mg_l(ph, alkalinity, temp_c, tan_mmol * 14.007, p_mmol * 30.974)
    assert float(found) / 44.009 == pytest.approx(mmol, rel=0.06)


def test_phosphate_nobody_read_counts_as_none(judged, read):
    log = (read("alkalinity", 0.6, 0.6), read("ph", 7.0, 7.0))
    unread, known = judged(*log).band("co2"), judged(*log, read("p", 20, 20)).band("co2")
    assert unread.worst > 1.8 * known.worst  # "almost double the truth"
    assert "co2.phosphate_unread" in [item.code for item in unread.reasons]


def test_bands_of_carbon_dioxide(judged, read):
    """Alabaster & Lloyd 1980, Wedemeyer 1996: 10, 20 and 50 mg/L; pH 6.0 and 25 degC: 1.97 mg/L per mg/L CaCO3."""

    def level(ppm):
        alk = ppm / 50.04
        return judged(read("alkalinity", alk, alk), read("ph", 6.4, 6.4, hour=8), read("p", 0, 0)).band("co2").level

    assert [level(ppm) for ppm in (5, 14, 30, 80)] == list(LEVELS)


def test_ph_below_the_last_step_of_a_kit_is_not_that_step(judged, read):
    """Twice in the accounts of growers a bottom step of 6.0 hid a crashed loop (pH 4.0 once it was measured)."""
    band = judged(read("ph", None, 6.2)).band("ph")
    assert (band.level, band.worst) == ("danger", 4.0)
    assert next(item.code for item in band.reasons) == "ph.below_kit"
    assert judged(read("ph", 6.2, 6.4)).band("ph").level == "watch"


def test_a_hidden_ph_says_nothing_of_carbon_dioxide(judged, read):
    hidden = judged(read("ph", None, 6.2), read("alkalinity", 0.2, 0.2)).band("co2")
    shown = judged(read("ph", 6.2, 6.2), read("alkalinity", 0.2, 0.2)).band("co2")
    assert hidden.worst == shown.worst
    assert "co2.ph_hidden" in [item.code for item in hidden.reasons]


@pytest.mark.parametrize("temp_c", [-2.0, 0.0, 45.0, 50.0])
def test_ice_and_scalding_water_are_judged_too(judged, read, temp_c):
    log = (read("temperature", temp_c, temp_c), read("ph", 7, 8), read("alkalinity", 1, 2), read("tan", 1, 2))
    found = judged(*log, read("oxygen", 3, 4))
    assert {"o2", "nh3_n", "co2", "temperature"} <= {band.code for band in found.bands}


def test_range_of_ph(judged, read, fish, loop):
    """FAO 589: fish and bacteria 6-8.5, plants 5.5-7.5; memory of a species' range only asks to watch."""
    assert judged(read("ph", 7.0, 7.0)).band("ph").level == "safe"
    assert judged(read("ph", 8.9, 8.9)).band("ph").level == "act"
    assert judged(read("ph", 5.7, 5.7)).band("ph").level == "act"
    planted = loop(beds=[{"name": "bed", "kind": "raft", "area_m2": 2.0}])
    band = judged(read("ph", 7.9, 7.9), system=planted).band("ph")
    assert (band.level, band.binding) == ("watch", "plants")
    barramundi = judged(fish("barramundi"), read("ph", 6.7, 6.7)).band("ph")  # its range from 7 stands on memory
    assert (barramundi.level, barramundi.grade) == ("watch", "memory")


@pytest.mark.parametrize(
    ("before", "after", "hours", "level"),
    [(7.0, 7.0, 24, "safe"), (7.0, 7.15, 24, "safe"), (7.0, 6.75, 24, "watch"), (7.0, 6.5, 12, "act"),
     (7.6, 6.2, 24, "danger"), (7.0, 6.5, 96, "safe")],
)  # fmt: skip
def test_how_fast_ph_may_move(judged, read, before, after, hours, level):
    """FAO 589: a swing of 0.3 in 12 to 24 hours can be a problem."""
    log = (read("ph", before, before, day=16, hour=0), read("ph", after, after, day=16, hour=hours))
    found = judged(*log, on=log[1].at.date())
    assert found.band("ph_rate").level == level


def test_same_step_twice_shows_no_rate(judged, read):
    band = judged(read("ph", 6.75, 7.25, day=19), read("ph", 6.75, 7.25)).band("ph_rate")
    assert (band.level, band.worst) == ("safe", 0.0)


def test_rate_needs_two_readings(judged, read):
    assert judged(read("ph", 7.0, 7.0)).band("ph_rate") is None
    assert judged(read("ph", 7.0, 7.0, day=2), read("ph", 6.0, 6.0)).band("ph_rate") is None


def test_bands_of_alkalinity(judged, read):
    """Below 20 mg/L CaCO3 pH can crash, above 250 it will not come down (Alabama extension)."""

    def level(ppm):
        alk = ppm / 50.04
        return judged(read("alkalinity", alk, alk)).band("alkalinity").level

    assert [level(ppm) for ppm in (100, 40, 15, 3)] == list(LEVELS)
    assert level(300) == "watch"


def test_wider_never_lowers_worst(judged, read):
    for quantity, middle in (("ph", 7.0), ("alkalinity", 1.2)):
        worst = []
        for width in (0.0, 0.1, 0.2, 0.4):
            fixed = read("alkalinity", 1.2, 1.2) if quantity == "ph" else read("ph", 7.0, 7.0)
            found = judged(fixed, read(quantity, middle - width, middle + width))
            worst.append((found.band("co2").worst, LEVELS.index(found.band("co2").level)))
        assert worst == sorted(worst)
