"""The bench against PHREEQC (with activities) and PyCO2SYS (without), and the short form against the bench."""

import numpy as np
import pytest

from rillbed.science import carbonate, equilibria
from rillbed.science.titration import Water, other_alkalinity

# temp_c, NaHCO3 meq/kg, NaCl mmol/kg, pH
SIMPLE_WATERS = [
    (10.0, 0.5, 0.5, 7.0),
    (20.0, 1.0, 0.5, 7.5),
    (25.0, 2.0, 0.5, 7.0),
    (25.0, 2.0, 0.5, 8.3),
    (25.0, 0.4, 0.5, 6.2),
    (20.0, 4.0, 0.5, 7.8),
    (5.0, 2.0, 0.5, 8.0),
    (32.0, 0.8, 8.0, 7.2),
]


@pytest.fixture(scope="module")
def phreeqc():
    module = pytest.importorskip("phreeqpython")
    return module.PhreeqPython(database="phreeqc.dat")


@pytest.mark.parametrize(("temp", "alk", "salt", "ph"), SIMPLE_WATERS)
def test_agrees_with_phreeqc_in_simple_waters(phreeqc, temp, alk, salt, ph):
    theirs = phreeqc.add_solution(
        {"temp": temp, "pH": ph, "units": "mmol/kgw", "Na": alk + salt, "Cl": f"{salt} charge", "Alkalinity": alk}
    )
    i, dic = theirs.I, theirs.total_element("C", units="mmol")
    ours = carbonate.speciate(temp, alk, i, ph=ph)
    co2 = theirs.species["CO2"] * 1e3
    assert ours.co2_mg_l / carbonate.CO2_G_MOL == pytest.approx(co2, rel=0.005)
    assert ours.dic_mmol_l == pytest.approx(dic, rel=0.005)
    if ph <= 8.0:
        assert carbonate.speciate(temp, alk, i, dic_mmol_l=dic).ph == pytest.approx(ph, abs=0.005)
    else:
        # near pH 8.3 DIC barely fixes pH: the sodium pairs PHREEQC counts move DIC by 0.03 % and pH by 0.007
        assert ours.dic_mmol_l == pytest.approx(dic, rel=0.0005)
    pressure = 10 ** theirs.si("CO2(g)") * 1e6
    assert carbonate.speciate(temp, alk, i, pco2_uatm=pressure).ph == pytest.approx(ph, abs=0.005)


@pytest.mark.parametrize(("temp", "alk", "salt", "ph"), SIMPLE_WATERS)
def test_agrees_with_pyco2sys_at_zero_ionic_strength(temp, alk, salt, ph):
    # its option 8 has the fresh-water constants of Millero 1979 and no activities, so ours are switched off too
    pyco2 = pytest.importorskip("PyCO2SYS")
    theirs = pyco2.sys(
        par1=alk * 1e3, par2=ph, par1_type=1, par2_type=3, temperature=temp, salinity=0.0,
        opt_k_carbonic=8, opt_pH_scale=3, opt_total_borate=1,
    )  # fmt: skip
    ours = carbonate.speciate(temp, alk, 0.0, ph=ph)
    assert ours.co2_mg_l / carbonate.CO2_G_MOL == pytest.approx(float(theirs["aqueous_CO2"]) / 1e3, rel=0.005)
    assert ours.dic_mmol_l == pytest.approx(float(theirs["dic"]) / 1e3, rel=0.005)
    back = carbonate.speciate(temp, alk, 0.0, dic_mmol_l=float(theirs["dic"]) / 1e3)
    assert back.ph == pytest.approx(ph, abs=0.005)


def test_ammonia_and_phosphate_carry_alkalinity():
    # PHREEQC 3.7.3, phreeqc.dat: 27 degC, alkalinity 1.5, pH 8.2, TAN 0.714 mmol/kg
    ours = carbonate.speciate(27.0, 1.5, 0.00366, ph=8.2, tan_mg_l=10.0)
    assert ours.dic_mmol_l == pytest.approx(1.4395, rel=0.005)
    assert carbonate.speciate(27.0, 1.5, 0.00366, ph=8.2).dic_mmol_l == pytest.approx(1.5032, rel=0.005)


@pytest.mark.parametrize(
    ("alk", "dic_change", "closed_ph"),
    [(1.5, 0.0, 9.316), (1.5, 0.5, 6.973), (1.5, 0.25, 7.532), (2.0, 1.0, 7.094), (0.75, 0.0, 6.437)],
)
def test_doses_in_soft_water_end_where_phreeqc_says(alk, dic_change, closed_ph):
    # PHREEQC 3.7.3: 25 degC, alkalinity 1.0, pH 6.8; KOH, KHCO3, K2CO3, NaHCO3, HCl in turn
    start = carbonate.speciate(25.0, 1.0, 0.0015, ph=6.8)
    after = carbonate.speciate(25.0, alk, 0.0015 + abs(alk - 1.0) / 1e3, dic_mmol_l=start.dic_mmol_l + dic_change)
    assert after.ph == pytest.approx(closed_ph, abs=0.01)


