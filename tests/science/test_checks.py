"""Every relation refuses what cannot be in one line, and takes scalars and arrays alike."""

import importlib
import inspect
import math
import pkgutil
from dataclasses import astuple, is_dataclass

import numpy as np
import pytest

import rillbed.science
from rillbed.science import ammonia, carbonate, evaporation, oxygen
from rillbed.science.checks import ANY, POSITIVE, SHARE, Range, within

# No relation of numbers alone: what they may be asked stands in their own tests, or nothing can be wrong.
APART = {
    "arrays", "checks", "titration", "polish", "carbonate.hydrogen_root", "cascade.monod_root", "gas.relaxed_co2",
    "gas.oxygen_root", "nitrifier.grown", "nitrifier.ripened", "nitrifier.room", "heat.heated_c", "heat.wall_w_m2_k",
    "uptake.course",
}  # fmt: skip
GIVEN = {  # sound arguments where the middle of the range will not do, or there is no range
    "davies_gamma": {"charge": 2}, "speciate": {"alkalinity_meq_l": 2.0, "ph": 7.0, "tan_mg_l": 1.0, "po4_p_mg_l": 1.0},
    "capped_base_eq_m3": {"form": "carbonate"}, "acid_factor": {"stops_ph": 4.0, "full_ph": 5.0},
    "element_fate": {"to_fish": 0.3, "dissolved": 0.2},
    "temperature_response": {"temp_c": 20.0, "low_c": 5.0, "best_c": 25.0, "high_c": 35.0},
    "temperature_factor": {"base_c": 5.0, "best_c": 20.0, "ceiling_c": 33.0, "theta": 1.07},
    "size_response": {"harvest_g": 500.0, "end_g": 2000.0}, "oxygen_response": {"full_mg_l": 5.0, "none_mg_l": 2.0},
    "conversion_response": {"steps": [(20.0, 0.85), (300.0, 1.15), (1000.0, 1.35)]},
    "table_ration_g_g_day": {"table_g": [20.0, 50.0], "table_g_g_day": [0.055, 0.037]},
    "reference_et_mm_day": {"tmax_c": 25.0, "tmin_c": 12.0}, "hargreaves_mm_day": {"tmax_c": 25.0, "tmin_c": 12.0},
    "step_hydrogen": {"gamma1": 0.9},
}  # fmt: skip
NO_ARRAYS = {"table_g", "table_g_g_day", "catch_up", "most", "step_day", "albedo"}  # one for all members


def relations():
    for module in pkgutil.iter_modules(rillbed.science.__path__):
        found = importlib.import_module(f"rillbed.science.{module.name}")
        for name, thing in inspect.getmembers(found, inspect.isfunction):
            mine = thing.__module__ == found.__name__ and not name.startswith("_")
            if mine and not {module.name, f"{module.name}.{name}"} & APART:
                yield pytest.param(thing, id=f"{module.name}.{name}")


RELATIONS = list(relations())


def sample(allowed):
    if allowed.high < math.inf:
        return 0.5 * (max(allowed.low, -allowed.high) + allowed.high)
    return max(allowed.low, 0.0) + 1.0


def arguments(relation):
    return {name: sample(r) for name, r in relation.asked.items()} | GIVEN.get(relation.__name__, {})


def sound(relation):
    names = inspect.signature(relation).parameters
    return {name: value for name, value in arguments(relation).items() if name in names}


def parts(result):
    return list(astuple(result)) if is_dataclass(result) else list(result) if isinstance(result, tuple) else [result]


@pytest.mark.parametrize("relation", RELATIONS)
def test_every_relation_looks_at_its_arguments(relation):
    assert relation.asked
    assert relation.inner is not relation


@pytest.mark.parametrize("relation", RELATIONS)
def test_scalars_give_scalars_and_arrays_the_same_numbers(relation):
    given = sound(relation)
    scalars = parts(relation(**given))
    assert all(isinstance(v, float) and math.isfinite(v) for v in scalars)
    many = {n: np.full((2, 3), v) if n in relation.asked and n not in NO_ARRAYS else v for n, v in given.items()}
    for one, several in zip(scalars, parts(relation(**many)), strict=True):
        assert several.shape == (2, 3)
        assert several == pytest.approx(one, rel=1e-12)


