import numpy as np

from rillbed.science import light


def test_polar_night_has_no_light_and_polar_day_never_ends():
    assert light.day_length_h(80.0, 355) == 0.0
    assert light.extraterrestrial_mj_m2_day(80.0, 355) == 0.0
    assert light.day_length_h(80.0, 172) == 24.0


def test_hemispheres_mirror_the_day_length():
    days = np.arange(1, 366)
    total = light.day_length_h(40.0, days) + light.day_length_h(-40.0, days)
    np.testing.assert_allclose(total, 24.0, rtol=1e-12)


def test_more_sun_than_day_counts_as_a_whole_day():
    assert light.global_mj_m2_day(40.0, 20.0, 12.0) == 30.0
    assert light.global_mj_m2_day(0.0, 0.0, 0.0) == 0.0