@pytest.mark.parametrize("known", ["ph", "dic_mmol_l", "pco2_uatm"])
def test_every_known_leads_back_to_the_others(known):
    alk = np.linspace(0.1, 5.0, 40)
    first = carbonate.speciate(22.0, alk, 0.006, ph=np.linspace(6.0, 8.8, 40), tan_mg_l=1.0, po4_p_mg_l=3.0)
    again = carbonate.speciate(22.0, alk, 0.006, **{known: getattr(first, known)}, tan_mg_l=1.0, po4_p_mg_l=3.0)
    for name in ("ph", "co2_mg_l", "dic_mmol_l", "pco2_uatm"):
        np.testing.assert_allclose(getattr(again, name), getattr(first, name), rtol=1e-9)


def test_parts_of_alkalinity_add_up():
    w = carbonate.speciate(20.0, 1.7, 0.008, dic_mmol_l=1.8, tan_mg_l=2.0, po4_p_mg_l=6.0)
    parts = (
        w.carbonate_alkalinity_meq_l
        + w.ammonia_alkalinity_meq_l
        + w.phosphate_alkalinity_meq_l
        + w.water_alkalinity_meq_l
    )
    assert parts == pytest.approx(1.7, abs=1e-10)
    assert isinstance(w.ph, float)


def test_acid_in_excess_has_a_ph():
    assert carbonate.speciate(20.0, -0.5, 0.002, dic_mmol_l=0.1).ph == pytest.approx(3.32, abs=0.02)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ({}, "exactly one .* got none"),
        ({"ph": 7.0, "dic_mmol_l": 1.0}, "exactly one .* got ph and dic_mmol_l"),
        ({"ph": 14.0}, "ph 14: allowed is 2 to 12.5"),
        ({"pco2_uatm": -1.0}, "pco2_uatm -1: allowed"),
        ({"ph": float("nan")}, "ph nan: allowed"),
        ({"ph": 12.0}, "alkalinity_meq_l 1 does not fit ph 12"),
    ],
)
def test_errors_name_field_value_and_what_is_allowed(arguments, words):
    with pytest.raises(ValueError, match=words):
        carbonate.speciate(20.0, 1.0, 0.002, **arguments)


@pytest.mark.parametrize("ph", [6.0, 7.0, 7.5, 8.0, 8.5, 8.75])
def test_short_form_follows_the_bench(ph):
    alk = np.array([0.15, 0.5, 1.0, 2.5, 5.0])
    temp = 24.0
    bench = carbonate.speciate(temp, alk, 0.006, ph=ph, tan_mg_l=0.5, po4_p_mg_l=2.0)
    other = other_alkalinity(Water.at(temp, 0.006), ph, 0.5, 2.0)
    left = alk - other.ammonia_meq_l - other.phosphate_meq_l
    short = carbonate.step_ph(bench.co2_mg_l / carbonate.CO2_G_MOL, left, temp, 0.006)
    np.testing.assert_allclose(short[alk >= 0.5], ph, atol=0.001)
    np.testing.assert_allclose(short, ph, atol=0.005)  # the weakest water, where hydroxide counts most


def test_short_form_survives_any_sign_of_alkalinity():
    ph = carbonate.step_ph(0.3, np.array([-2.0, -0.01, 0.0, 0.01, 0.0999, 0.1001, 1.0]), 20.0, 0.005)
    assert np.all(np.isfinite(ph))
    assert np.all(np.diff(ph) > 0)
    assert ph[0] == pytest.approx(3 - np.log10(2.0 * equilibria.davies_gamma(1, 0.005, 20.0)), abs=0.001)


def test_calcite_index_of_a_hard_water(phreeqc):
    theirs = phreeqc.add_solution(
        {"temp": 20.0, "pH": 7.4, "units": "mmol/kgw", "Ca": 1.0, "Mg": 0.4, "Na": 0.8, "K": 0.3, "S(6)": 0.4,
         "Cl": "0.7 charge", "Alkalinity": 2.4}
    )  # fmt: skip
    ours = carbonate.speciate(20.0, 2.4, theirs.I, ph=7.4)
    index = carbonate.calcite_saturation_index(20.0, 40.078, ours.co3_mmol_l, theirs.I)
    assert index == pytest.approx(theirs.si("Calcite"), abs=0.1)  # pairs of Ca with sulfate and carbonate left out
    assert index > theirs.si("Calcite")
