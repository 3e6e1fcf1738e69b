import numpy as np
import pytest

from rillbed.science import evaporation


def test_members_run_along_the_last_axis():
    winds = np.array([0.5, 2.078, 5.0])
    many = evaporation.reference_et_mm_day(50.80, 187, 100.0, 21.5, 12.3, 1.409, winds, 9.25)
    each = [evaporation.reference_et_mm_day(50.80, 187, 100.0, 21.5, 12.3, 1.409, w, 9.25) for w in winds]
    np.testing.assert_allclose(many, each)
    assert np.all(np.diff(many) > 0)


def test_south_in_january_evaporates_more_than_north():
    rest = (15, 10.0, 26.0, 14.0, 1.4, 2.0, 6.0)
    assert evaporation.reference_et_mm_day(-40.0, *rest) > 2 * evaporation.reference_et_mm_day(40.0, *rest)


def test_polar_night_and_damp_warm_air_never_give_water_back():
    assert evaporation.reference_et_mm_day(80.0, 355, 0.0, -20.0, -30.0, 0.05, 1.0, 0.0) >= 0.0
    assert evaporation.warm_water_mm_day(10.0, 2.0, 1.0) == 0.0


def test_crop_water_is_the_coefficient_times_the_reference():
    assert evaporation.crop_et_mm_day(5.0, 1.15) == pytest.approx(5.75)
