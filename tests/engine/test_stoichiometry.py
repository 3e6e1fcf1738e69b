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


def test_a_table_row_that_loses_nitrogen_is_caught(monkeypatch):
    rows = st.processes()
    rows["nitritation"]["no2"] = 0.9
    monkeypatch.setattr(st, "processes", lambda: rows)
    assert abs(st.continuity()["nitritation"][0]) > 0.05
