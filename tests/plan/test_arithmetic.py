import pytest

from rillbed.plan.arithmetic import alkalinity_used_meq_l, nitrogen_for_rise_g, solution_ml


@pytest.mark.parametrize(("percent", "density", "ml"), [(5, 0.977, 24.9), (10, 0.9576, 12.7), (25, 0.907, 5.4)])
def test_ammonia_solution_volumes_for_one_mg_l_in_a_cubic_metre(percent, density, ml):
    # Derived from standard handbook densities; 0.8224 g N per g NH3.
    share = percent / 100 * 14.007 / 17.031
    assert solution_ml(nitrogen_for_rise_g(1.0, 1000.0), share, density) == pytest.approx(ml, abs=0.06)


def test_alkalinity_of_an_ammonium_salt_is_the_published_rate():
    # 7.14 mg CaCO3 per mg N: 50.04 mg CaCO3 per meq.
    assert alkalinity_used_meq_l(1.0, 2.0) * 50.04 == pytest.approx(7.14, abs=0.01)


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: nitrogen_for_rise_g(2, 0), "volume_l"),
        (lambda: nitrogen_for_rise_g(-2, 10), "target_mg_l"),
    ],
)
def test_bad_input_names_its_field(call, field):
    with pytest.raises(ValueError, match=field):
        call()
