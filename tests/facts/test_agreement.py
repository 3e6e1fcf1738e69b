"""The sciences compute with the figures that are shown: public functions against the same equations from facts."""

import math

import numpy as np
import pytest

from rillbed.facts import series, value
from rillbed.science import ammonia, equilibria, evaporation, feed, gas, light, nitrifier, oxygen

TEMPS_C = np.array([2.0, 9.0, 16.0, 23.0, 30.0])
KELVIN = TEMPS_C + 273.15
PH = np.array([6.6, 7.1, 7.6, 8.1, 8.6])


def test_ammonia():
    pka = value("ammonia.pka_offset") + value("ammonia.pka_slope") / KELVIN
    assert ammonia.unionized_fraction(PH, TEMPS_C) == pytest.approx(1.0 / (1.0 + 10.0 ** (pka - PH)), rel=1e-12)


def two_sided(kind, knee):
    high, low = value(f"ammonia.{kind}_high_ph"), value(f"ammonia.{kind}_low_ph")
    return high / (1.0 + 10.0 ** (knee - PH)) + low / (1.0 + 10.0 ** (PH - knee))


def test_ammonia_criteria():
    knee = value("ammonia.acute_ph_knee")
    shape = value("ammonia.acute_scale") * two_sided("acute", knee)
    warm = value("ammonia.acute_at_20c") * 10.0 ** (value("ammonia.acute_slope") * (20.0 - TEMPS_C))
    absent = shape * np.minimum(value("ammonia.acute_ceiling"), warm)
    present = np.minimum(two_sided("acute_salmonid", knee), shape * warm)
    assert ammonia.epa2013_acute_mg_l(PH, TEMPS_C, False) == pytest.approx(absent, rel=1e-12)
    assert ammonia.epa2013_acute_mg_l(PH, TEMPS_C, True) == pytest.approx(present, rel=1e-12)
    least = np.maximum(TEMPS_C, value("ammonia.chronic_least_temp"))
    chronic = value("ammonia.chronic_at_20c") * 10.0 ** (value("ammonia.chronic_slope") * (20.0 - least))
    chronic *= value("ammonia.chronic_scale") * two_sided("chronic", value("ammonia.chronic_ph_knee"))
    assert ammonia.epa2013_chronic_mg_l(PH, TEMPS_C) == pytest.approx(chronic, rel=1e-12)


def test_oxygen():
    fresh = np.exp(sum(c / KELVIN**i for i, c in enumerate(series("oxygen.saturation"))))
    salt = np.exp(-2.0 * sum(c / KELVIN**i for i, c in enumerate(series("oxygen.salinity"))))
    theta = sum(c * TEMPS_C**i for i, c in enumerate(series("oxygen.pressure")))
    vapour = np.exp(sum(c / KELVIN**i for i, c in enumerate(series("oxygen.vapour"))))
    thin = (0.85 - vapour) * (1.0 - 0.85 * theta) / (1.0 - vapour) / (1.0 - theta)
    assert oxygen.saturation_mg_l(TEMPS_C, 0.85, 2.0) == pytest.approx(fresh * salt * thin, rel=1e-12)
    warm = value("oxygen.altitude_temp")
    ratio = (warm - value("oxygen.altitude_lapse") * 1800.0) / warm
    pressure = value("oxygen.altitude_pressure") * ratio ** value("oxygen.altitude_power")
    assert oxygen.station_pressure_atm(1800.0) == pytest.approx(pressure / value("oxygen.sea_level_pressure"))


@pytest.mark.parametrize(
    ("function", "key"),
    [(equilibria.k1, "k1"), (equilibria.k2, "k2"), (equilibria.henry_co2, "henry"),
     (equilibria.calcite_product, "calcite"), (equilibria.kw, "water")],
)  # fmt: skip
def test_equilibria(function, key):
    a, b, c, d, e = series(f"carbonate.{key}")
    power = a + b * KELVIN + c / KELVIN + d * np.log10(KELVIN) + e / KELVIN**2
    assert np.log10(function(TEMPS_C)) == pytest.approx(power, rel=1e-12)


def test_activity():
    dielectric = sum(c * TEMPS_C**i for i, c in enumerate(series("carbonate.dielectric")))
    slope = value("carbonate.davies_slope") * (dielectric * KELVIN) ** -1.5
    assert equilibria.davies_a(TEMPS_C) == pytest.approx(slope, rel=1e-12)
    root = math.sqrt(0.01)
    power = -slope * 4.0 * (root / (1.0 + root) - value("carbonate.davies_linear") * 0.01)
    assert equilibria.davies_gamma(2, 0.01, TEMPS_C) == pytest.approx(10.0**power, rel=1e-12)


def test_nitrifiers():
    knee, top = value("nitrifier.ph_knee"), value("nitrifier.ph_max")
    ki, kii = value("nitrifier.ph_ki"), value("nitrifier.ph_kii")
    response = np.where(knee >= PH, value("nitrifier.ph_base") ** (PH - knee), ki * (top - PH) / (top + kii - PH))
    assert nitrifier.ph_response(PH) == pytest.approx(response, rel=1e-12)


def test_weather():
    a, b, c = series("climate.vapour")
    assert evaporation.vapour_pressure_kpa(TEMPS_C) == pytest.approx(a * np.exp(b * TEMPS_C / (TEMPS_C + c)), rel=1e-12)
    k, offset = series("climate.hargreaves")
    et = k * (20.0 + offset) * math.sqrt(12.0) * value("climate.mm_per_mj") * 40.6
    assert evaporation.hargreaves_mm_day(26.0, 14.0, 40.6) == pytest.approx(et, rel=1e-12)
    dull, sun = value("climate.angstrom_dull"), value("climate.angstrom_sun")
    assert light.global_mj_m2_day(30.0, 6.0, 12.0) == pytest.approx((dull + sun / 2.0) * 30.0)
    clear, per_m = series("climate.clear_sky")
    assert light.clear_sky_mj_m2_day(30.0, 1000.0) == pytest.approx((clear + 1000.0 * per_m) * 30.0)
    assert light.daily_light_mol_m2(10.0) == pytest.approx(10.0 * value("plants.light_per_mj"))


def test_feed_and_gas():
    assert feed.nitrogen_g(1000.0, 0.32) == pytest.approx(320.0 * value("feed.n_of_protein"))
    assert feed.sizing_tan_g_day(1000.0, 0.32) == pytest.approx(320.0 * value("feed.tan_per_protein"))
    kept = value("feed.fish_n") / 1.5 / feed.nitrogen_g(1.0, 0.32)
    assert feed.retained_share(1.5, 0.32) == pytest.approx(kept)
    assert gas.kla_at(10.0, 28.0) == pytest.approx(10.0 * value("oxygen.kla_theta") ** 8.0)
