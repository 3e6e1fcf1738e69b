"""Doses over a fortnight: sizes by hand, what is left alone, and that nothing is said to be needed where nothing is."""

import numpy as np
import pytest

from rillbed import facts
from rillbed.garden.products import Product
from rillbed.garden.system import Price
from rillbed.plan.doses import DosePlan, Goal, Water, plan
from rillbed.plan.elements.ceilings import addition
from rillbed.plan.elements.given import given_today
from rillbed.plan.elements.supplements import supplements


def shelved(system, *names, **more):
    return system.model_copy(update={"shelf": names, **more})


def grams(found):
    return {item.supply: item.grams for item in found.costs}


@pytest.fixture
def read_all(read):
    return [
        read(1, "ph", 7.0, 7.0, 20, unit=""), read(2, "alkalinity", 1.5, 1.5, 20, unit="meq/L"),
        read(3, "tan", 0.0, 0.1, 20),
    ]  # fmt: skip


def test_nothing_is_needed_when_nothing_is_short(system, made, on, living, read_all):
    found = supplements(system, living + read_all, made(), on)
    assert (found.code, found.answer, found.costs) == ("nothing_needed", None, ())
    assert found.notes[-1].code == "supplements.none_coming"


def test_where_nothing_grows_nothing_is_added_unless_plants_are_to_come(system, made, on, living, read_all):
    fish = living[:1] + read_all
    assert supplements(system, fish, made(k_mg_l=1.0), on).code == "no_plants"
    assert supplements(system, fish, made(k_mg_l=1.0), on, before_planting=True).code == "plan"


def test_potassium_at_neutral_ph_comes_as_sulfate_by_the_gram(system, made, on, living, read_all):
    found = supplements(shelved(system, "potassium_sulfate"), living + read_all, made(k_mg_l=2.0), on)
    assert found.code == "plan"
    # 2 to 20 mg/L in one cubic metre: 18 g of potassium, 40.1 g of the sulfate.
    assert grams(found)["potassium_sulfate"] == pytest.approx(18.0 / 0.44875, rel=1e-3)
    for step in found.answer.steps:
        assert step.adds_mg_l["k"] <= facts.value("dosing.k") + 1e-9


def test_a_base_that_is_due_brings_the_potassium(system, made, on, living, read):
    log = [
        *living, read(1, "ph", 6.4, 6.4, 20, unit=""), read(2, "alkalinity", 0.4, 0.4, 20, unit="meq/L"),
        read(3, "tan", 0.0, 0.1, 20),
    ]  # fmt: skip
    run = made(k_mg_l=2.0, ph=6.4, alkalinity_meq_l=0.4)
    here = shelved(system, "potassium_bicarbonate", "potassium_sulfate")
    found = supplements(here, log, run, on)
    assert found.gaps[0].element == "alkalinity"
    assert found.by_base == ("k",)
    assert grams(found)["potassium_bicarbonate"] > 0.0
    assert found.answer.harm <= facts.value("dosing.tolerated_harm")


def test_iron_goes_in_after_the_last_base_and_within_its_cap(system, made, on, living, read):
    log = [
        *living, read(1, "ph", 6.4, 6.4, 20, unit=""), read(2, "alkalinity", 0.4, 0.4, 20, unit="meq/L"),
        read(3, "tan", 0.0, 0.1, 20), read(4, "fe", 0.0, 0.1, 20),
    ]  # fmt: skip
    run = made(k_mg_l=2.0, ph=6.4, alkalinity_meq_l=0.4, fe_mg_l=0.05)
    found = supplements(shelved(system, "potassium_bicarbonate", "iron_dtpa"), log, run, on)
    irons = [step.day for step in found.answer.steps if step.substance == "iron_dtpa"]
    bases = [step.day for step in found.answer.steps if step.substance == "potassium_bicarbonate"]
    assert irons
    assert bases
    assert min(irons) > max(bases)


def test_with_ammonia_no_base_goes_in_but_the_salt_does(system, made, on, living, read):
    log = [
        *living, read(1, "ph", 6.4, 6.4, 20, unit=""), read(2, "alkalinity", 0.4, 0.4, 20, unit="meq/L"),
        read(3, "tan", 1.0, 2.0, 20),
    ]  # fmt: skip
    run = made(k_mg_l=2.0, ph=6.4, alkalinity_meq_l=0.4, tan_mg_l=1.5)
    found = supplements(shelved(system, "potassium_bicarbonate", "potassium_sulfate"), log, run, on)
    assert isinstance(found.answer, DosePlan)
    assert set(grams(found)) == {"potassium_sulfate"}


def test_what_was_not_read_and_may_be_short_is_read_first(system, made, on, living, read_all):
    mg = np.tile(np.repeat([1.0, 20.0], [30, 70]), (201, 1))
    found = supplements(system, living + read_all, made(mg_mg_l=mg), on)
    assert (found.code, found.read_first) == ("read_first", ("mg",))


