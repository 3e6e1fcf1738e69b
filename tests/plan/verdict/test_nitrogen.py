"""Ammonia and nitrite, held against print."""

import itertools
import math

import pytest

from rillbed.plan.verdict import LEVELS


def rank(level):
    return LEVELS.index(level)


# Fractions of un-ionised ammonia printed in UF/IFAS FA16, table 1 (after Emerson et al. 1975), for 1 mg/L TAN.
@pytest.mark.parametrize(
    ("ph", "temp_c", "printed"),
    [(7.0, 20.0, 0.0039), (7.6, 24.0, 0.0206), (8.0, 24.0, 0.0502), (8.4, 26.0, 0.1326), (8.4, 30.0, 0.1678)],
)
def test_worst_free_ammonia_is_the_printed_one(judged, read, ph, temp_c, printed):
    found = judged(read("tan", 1.0, 1.0), read("ph", ph, ph), read("temperature", temp_c, temp_c)).band("nh3_n")
    assert found.worst == pytest.approx(printed, abs=6e-5)
    assert found.low == found.high == found.worst


def test_bands_of_free_ammonia(judged, read, fish):
    """Bands of water.md: 0.02, 0.05, 0.2 mg/L NH3-N, for fish of warm water."""

    def level(tan):
        log = (fish("nile_tilapia"), read("tan", tan, tan), read("ph", 8.0, 8.0), read("temperature", 24.0, 24.0))
        return judged(*log).band("nh3_n").level

    assert [level(tan) for tan in (0.1, 0.5, 2.0, 6.0)] == list(LEVELS)


def test_trout_are_held_to_less(judged, read, fish):
    """Meade 1985: 0.0125; Thurston & Russo 1983: half of trout dead from 0.16."""
    water = (read("tan", 0.5, 0.5), read("ph", 7.5, 7.5), read("temperature", 15.0, 15.0))
    trout = judged(fish("rainbow_trout"), *water).band("nh3_n")
    assert trout.limits["watch"][1] == 0.0125
    assert trout.limits["danger"][1] == 0.16
    for name in ("watch", "act", "danger"):
        assert trout.limits[name][1] <= judged(fish("nile_tilapia"), *water).band("nh3_n").limits[name][1]


def test_criteria_of_2013_stand_beside_and_decide_nothing(judged, read, fish):
    """EPA 2013, pH 7 and 20 degC: 1.9 mg TAN/L over thirty days, 17 in one hour."""
    log = (fish("rainbow_trout"), read("ph", 7.0, 7.0), read("temperature", 20.0, 20.0))
    below, over = (judged(read("tan", tan, tan), *log).band("nh3_n") for tan in (1.5, 2.5))
    reasons = [next(item for item in band.reasons if item.code.startswith("nh3.epa")) for band in (below, over)]
    assert [item.code for item in reasons] == ["nh3.epa_under", "nh3.epa_chronic"]
    assert reasons[0].values["chronic"] == pytest.approx(1.887, abs=1e-3)
    assert reasons[0].values["acute"] == pytest.approx(16.76, abs=1e-2)
    assert (below.level, over.level) == ("safe", "watch")  # over the criterion by a third, yet nothing to act on


def test_fry_are_held_to_half(judged, read, fish):
    water = (read("tan", 0.5, 0.5), read("ph", 8.0, 8.0), read("temperature", 24.0, 24.0))
    grown, fry = (judged(fish("nile_tilapia", weight_g=g), *water).band("nh3_n") for g in (100.0, 1.0))
    assert fry.limits["act"][1] == pytest.approx(grown.limits["act"][1] / 2)
    assert rank(fry.level) > rank(grown.level)


def test_unread_ph_counts_as_the_worst_it_can_be(judged, read):
    found = judged(read("tan", 1.0, 1.0))
    band = found.band("nh3_n")
    assert band.basis == "assumed"
    assert band.level == "danger"
    assert "ph" in found.missing
    assert "nh3.ph_unread" in [item.code for item in band.reasons]


def test_above_the_kit_is_infinite(judged, read):
    band = judged(read("tan", 7.0, None), read("ph", 7.0, 7.0)).band("nh3_n")
    assert math.isinf(band.worst)
    assert band.level == "danger"


@pytest.mark.parametrize("quantity", ["tan", "no2", "no3"])
def test_unknown_basis_carries_both_and_is_asked_once(judged, read, quantity):
    codes = {"tan": "tan", "no2": "no2_n", "no3": "no3_n"}
    factor = {"tan": 1.2879, "no2": 3.2844, "no3": 4.4266}[quantity]  # IUPAC weights, water.md section 8
    both, again = (read(quantity, 1.0, 2.0, hour=hour, basis=None) for hour in (8, 9))
    found = judged(both, again)
    band = found.band(codes[quantity])
    assert found.unknown_basis == (quantity,)
    assert (band.low, band.high) == pytest.approx((1.0 / factor, 2.0), rel=1e-4)
    assert judged(read(quantity, 1.0, 2.0)).unknown_basis == ()


