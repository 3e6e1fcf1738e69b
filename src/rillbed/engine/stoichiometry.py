"""One table: what every process makes and uses, per gram of the element that names it.

Continuity is a static fact of the table: coefficients times composition is zero for each element, for oxygen
demand and for charge. Alkalinity is the charge column read backwards, so it follows from the ions and is never
written down a second time.
"""

import numpy as np

from rillbed import facts
from rillbed.engine.result import Array

MOLAR_G = {e: facts.value(f"atoms.{e}") for e in ("n", "p", "k", "ca", "mg", "s", "na", "cl", "fe", "c", "o")}
"""Standard atomic weights, g/mol."""

VALENCE = {"tan": 1, "no2": -1, "no3": -1, "k": 1, "ca": 2, "mg": 2, "na": 1, "cl": -1, "s": -2, "p": -1, "fe": 0}
"""Charge per mole each dissolved form has at the reference of alkalinity (NH4+, H2PO4-, SO4--, chelated iron)."""

COLUMNS = ("n", "p", "k", "ca", "mg", "s", "na", "cl", "fe", "c", "o2", "charge", "water")
IONS = ("k", "ca", "mg", "fe", "p", "s", "na", "cl")

_O2 = 2 * MOLAR_G["o"]
O2_NH3 = 2.0 * _O2 / MOLAR_G["n"]  # g O2 to take 1 g ammonia-N to nitrate (8 electrons)
O2_NO2 = 0.5 * _O2 / MOLAR_G["n"]
O2_N2 = 1.25 * _O2 / MOLAR_G["n"]
RQ = facts.value("oxygen.respiratory_quotient")  # mol CO2 per mol O2 respired
O2_C = _O2 / (RQ * MOLAR_G["c"])  # g O2 per g organic carbon burnt


def _eq(form: str, element: str) -> float:
    return VALENCE[form] / MOLAR_G[element]


def compositions() -> dict[str, dict[str, float]]:
    """List what one gram (alkalinity: one eq) of each component contains, by column; o2 is oxygen demand."""
    table: dict[str, dict[str, float]] = {
        "tan": {"n": 1, "o2": O2_NH3, "charge": _eq("tan", "n")},
        "no2": {"n": 1, "o2": O2_NO2, "charge": _eq("no2", "n")},
        "no3": {"n": 1, "charge": _eq("no3", "n")},
        "n_gas": {"n": 1, "o2": O2_N2},
        "organic_n": {"n": 1, "o2": O2_NH3},
        "organic_c": {"c": 1, "o2": O2_C},
        "co2": {"c": 1},
        "methane": {"c": 1, "o2": 2 * _O2 / MOLAR_G["c"]},
        "o2": {"o2": -1},
        "alkalinity": {"charge": -1},
        "water": {"water": 1},
        "vapour": {"water": 1},
    }
    for ion in IONS:
        table[ion] = {ion: 1, "charge": _eq(ion, ion)}
        table[f"bound_{ion}"] = {ion: 1}
    return table


def processes() -> dict[str, dict[str, float]]:
    """Coefficients of each process; minerals in feed, plants and sludge are 'bound', N there is organic."""
    n = MOLAR_G["n"]
    carbon = O2_N2 / O2_C
    rotten = facts.choice("breath.carbon_per_n") * MOLAR_G["c"] / n
    methane = rotten * O2_C / (2 * _O2 / MOLAR_G["c"])  # takes along the oxygen nobody used
    table: dict[str, dict[str, float]] = {
        "nitritation": {"tan": -1, "no2": 1, "o2": -(O2_NH3 - O2_NO2), "alkalinity": -2 / n},
        "nitratation": {"no2": -1, "no3": 1, "o2": -O2_NO2},
        "denitrification": {"no3": -1, "n_gas": 1, "organic_c": -carbon, "co2": carbon, "alkalinity": 1 / n},
        "ammonification": {"organic_n": -1, "tan": 1, "alkalinity": 1 / n},
        "plant_nh4": {"tan": -1, "organic_n": 1, "alkalinity": -1 / n},
        "plant_no3": {"no3": -1, "organic_n": 1, "o2": O2_NH3, "alkalinity": 1 / n},
        # what goes with each gram of nitrogen set free where there is no oxygen
        "fermentation": {"organic_c": -rotten, "co2": rotten - methane, "methane": methane},
        "respiration": {"organic_c": -1 / O2_C, "co2": 1 / O2_C, "o2": -1},
        "evaporation": {"water": -1, "vapour": 1},
    }
    for ion in IONS:
        charge = _eq(ion, ion)
        table[f"release_{ion}"] = {f"bound_{ion}": -1, ion: 1, "alkalinity": charge}
        table[f"uptake_{ion}"] = {ion: -1, f"bound_{ion}": 1, "alkalinity": -charge}
    # calcite: carbon taken as CO2, the two charges of carbonate as alkalinity
    ca = MOLAR_G["ca"]
    table["scale"] = {"ca": -1, "bound_ca": 1, "co2": -MOLAR_G["c"] / ca, "organic_c": 0.0, "alkalinity": -2 / ca,
                      "scale_c": MOLAR_G["c"] / ca}  # fmt: skip
    return table


def continuity() -> dict[str, Array]:
    """Row times composition for every process: all zeros (to rounding) or the table is wrong."""
    made = compositions() | {"scale_c": {"c": 1}}
    return {
        name: np.array([sum(x * made[c].get(col, 0.0) for c, x in row.items()) for col in COLUMNS])
        for name, row in processes().items()
    }


ALK = {name: row.get("alkalinity", 0.0) for name, row in processes().items()}
"""eq of alkalinity made per gram of each process."""

O2_USE = {name: -row.get("o2", 0.0) for name, row in processes().items()}
"""g of oxygen used per gram of each process."""

FERMENTED_CO2 = processes()["fermentation"]["co2"] / MOLAR_G["c"]
"""mol of CO2 that comes with each gram of nitrogen set free where there is no oxygen."""

EQ_PER_G = {"n_nh4": _eq("tan", "n"), "n_no3": _eq("no3", "n"), **{ion: _eq(ion, ion) for ion in IONS}}
"""Alkalinity (eq) brought by one gram of each ion when its partner is carbonate or hydroxide."""
