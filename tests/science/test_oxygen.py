"""Oxygen saturation at other pressures and salinities, beside the printed table in tests/published."""

import numpy as np
import pytest

from rillbed.science import oxygen


@pytest.mark.parametrize(
    ("temp", "salinity", "garcia_gordon"),
    [(0.0, 0.0, 14.621), (10.0, 0.0, 11.288), (20.0, 0.0, 9.092), (30.0, 0.0, 7.559)],
)
def test_agrees_with_an_independent_fit(temp, salinity, garcia_gordon):
    # Garcia & Gordon 1992 lies within 0.003 mg/L of Benson & Krause from 0 to 40 degC
    assert oxygen.saturation_mg_l(temp, 1.0, salinity) == pytest.approx(garcia_gordon, abs=0.003)


def test_pressure_acts_on_the_dry_part_of_the_air():
    # the short form (P - u)/(1 - u) of the same source is within 0.003 mg/L above 0.75 atm
    temp, p = np.linspace(0, 35, 8), 0.85
    u = oxygen.vapour_pressure_atm(temp)
    short = oxygen.saturation_mg_l(temp) * (p - u) / (1 - u)
    np.testing.assert_allclose(oxygen.saturation_mg_l(temp, p), short, atol=0.0035)


def test_vapour_pressure_at_twenty_degrees_is_the_handbook_value():
    assert oxygen.vapour_pressure_atm(20.0) * 760 == pytest.approx(17.5, abs=0.05)


def test_salt_and_height_both_take_oxygen_away():
    fresh = oxygen.saturation_mg_l(22.0)
    assert oxygen.saturation_mg_l(22.0, 1.0, 2.0) < fresh
    assert oxygen.saturation_mg_l(22.0, oxygen.station_pressure_atm(1500.0)) < fresh
    assert oxygen.station_pressure_atm(0.0) == pytest.approx(1.0, abs=0.001)