def test_wider_interval_never_lowers_the_worst(judged, read):
    """Whatever is widened, ammonia, pH or temperature."""
    middle = {"tan": 1.0, "ph": 7.6, "temperature": 22.0, "no2": 0.4}
    for quantity in middle:
        worst, ranks = [], []
        for width in (0.0, 0.1, 0.2, 0.3):
            log = [
                read(name, x - (width if name == quantity else 0.0), x + (width if name == quantity else 0.0))
                for name, x in middle.items()
            ]
            found = judged(*log)
            worst.append([found.band(code).worst for code in ("nh3_n", "no2_n", "tan")])
            ranks.append([rank(found.band(code).level) for code in ("nh3_n", "no2_n", "tan")])
        for numbers in (worst, ranks):
            assert all(a <= b for row, later in itertools.pairwise(numbers)
                       for a, b in zip(row, later, strict=True))  # fmt: skip


@pytest.mark.parametrize("species", ["channel_catfish", "rainbow_trout", "largemouth_bass"])
def test_more_chloride_never_worsens_nitrite(judged, read, fish, species):
    for no2 in (0.05, 0.2, 0.7, 2.0, None):
        found = [
            judged(fish(species), read("no2", no2 or 5.0, no2), read("cl", cl, cl)).band("no2_n")
            for cl in (0.0, 5.0, 20.0, 60.0, 200.0, 600.0)
        ]
        ranks = [rank(band.level) for band in found]
        assert ranks == sorted(ranks, reverse=True)
        for level in ("watch", "act", "danger"):
            chances = [band.chance(level) for band in found]
            assert all(a >= b for a, b in itertools.pairwise(chances))


def test_ten_times_the_ion_protects_catfish_and_not_bass(judged, read, fish):
    """SRAC 462: 10 to 1 by weight of the ion, so 65.7 mg/L for 2 mg/L as N; Tomasso 1986: no help for bass, sunfish."""
    water = (read("no2", 2.0, 2.0), read("cl", 70.0, 70.0))
    assert judged(fish("channel_catfish"), *water).band("no2_n").level == "watch"
    for species in ("largemouth_bass", "bluegill"):
        band = judged(fish(species), *water).band("no2_n")
        assert band.level == "danger"
        assert "no2.not_helped" in [item.code for item in band.reasons]
    wanted = next(r for r in judged(*water).band("no2_n").reasons if r.code == "no2.chloride").values["wanted"]
    assert wanted == pytest.approx(65.7, abs=0.05)


def test_the_lowest_step_of_a_kit_is_no_alarm(judged, read, fish):
    band = judged(fish("rainbow_trout"), read("no2", 0.0, 0.125)).band("no2_n")
    assert band.level == "watch"
    assert "verdict.lowest_step" in [item.code for item in band.reasons]
    assert judged(fish("rainbow_trout"), read("no2", 0.05, 0.125)).band("no2_n").level == "act"


def test_memory_is_named_where_it_makes_a_line_stricter(judged, read, fish):
    band = judged(fish("rainbow_trout"), read("no2", 0.15, 0.15)).band("no2_n")
    assert band.grade == "memory"
    assert "verdict.memory" in [item.code for item in band.reasons]


def test_nitrate_has_two_sides(judged, read, fish, loop):
    """Davidson et al. 2014: trout stay under 75-80 mg/L NO3-N; 400 mg/L of the ion (FAO 589) is 90 as N."""
    planted = loop(beds=[{"name": "bed", "kind": "raft", "area_m2": 2.0}])
    assert judged(fish("nile_tilapia"), read("no3", 60, 65)).band("no3_n").level == "watch"
    assert judged(fish("rainbow_trout"), read("no3", 60, 65)).band("no3_n").level == "act"
    hungry = judged(fish("nile_tilapia"), read("no3", 0.5, 2.0), system=planted).band("no3_n")
    assert (hungry.level, hungry.binding) == ("watch", "plants")
    assert judged(fish("nile_tilapia"), read("no3", 0.5, 2.0)).band("no3_n").level == "safe"


def test_no_fish_no_alarm_for_fish(judged, read, loop):
    found = judged(read("tan", 4.0, 4.0), read("ph", 8.0, 8.0), system=loop(startup_path="fishless"))
    assert not found.band("nh3_n").applies
    assert found.level == "safe"
    assert found.first is None