@pytest.mark.parametrize("relation", RELATIONS)
def test_what_cannot_be_is_refused_by_name(relation):
    given = sound(relation)
    for name, allowed in relation.asked.items():
        bad = [math.nan, math.inf, "much", np.array([sample(allowed), math.nan])]
        bad += [allowed.low - 1.0] if allowed.low > -math.inf else []
        bad += [allowed.low] if allowed.above else []
        bad += [allowed.high + 1.0] if allowed.high < math.inf else []
        for value in bad:
            with pytest.raises(ValueError, match=rf"^{name} .*: allowed is") as caught:
                relation(**(given | {name: value}))
            assert "\n" not in str(caught.value)


def test_places_and_names_are_looked_at_alike():
    with pytest.raises(ValueError, match=r"^temp_c -3: allowed is 0 to 50$"):
        ammonia.unionized_fraction(7.0, -3)
    with pytest.raises(ValueError, match=r"^ph 15: allowed is 0 to 14$"):
        ammonia.unionized_fraction(temp_c=20.0, ph=[7.0, 15.0])


@pytest.mark.parametrize(
    ("allowed", "words"),
    [(ANY, "any finite number"), (POSITIVE, "above 0"), (SHARE, "0 to 1"), (Range(1.0), "1 or more"),
     (Range(0.0, 1.0, above=True), "above 0 up to 1")],
)  # fmt: skip
def test_a_range_says_what_it_is(allowed, words):
    assert str(allowed) == words
    with pytest.raises(ValueError, match=f"^x nan: allowed is {words}$"):
        within("x", math.nan, allowed)


def test_names_that_outside_checks_call():
    ph, temp = np.array([[6.5], [7.0], [8.5]]), np.array([10.0, 20.0])
    both = np.array([True, False])
    assert ammonia.unionized_fraction(ph=ph, temp_c=temp).shape == (3, 2)
    acute = ammonia.epa2013_acute_mg_l(ph=ph, temp_c=temp, salmonids=both)
    assert acute[:, 0] == pytest.approx(ammonia.epa2013_acute_mg_l(ph=ph[:, 0], temp_c=10.0, salmonids=True))
    assert acute[:, 1] == pytest.approx(ammonia.epa2013_acute_mg_l(ph=ph[:, 0], temp_c=20.0, salmonids=False))
    assert ammonia.epa2013_chronic_mg_l(ph=ph, temp_c=temp).shape == (3, 2)
    assert oxygen.saturation_mg_l(temp_c=temp, pressure_atm=0.9, salinity_g_kg=1.0).shape == (2,)
    assert isinstance(oxygen.saturation_mg_l(20), float)
    known = {"temp_c": temp, "alkalinity_meq_l": 2.0, "ionic_strength_mol_l": 0.004}
    more = {"tan_mg_l": 1.0, "po4_p_mg_l": [0.0, 2.0]}
    water = carbonate.speciate(ph=7.2, **known, **more)
    for name in ("dic_mmol_l", "pco2_uatm"):
        again = carbonate.speciate(**{name: getattr(water, name)}, **known, **more)
        assert again.ph == pytest.approx(np.full(2, 7.2), abs=1e-9)
        assert again.co2_mg_l == pytest.approx(water.co2_mg_l)
    day = {"lat_deg": 50.8, "day_of_year": [187, 200], "elevation_m": 100, "tmax_c": 21.5, "tmin_c": 12.3}
    assert evaporation.reference_et_mm_day(**day, ea_kpa=1.409, u2_m_s=2.078, sunshine_h=9.25).shape == (2,)
    assert evaporation.hargreaves_mm_day(tmax_c=26.6, tmin_c=14.8, ra_mj_m2_day=40.6) == pytest.approx(5.04, abs=0.005)
