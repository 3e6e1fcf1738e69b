import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillbed.science import carbonate, dosing

CO2_G_MOL = carbonate.CO2_G_MOL


def ph(alk, co2):
    return carbonate.step_ph(co2, alk, 25.0, 0.003)


@pytest.mark.parametrize("form", list(dosing.CO2_BOUND))
@pytest.mark.parametrize("alk", [0.3, 0.8, 2.0])
def test_the_largest_dose_makes_the_step_it_is_named_for(alk, form):
    co2 = 10.0 / CO2_G_MOL
    base = dosing.largest_base_eq_m3(alk, co2, 0.2, form)
    after = ph(alk + base, co2 - dosing.CO2_BOUND[form] * base)
    assert after - ph(alk, co2) == pytest.approx(0.2, abs=0.01)


def test_the_full_bench_agrees_that_a_bicarbonate_dose_steps_by_no_more():
    before = carbonate.speciate(25.0, 0.8, 0.003, ph=7.2)
    base = float(dosing.largest_base_eq_m3(0.8, before.co2_mg_l / CO2_G_MOL, 0.2))
    after = carbonate.speciate(25.0, 0.8 + base, 0.003 + base / 1e3, dic_mmol_l=before.dic_mmol_l + base)
    assert after.ph - 7.2 == pytest.approx(0.2, abs=0.015)


@given(st.floats(0.0, 5.0), st.floats(-2.0, 5.0), st.floats(1e-3, 1.0), st.sampled_from(list(dosing.CO2_BOUND)))
def test_a_capped_dose_never_exceeds_what_is_wanted_and_always_moves_on(wanted, alk, co2, form):
    given_base = dosing.capped_base_eq_m3(wanted, alk, co2, 0.2, form)
    assert 0.0 <= given_base <= wanted
    assert given_base > 0.0 or wanted == 0.0


def test_what_is_not_a_base_is_refused():
    with pytest.raises(ValueError, match="form: 'vinegar' is not a base"):
        dosing.largest_base_eq_m3(1.0, 0.1, 0.2, "vinegar")


def test_hydroxide_is_the_harshest():
    doses = [dosing.largest_base_eq_m3(0.8, 0.1, np.array([0.1, 0.2]), form) for form in dosing.CO2_BOUND]
    assert (doses[0] > doses[1]).all()
    assert (doses[1] > doses[2]).all()
