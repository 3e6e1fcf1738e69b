"""Labels: oxide or element, per cent or g/L; each figure held against molar masses of a chemistry package."""

from datetime import datetime, timedelta
from pathlib import Path
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest

from rillbed import facts, units
from rillbed.engine.pack import dose_grams
from rillbed.garden.errors import GardenError
from rillbed.garden.files import read_system, write_system
from rillbed.garden.fold import check
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Dosed
from rillbed.garden.products import Product
from rillbed.garden.system import System

SYSTEM = {
    "name": "Made-up loop", "latitude_deg": -34.0, "place": "greenhouse", "started_on": "2031-04-01",
    "tanks": [{"name": "tank", "volume_l": 900}],
}  # fmt: skip
FEED = {"id": "own_tomato_feed", "name": "Tomato feed", "n": 4, "p": 3, "k": 8, "n_form": "nitrate"}


def test_a_label_of_oxides_is_turned_into_elements():
    # Atomic weights (IUPAC 2021): P2O5 holds 43.64 % P, K2O 83.01 % K.
    shares = Product.make(FEED).shares
    assert shares["p"] == pytest.approx(0.03 * 0.43642, rel=1e-4)
    assert shares["k"] == pytest.approx(0.08 * 0.83015, rel=1e-4)
    assert shares["n"] == pytest.approx(0.04)
    as_element = Product.make(FEED | {"k_as": "K", "p_as": "P"}).shares
    assert (as_element["k"], as_element["p"]) == (pytest.approx(0.08), pytest.approx(0.03))


def test_a_label_in_grams_a_litre_needs_the_density():
    with pytest.raises(GardenError, match="density_g_ml"):
        Product.make(FEED | {"basis": "g_l"})
    heavy = Product.make(FEED | {"basis": "g_l", "density_g_ml": 1.25, "k": 100.0, "k_as": "K"})
    assert heavy.shares["k"] == pytest.approx(100.0 / 1250.0)
    assert heavy.grams(None, 10.0) == pytest.approx(12.5)


def test_a_label_over_a_hundred_per_cent_is_refused_with_its_sum():
    with pytest.raises(GardenError, match=r"N 50 \+ P 30 \+ K 30 = 110 %.*more than 100 %"):
        Product.make(FEED | {"n": 50, "p": 30, "k": 30})
    with pytest.raises(GardenError, match="at least one nutrient"):
        Product.make({"id": "own_x", "name": "Nothing"})


def test_pure_salts_typed_as_labels_match_the_table():
    # A label of pure potassium sulfate reads 0-0-54.06, of monopotassium phosphate 0-52.15-34.61.
    for supply, label in (
        ("potassium_sulfate", {"k": 54.06}),
        ("monopotassium_phosphate", {"p": 52.15, "k": 34.61}),
        ("potassium_nitrate", {"n": 13.85, "k": 46.58}),
    ):
        shares = Product.make({"id": "own_salt", "name": "Salt", **label}).shares
        row = facts.supplements()[supply]
        assert 100.0 * shares["k"] == pytest.approx(row.k_pct, rel=2e-4)
        assert 100.0 * shares.get("p", 0.0) == pytest.approx(row.p_pct, rel=2e-4)


# Formula of each salt: moles of what it is made of in one mole.
FORMULAS = {
    "potassium_bicarbonate": "KHCO3", "potassium_carbonate": "K2CO3", "potassium_hydroxide": "KOH",
    "potassium_sulfate": "K2SO4", "potassium_chloride": "KCl", "potassium_nitrate": "KNO3", "gypsum": "CaSO4(H2O)2",
    "monopotassium_phosphate": "KH2PO4", "calcium_hydroxide": "Ca(OH)2", "calcium_carbonate": "CaCO3",
    "dolomite": "CaMg(CO3)2", "calcium_chloride": "CaCl2(H2O)2", "magnesium_sulfate": "MgSO4(H2O)7",
    "sodium_bicarbonate": "NaHCO3", "sodium_chloride": "NaCl", "boric_acid": "H3BO3", "manganese_sulfate": "MnSO4H2O",
}  # fmt: skip
COUNTS = {
    "KHCO3": {"K": 1, "H": 1, "C": 1, "O": 3}, "K2CO3": {"K": 2, "C": 1, "O": 3}, "KOH": {"K": 1, "O": 1, "H": 1},
    "K2SO4": {"K": 2, "S": 1, "O": 4}, "KCl": {"K": 1, "Cl": 1}, "KNO3": {"K": 1, "N": 1, "O": 3},
    "CaSO4(H2O)2": {"Ca": 1, "S": 1, "O": 6, "H": 4}, "KH2PO4": {"K": 1, "H": 2, "P": 1, "O": 4},
    "Ca(OH)2": {"Ca": 1, "O": 2, "H": 2}, "CaCO3": {"Ca": 1, "C": 1, "O": 3},
    "CaMg(CO3)2": {"Ca": 1, "Mg": 1, "C": 2, "O": 6}, "CaCl2(H2O)2": {"Ca": 1, "Cl": 2, "H": 4, "O": 2},
    "MgSO4(H2O)7": {"Mg": 1, "S": 1, "O": 11, "H": 14}, "NaHCO3": {"Na": 1, "H": 1, "C": 1, "O": 3},
    "NaCl": {"Na": 1, "Cl": 1}, "H3BO3": {"H": 3, "B": 1, "O": 3}, "MnSO4H2O": {"Mn": 1, "S": 1, "O": 5, "H": 2},
}  # fmt: skip