def test_a_need_never_goes_over_the_ceiling(system, made, on, living, read_all):
    # Three of ten members hold 90 mg/L of calcium: the rest may be lifted by ten only.
    ca = np.tile(np.repeat([5.0, 90.0], [70, 30]), (201, 1))
    found = supplements(shelved(system, "gypsum"), living + read_all, made(ca_mg_l=ca), on)
    gap = next(item for item in found.gaps if item.element == "ca")
    assert gap.need == pytest.approx(10.0, rel=1e-3)


def test_cost_is_told_where_every_price_is_known(system, made, on, living, read_all):
    priced = shelved(system, "potassium_sulfate", prices=(Price(supply="potassium_sulfate", per_kg=4.0),))
    found = supplements(priced, living + read_all, made(k_mg_l=2.0), on)
    assert found.total == pytest.approx(40.1 * 4.0 / 1000.0, rel=2e-3)
    assert supplements(shelved(system, "gypsum"), living + read_all, made(ca_mg_l=5.0), on).total is None


def test_shortage_of_nitrogen_is_a_matter_of_feed(system, made, on, living, read_all):
    found = supplements(system, living + read_all, made(no3_mg_l=0.5), on)
    assert found.code == "nothing_needed"
    assert "supplements.nitrogen" in [item.code for item in found.notes]


@pytest.mark.parametrize("name", ["copper_sulfate", "Zinc sulfate"])
def test_copper_and_zinc_are_refused(system, made, on, name):
    answer = addition(system, made(), on, name, 1.0)
    assert (answer.refused[0].code, answer.most_g) == ("add.never", 0.0)


def test_an_addition_that_overshoots_is_refused_with_its_room(system, made, on):
    # 100 g of potassium sulfate in one cubic metre: 44.9 mg/L of potassium in a day; 20 are allowed, 44.6 g.
    answer = addition(system, made(k_mg_l=10.0, s_mg_l=0.0), on, "potassium_sulfate", 100.0)
    assert [item.code for item in answer.refused] == ["add.day_cap"]
    assert answer.most_g == pytest.approx(20.0 / 0.44875, rel=1e-3)
    high = addition(system, made(k_mg_l=75.0, s_mg_l=0.0), on, "potassium_sulfate", 20.0)
    assert [item.code for item in high.refused] == ["add.ceiling"]
    assert addition(system, made(k_mg_l=10.0, s_mg_l=0.0), on, "potassium_sulfate", 20.0).refused == ()


def test_a_mixture_with_half_a_per_cent_of_copper(system, made, on):
    # plants.md section 7, check 15: 1 g in 1000 L brings 5 ug/L, the most that may be.
    mixture = Product.make({"id": "own_mix", "name": "Trace mix", "cu": 0.5, "fe": 5})
    whole = system.model_copy(update={"products": (mixture,)})
    assert addition(whole, made(fe_mg_l=0.0), on, "own_mix", 1.0).refused == ()
    assert addition(whole, made(fe_mg_l=0.0), on, "own_mix", 1.1).refused[0].code == "add.metal"


def test_bad_input(system, made, on):
    with pytest.raises(ValueError, match="grams = 0"):
        addition(system, made(), on, "gypsum", 0.0)
    with pytest.raises(ValueError, match="must be a supplement or one of the products"):
        addition(system, made(), on, "moon_dust", 1.0)


def test_what_comes_along_has_its_ceiling_too(system, made, on, living, read_all):
    # Phosphate brings potassium, which stands at its ceiling already: no phosphate goes in.
    here = shelved(system, "monopotassium_phosphate")
    full = supplements(here, living + read_all, made(p_mg_l=0.1, k_mg_l=85.0), on)
    assert grams(full).get("monopotassium_phosphate", 0.0) == 0.0
    fair = supplements(here, living + read_all, made(p_mg_l=0.1, k_mg_l=40.0), on)
    assert grams(fair)["monopotassium_phosphate"] > 0.0


