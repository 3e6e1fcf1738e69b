import numpy as np
import pytest

from rillbed.engine import stoichiometry as st


def test_every_process_conserves_every_element_oxygen_demand_charge_and_water():
    for name, residual in st.continuity().items():
        assert np.abs(residual).max() < 1e-12, name


def test_oxygen_and_alkalinity_of_nitrification_are_the_textbook_figures():
    # 4.57 g O2 and 7.14 g CaCO3 per g N: Boyd, Aquaculture water quality; stoichiometry of NH4+ + 2 O2
    total = st.O2_USE["nitritation"] + st.O2_USE["nitratation"]
    assert total == pytest.approx(4.57, abs=0.005)
    assert -st.ALK["nitritation"] * 50.04 == pytest.approx(7.14, abs=0.01)
    assert st.ALK["denitrification"] * 50.04 == pytest.approx(3.57, abs=0.01)


def test_decay_without_oxygen_gives_the_co2_that_its_formula_says():
    # Buswell & Mueller 1952, Ind. Eng. Chem. 44:550-552: c/2 - h/8 + o/4 + 3n/8 of protein C16H24O5N4
    per_n = (16 / 2 - 24 / 8 + 5 / 4 + 3 * 4 / 8) / 4
    assert st.FERMENTED_CO2 * st.MOLAR_G["n"] == pytest.approx(per_n, rel=0.1)
    assert st.ALK["ammonification"] < st.FERMENTED_CO2  # enough to be the partner of the ammonium


def test_a_table_row_that_loses_nitrogen_is_caught(monkeypatch):
    rows = st.processes()
    rows["nitritation"]["no2"] = 0.9
    monkeypatch.setattr(st, "processes", lambda: rows)
    assert abs(st.continuity()["nitritation"][0]) > 0.05