@pytest.mark.parametrize("supply", FORMULAS)
def test_every_salt_against_a_general_chemistry_package(supply):
    weights = masses(database())
    counts = COUNTS[FORMULAS[supply]]
    whole = sum(n * weights[e] for e, n in counts.items())
    row = facts.supplements()[supply]
    for element in ("K", "Ca", "Mg", "S", "Na", "Cl", "P", "B", "Mn"):
        share = 100.0 * counts.get(element, 0) * weights[element] / whole
        assert getattr(row, f"{element.lower()}_pct") == pytest.approx(share, rel=1e-3, abs=1e-9)


def database():
    module = pytest.importorskip("phreeqpython")
    return next(Path(module.__file__).parent.rglob("phreeqc.dat"))


def masses(path):
    """Atomic weights of the database: fifth column of its list of master species."""
    out = {}
    for line in path.read_text("latin-1").splitlines():
        parts = line.split()
        if line.startswith("SOLUTION_SPECIES"):
            break
        if len(parts) >= 5 and parts[0].isalpha():
            out[parts[0]] = float(parts[4])
    return out


def test_oxides_of_the_units_against_the_package():
    w = masses(database())
    assert units.convert_basis(1.0, "K2O", "K") == pytest.approx(2 * w["K"] / (2 * w["K"] + w["O"]), rel=1e-3)
    assert units.convert_basis(1.0, "SO3", "S") == pytest.approx(w["S"] / (w["S"] + 3 * w["O"]), rel=1e-3)


def test_products_stand_in_the_system_file_and_old_files_are_read_as_before(tmp_path):
    whole = System.make(SYSTEM | {"products": [FEED], "shelf": ["own_tomato_feed"], "prices": [
        {"supply": "own_tomato_feed", "per_kg": 12.0}]})  # fmt: skip
    write_system(whole, tmp_path / "system.toml")
    assert read_system(tmp_path / "system.toml") == whole
    assert System.make(SYSTEM).products == ()
    with pytest.raises(GardenError, match=r"own_tomato_fed.*did you mean own_tomato_feed"):
        System.make(SYSTEM | {"products": [FEED], "shelf": ["own_tomato_fed"]})
    with pytest.raises(GardenError, match="its own id"):
        System.make(SYSTEM | {"products": [FEED, FEED]})


def dosed(substance):
    at = datetime(2031, 4, 5, 12, tzinfo=ZoneInfo("UTC")) + timedelta(days=1)
    amount = {"value": 25, "unit": "g"}
    return LogEntry.make(
        {"uuid": UUID(int=1), "at": at, "kind": "dosed", "payload": {"substance": substance, "amount": amount}}
    )


def test_a_dose_of_an_own_product_is_booked_by_its_label():
    whole = System.make(SYSTEM | {"products": [FEED]})
    item = dosed("own_tomato_feed")
    check(whole, [item])
    brought = dose_grams(item.payload, whole.products)
    assert brought["k"] == pytest.approx(25 * 0.08 * 0.83015, rel=1e-4)
    assert brought["no3"] == pytest.approx(1.0)
    with pytest.raises(GardenError, match=r"own_other.*not a known product"):
        check(whole, [dosed("own_other")])
    with pytest.raises(ValueError, match="is in no table"):
        dose_grams(Dosed.make({"substance": "own_other", "amount": "1 g"}))