@pytest.mark.parametrize("seed", range(12))
def test_no_plan_breaks_a_cap_whatever_is_short(system, made, on, living, read, seed):
    """Caps of plants.md section 3.1 on random waters and shelves."""
    rng = np.random.default_rng(seed)
    ph, alkalinity = rng.uniform(6.2, 7.8), rng.uniform(0.3, 2.5)
    log = [
        *living, read(1, "ph", ph, ph, 20, unit=""), read(2, "alkalinity", alkalinity, alkalinity, 20, unit="meq/L"),
        read(3, "tan", 0.0, float(rng.uniform(0.1, 2.0)), 20),
    ]  # fmt: skip
    levels = {
        "k_mg_l": rng.uniform(0, 60), "ca_mg_l": rng.uniform(0, 80), "mg_mg_l": rng.uniform(0, 20),
        "fe_mg_l": rng.uniform(0, 1), "p_mg_l": rng.uniform(0, 4), "s_mg_l": rng.uniform(0, 40),
        "na_mg_l": rng.uniform(0, 70), "cl_mg_l": rng.uniform(0, 160), "ph": ph, "alkalinity_meq_l": alkalinity,
    }  # fmt: skip
    names = [name for name in facts.supplements() if facts.supplements()[name].kind in ("base", "salt", "chelate")]
    here = shelved(system, *rng.choice(names, 6, replace=False))
    found = supplements(here, log, made(**levels), on)
    if not isinstance(found.answer, DosePlan):
        return
    by_day: dict[tuple[int, str], float] = {}
    whole: dict[str, float] = {}
    for step in found.answer.steps:
        for element, rise in step.adds_mg_l.items():
            by_day[step.day, element] = by_day.get((step.day, element), 0.0) + rise
            whole[element] = whole.get(element, 0.0) + rise
    for (_, element), rise in by_day.items():
        cap = {"k": 20.0, "ca": 20.0, "mg": 10.0, "p": 2.0, "fe": 2.0}.get(element, np.inf)
        assert rise <= cap * (1 + 1e-4)
    for element, ceiling in (("na", 50.0), ("cl", 140.0), ("s", 33.4)):
        if whole.get(element, 0.0) > 1e-6:
            assert levels[f"{element}_mg_l"] + whole[element] <= ceiling + 0.05
    assert found.answer.harm <= facts.value("dosing.tolerated_harm")
    assert len({step.substance for step in found.answer.steps}) <= 3
    assert not {"copper_sulfate", "zinc_sulfate"} & {step.substance for step in found.answer.steps}


def test_worked_checks_of_the_notes(system):
    """plants.md section 7: 4 (iron, 650 L) and 6 (potassium sulfate, 30 mg/L in 800 L, in doses of at most 20 mg/L)."""
    here = shelved(system, "potassium_sulfate", "iron_dtpa")
    spans = {"ph": (6.8, 6.8), "alkalinity": (1.5, 1.5), "tan": (0.0, 0.1), "fe": (0.4, 0.4), "s": (0.0, 0.0)}
    potassium = plan(Goal("supplement", needs={"k": 30.0}), Water(800.0, spans), here)
    assert sum(step.amount for step in potassium.steps) == pytest.approx(53.5, rel=2e-3)
    assert len({step.day for step in potassium.steps}) == 2
    iron = plan(Goal("iron", target=2.0), Water(650.0, spans), here)
    assert sum(step.amount for step in iron.steps) == pytest.approx(9.45, rel=2e-3)


def test_hoagland_and_arnon_by_the_salts_of_the_table():
    """Check 18: 5 mmol KNO3, 1 mmol KH2PO4 and 2 mmol MgSO4 a litre bring K 234.6, P 31.0, Mg 48.6, S 64.1 mg/L."""
    table = facts.supplements()
    grams = {"potassium_nitrate": 5 * 0.101103, "monopotassium_phosphate": 0.136086, "magnesium_sulfate": 2 * 0.246475}
    brought = {
        element: sum(1e3 * g * getattr(table[name], f"{element}_pct") / 100.0 for name, g in grams.items())
        for element in ("k", "p", "mg", "s")
    }
    assert brought == {
        "k": pytest.approx(234.6, abs=0.1), "p": pytest.approx(31.0, abs=0.05), "mg": pytest.approx(48.6, abs=0.05),
        "s": pytest.approx(64.1, abs=0.05),
    }  # fmt: skip


def test_what_went_in_today_is_not_given_again_until_it_is_read(system, made, on, living, read_all, entry, read):
    here, run = shelved(system, "potassium_sulfate"), made(k_mg_l=2.0)
    dose = entry(50, "dosed", {"substance": "potassium_sulfate", "amount": {"value": 20, "unit": "g"}}, 20)
    other = entry(51, "dosed", {"substance": "iron_dtpa", "amount": {"value": 2, "unit": "g"}}, 20)
    before = entry(52, "dosed", {"substance": "potassium_sulfate", "amount": {"value": 20, "unit": "g"}}, 19)
    after = read(60, "k", 9, 11, 20)
    log = living + read_all
    found = supplements(here, log, run, on)
    assert given_today(found, here, [*log, other, before], on) is None
    since = given_today(found, here, [*log, other, before, dose], on)
    assert (since.quantity, since.read, since.given) == ("k", None, (dose,))
    assert given_today(found, here, [*log, dose, after], on) is None


def test_one_product_in_one_dose_is_neither_mixed_nor_parted(system, made, on, living, read_all):
    found = supplements(shelved(system, "potassium_sulfate"), living + read_all, made(k_mg_l=4.5), on)
    codes = {item.code for item in (*found.answer.reasons, *found.answer.not_to_do)}
    assert "doses.mix" not in codes
    assert ("not.all_at_once" in codes) == (len(found.answer.steps) > 1)
