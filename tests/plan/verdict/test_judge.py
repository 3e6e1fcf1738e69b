"""Order, contradictions, and what the model may and may not do to a verdict."""

import math

import numpy as np
import pytest

from rillbed.engine import COLUMNS, Forecast
from rillbed.garden.quantities import QUANTITIES
from rillbed.plan.verdict import LEVELS, ORDER

LEVEL_OF = {
    "ph": 7.2, "alkalinity_meq_l": 1.5, "o2_min_mg_l": 7.5, "temp_c": 25.0, "no3_mg_l": 20.0, "cl_mg_l": 20.0,
}  # fmt: skip


@pytest.fixture
def members(on):
    def build(count=50, **columns):
        table = {
            name: np.broadcast_to(np.asarray(columns.get(name, LEVEL_OF.get(name, 0.0)), dtype=np.float32), (41, count))
            for name in COLUMNS
        }
        return Forecast(
            on.replace(day=1), on, 40, count, np.full(count, 1 / count), table, np.full(count, np.nan), {}, "", {}, ""
        )

    return build


def test_order_of_safety(judged, read, fish):
    log = (
        fish("nile_tilapia"), read("no3", 20, 30), read("alkalinity", 1, 2), read("tan", 4, 6), read("ph", 7, 8),
        read("no2", 2, 3), read("oxygen", 2.5, 3.5), read("ec", 0.5, 0.6), read("gh", 1, 2), read("chlorine", 0, 0.05),
    )  # fmt: skip
    found = judged(*log)
    codes = [band.code for band in found.bands]
    assert codes == sorted(codes, key=ORDER.index)
    assert {"o2", "nh3_n", "no2_n", "co2", "ph", "tan", "alkalinity", "no3_n", "hardness", "ec", "chlorine"} <= {*codes}
    for band in found.bands:
        assert sum(band.probabilities.values()) == pytest.approx(1.0)
        assert set(band.probabilities) == set(LEVELS)
        assert band.sources or band.grade in ("practice", "memory")
    assert found.first.code == "nh3_n"  # danger; oxygen only asks to act


def test_among_equals_oxygen_comes_first(judged, read, fish):
    log = (fish("nile_tilapia"), read("tan", 6, 8), read("ph", 8, 8), read("oxygen", 1.0, 1.5))
    assert judged(*log).first.code == "o2"


def test_nothing_known_is_no_verdict(judged):
    found = judged()
    assert found.bands == ()
    assert found.level == "safe"
    assert found.missing[:3] == ("oxygen", "tan", "ph")


def test_the_model_speaks_only_where_nobody_read(judged, read, members):
    calm = members()
    assert judged(forecast=calm).band("o2").basis == "model"
    assert judged(read("oxygen", 3, 3), forecast=calm).band("o2").worst == 3.0
    fresh = judged(read("tan", 4, 4), read("ph", 8, 8), forecast=calm).band("nh3_n")
    assert fresh.level == judged(read("tan", 4, 4), read("ph", 8, 8)).band("nh3_n").level == "danger"


def test_the_model_can_only_make_a_stale_reading_stricter(judged, read, members):
    for tan in (0.1, 5.0):
        old = (read("tan", tan, tan, day=14), read("ph", 8.0, 8.0))
        alone = judged(*old).band("nh3_n")
        for modelled in (0.0, 0.5, 5.0):
            both = judged(*old, forecast=members(tan_mg_l=modelled)).band("nh3_n")
            assert both.worst >= alone.worst - 1e-9
            assert LEVELS.index(both.level) >= LEVELS.index(alone.level)


def test_a_tenth_of_the_members_is_enough(judged, members):
    low = np.where(np.arange(50) < 8, 1.5, 7.5)  # 16 % of them without air
    found = judged(forecast=members(o2_min_mg_l=low)).band("o2")
    assert found.level == "danger"
    assert found.probabilities["danger"] == pytest.approx(0.16, abs=0.01)
    few = np.where(np.arange(50) < 3, 1.5, 7.5)
    assert judged(forecast=members(o2_min_mg_l=few)).band("o2").level == "safe"


