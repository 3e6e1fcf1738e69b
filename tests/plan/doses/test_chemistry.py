"""PHREEQC 3.7.3 (database phreeqc.dat, no solid allowed to form), each dose in closed water and at the first pCO2."""

import numpy as np
import pytest

from rillbed.plan.doses.chemistry import effect, shown
from rillbed.plan.doses.water import Samples

# temperature, alkalinity, pH, ionic strength, Ca, PO4-P, TAN (mg/L)
WATERS = {
    "simple": (25.0, 1.0, 6.80, 0.00150, 1e-3, 0.0, 0.0),
    "hard": (20.0, 2.4, 7.40, 0.00545, 40.078, 0.0, 0.0),
    "rich": (26.0, 0.5, 6.40, 0.00891, 1.5 * 40.078, 0.3 * 30.974, 0.07 * 14.007),
}
# name: alkalinity and carbon of one mmol, calcium and phosphate of it
DOSES = {
    "KOH": (1, 0, 0, 0), "KHCO3": (1, 1, 0, 0), "K2CO3": (2, 1, 0, 0), "Ca(OH)2": (2, 0, 1, 0),
    "CaCO3": (2, 1, 1, 0), "NaHCO3": (1, 1, 0, 0), "HCl": (-1, 0, 0, 0), "H3PO4": (-1, 0, 0, 1),
}  # fmt: skip
# water, dose, mmol/kg, pH in closed water, pH at the first pCO2
CASES = [
    ("simple", "KOH", 0.5, 9.316, 6.973), ("simple", "KHCO3", 0.5, 6.973, 6.973),
    ("simple", "K2CO3", 0.25, 7.532, 6.973), ("simple", "CaCO3", 0.25, 7.526, 6.971),
    ("simple", "NaHCO3", 1.0, 7.094, 7.096), ("simple", "HCl", 0.25, 6.437, 6.675),
    ("simple", "H3PO4", 0.25, 6.388, 6.639), ("simple", "KOH", 0.2, 7.258, 6.878),
    ("simple", "Ca(OH)2", 0.25, 9.236, 6.971),
    ("hard", "KOH", 0.5, 9.106, 7.481), ("hard", "KHCO3", 0.5, 7.475, 7.481), ("hard", "K2CO3", 0.25, 8.392, 7.481),
    ("hard", "Ca(OH)2", 0.25, 9.069, 7.479), ("hard", "CaCO3", 0.25, 8.364, 7.479),
    ("hard", "NaHCO3", 1.0, 7.536, 7.548), ("hard", "HCl", 0.25, 7.016, 7.352), ("hard", "H3PO4", 0.25, 6.898, 7.316),
    ("hard", "KOH", 0.2, 8.141, 7.434),
    ("rich", "KOH", 0.5, 7.625, 6.713), ("rich", "KHCO3", 0.5, 6.668, 6.713), ("rich", "K2CO3", 0.25, 6.964, 6.713),
    ("rich", "Ca(OH)2", 0.25, 7.613, 6.711), ("rich", "CaCO3", 0.25, 6.958, 6.711),
    ("rich", "NaHCO3", 1.0, 6.822, 6.897), ("rich", "HCl", 0.25, 5.912, 6.091), ("rich", "H3PO4", 0.25, 5.861, 6.035),
    ("rich", "KOH", 0.2, 6.766, 6.551),
]  # fmt: skip


def dosed(water, dose, mmol):
    temp, alk, ph, strength, ca, p, tan = (np.array([value]) for value in WATERS[water])
    sample = Samples(np.ones(1), temp, ph, alk, tan, p, ca, strength, ca_known=True)
    eq, carbon, calcium, phosphate = (part * mmol for part in DOSES[dose])
    made = effect(sample, eq, carbon, ca_mg_l=calcium * 40.078, p_mg_l=phosphate * 30.974)
    return sample, made


@pytest.mark.parametrize(("water", "dose", "mmol", "closed", "aired"), CASES)
def test_ph_at_once_and_settled_against_phreeqc(water, dose, mmol, closed, aired):
    sample, made = dosed(water, dose, mmol)
    within = 0.01 if water == "simple" else 0.04
    assert made.settled[0] == pytest.approx(aired, abs=within)
    figure = shown(sample, made.at_once, made)
    if figure is None:
        # A full program finds ion pairs and scale there: the figure is withheld, and only there.
        assert closed > 8.0
    else:
        assert figure == pytest.approx(closed, abs=within)


def test_the_figure_is_withheld_wherever_the_bench_would_be_off():
    withheld = [case[:2] for case in CASES if shown(*_with_at_once(*dosed(*case[:3]))) is None]
    assert withheld == [
        ("simple", "Ca(OH)2"), ("hard", "KOH"), ("hard", "K2CO3"), ("hard", "Ca(OH)2"), ("hard", "CaCO3"),
        ("hard", "KOH"),
    ]  # fmt: skip


def _with_at_once(sample, made):
    return sample, made.at_once, made
