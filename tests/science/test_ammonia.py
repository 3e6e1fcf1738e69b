"""Shape of the ammonia relations; their printed tables stand in tests/published."""

import numpy as np
import pytest

from rillbed.science import ammonia


def test_more_ammonia_is_free_when_warmer_and_more_alkaline():
    f = ammonia.unionized_fraction(np.linspace(5, 10, 11)[:, None], np.linspace(0, 35, 8))
    assert f.shape == (11, 8)
    assert np.all(np.diff(f, axis=0) > 0)
    assert np.all(np.diff(f, axis=1) > 0)
    assert np.all((f > 0) & (f < 1))


def test_half_is_free_at_the_pka():
    assert ammonia.unionized_fraction(ammonia.pka(17.0), 17.0) == pytest.approx(0.5)


@pytest.mark.parametrize(("ionic_strength", "multiplier"), [(0.002, 0.957), (0.010, 0.904), (0.020, 0.868)])
def test_salt_lowers_the_fraction_as_phreeqc_does(ionic_strength, multiplier):
    # PHREEQC 3.7.3, NaCl solution, 25 degC, pH 8; Davies differs by up to 1.6 per cent
    from rillbed.science.equilibria import davies_gamma

    gamma = davies_gamma(1, ionic_strength, 25.0)
    ratio = ammonia.unionized_fraction(8.0, 25.0, gamma) / ammonia.unionized_fraction(8.0, 25.0)
    assert ratio == pytest.approx(multiplier, rel=0.016)


def test_criteria_hold_ph_to_the_printed_span():
    assert ammonia.epa2013_acute_mg_l(5.0, 20.0, True) == ammonia.epa2013_acute_mg_l(6.5, 20.0, True)
    assert ammonia.epa2013_chronic_mg_l(9.6, 20.0) == ammonia.epa2013_chronic_mg_l(9.0, 20.0)


def test_trout_never_allow_more():
    ph, temp = np.meshgrid(np.linspace(6.5, 9, 11), np.linspace(0, 30, 13))
    with_trout = ammonia.epa2013_acute_mg_l(ph, temp, True)
    assert np.all(with_trout <= ammonia.epa2013_acute_mg_l(ph, temp, False) * (1 + 1e-12))
    assert np.all(ammonia.epa2013_chronic_mg_l(ph, temp) < with_trout)