def test_every_quantity_that_can_be_read_is_borne(judged, read):
    quantities = [q for q in QUANTITIES if q not in ("temperature",)]
    log = [read(q, 7.0, 7.0) if q == "ph" else read(q, 0.5, 0.6) for q in quantities]
    found = judged(*log)
    assert {"nh3_n", "no2_n", "ec"} <= {band.code for band in found.bands}


def test_same_log_same_answer(judged, read, fish):
    log = (fish("nile_tilapia"), read("tan", 0.5, 1.5), read("ph", 7.0, 8.0), read("no2", 0.1, 0.5))
    assert judged(*log) == judged(*reversed(log))


def test_printed_reach_of_one_reading(judged, read, fish):
    """TAN 0.25 on a card, pH 8.2, 25 degC: 0.007 to 0.047 mg/L NH3-N (Emerson 1975), "OK, but one more step is not"."""
    water = (read("tan", 0.125, 0.375), read("ph", 8.0, 8.4), read("temperature", 25, 25))
    found = judged(fish("common_carp_koi"), *water).band("nh3_n")
    assert (found.low, found.high) == pytest.approx((0.007, 0.047), abs=5e-4)
    assert found.worst < found.limits["act"][1]


def codes(found):
    return [item.code for item in found.contradictions]


def test_two_tests_of_one_evening_must_agree(judged, read, entry):
    assert codes(judged(read("tan", 0, 0.1, hour=18), read("tan", 1, 2, hour=19))) == ["contradiction.twice"]
    assert codes(judged(read("tan", 0.5, 1.0, hour=18), read("tan", 1, 2, hour=19))) == []
    assert codes(judged(read("tan", 0, 0.1, day=19), read("tan", 1, 2, hour=19))) == []
    changed = entry("water_changed", hour=18, volume={"value": 400, "unit": "L"})
    assert codes(judged(read("no3", 50, 60, hour=17), changed, read("no3", 20, 30, hour=19))) == []
    top = judged(read("no2", 5, None, hour=18), read("no2", 1, 2, hour=19)).contradictions[0]
    assert top.values["high"] is None
    assert not any(isinstance(value, float) and math.isinf(value) for value in top.values.values())


def test_carbon_that_no_water_holds(judged, read):
    """PH 5 at 2 meq/L would need 1.8 g/L of carbon dioxide; pH 9 at 0.3 meq/L less than a tenth of what air gives."""
    assert codes(judged(read("ph", 5, 5), read("alkalinity", 2, 2))) == ["contradiction.co2_high"]
    assert codes(judged(read("ph", 9, 9), read("alkalinity", 0.3, 0.3))) == ["contradiction.co2_low"]
    assert codes(judged(read("ph", 7, 7), read("alkalinity", 2, 2))) == []
    assert codes(judged(read("ph", None, 6.2), read("alkalinity", 0.2, 0.5))) == []
    # In balance with air (PHREEQC, 420 uatm, 25 degC): pH 7.876 at 0.5 meq/L and 8.738 at 4.
    assert codes(judged(read("ph", 7.876, 7.876), read("alkalinity", 0.5, 0.5))) == []
    assert codes(judged(read("ph", 8.738, 8.738), read("alkalinity", 4, 4))) == []


def test_oxygen_and_salts_that_cannot_be(judged, read):
    assert codes(judged(read("oxygen", 20, 20))) == ["contradiction.oxygen"]
    assert codes(judged(read("oxygen", 10, 10))) == []
    assert codes(judged(read("ec", 0.2, 0.2), read("cl", 400, 400))) == ["contradiction.salts"]
    # PHREEQC: 600 uS/cm at an ionic strength of 0.005, so about 5 meq/L of sodium salts.
    assert codes(judged(read("ec", 0.6, 0.6), read("cl", 177, 177))) == []


def test_later_entries_are_unseen(judged, read, on):
    assert judged(read("tan", 5, 5, day=21)).band("tan") is None
