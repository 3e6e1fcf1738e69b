"""How fish grow and what they would eat: one set of figures per species gives both the gain and the ration.

Weights are wet grams per fish, temperatures those of the water. Growth at the best temperature is one rate (cube root
of a gram per day); the temperature response scales it, and the ration is the feed that this gain costs.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from rillbed.facts import value
from rillbed.science.arrays import Array, array, clipped, plain
from rillbed.science.checks import AMOUNT, ANY, POSITIVE, SHARE, WATER_C, Range, checked

FISH_C = Range(-5.0, 60.0)  # limits lie beyond the water fish live in
BASAL_UPKEEP, BEST_UPKEEP = value("growth.basal_upkeep"), value("growth.best_upkeep")
UPKEEP_POWER, UPKEEP_WEIGHT_G = value("growth.upkeep_power"), value("growth.upkeep_weight")
# Times the limit of a species: up to the first fish eat as ever, from the second not at all.
POISON_FULL, POISON_NONE = value("growth.poison_full"), value("growth.poison_none")


@checked(temp_c=FISH_C, low_c=FISH_C, best_c=FISH_C, high_c=FISH_C)
def temperature_response(temp_c: ArrayLike, low_c: ArrayLike, best_c: ArrayLike, high_c: ArrayLike) -> Array:
    """Return the share of full growth at a temperature: 1 at the best, 0 at and beyond the two limits.

    Parameters
    ----------
    temp_c : array_like
        Water temperature, degC.
    low_c, best_c, high_c : array_like
        Cardinal temperatures, degC; the best lies nearer to the upper limit than to the lower.

    Notes
    -----
    Source: cardinal temperature model with inflection, Rosso, Lobry & Flandrois 1993, J. Theor. Biol. 162:447-463.

    Examples
    --------
    >>> round(float(temperature_response(26.0, 17.0, 30.0, 38.0)), 3)
    0.813
    """
    t, low, best, high = array(temp_c), array(low_c), array(best_c), array(high_c)
    inside = (t > low) & (t < high)
    at = np.where(inside, t, best)
    curve = (best - low) * ((best - low) * (at - best) - (best - high) * (best + low - 2.0 * at))
    return plain(np.where(inside, (at - high) * (at - low) ** 2 / curve, 0.0))


@checked(start_g=POSITIVE, end_g=POSITIVE, degree_days=POSITIVE)
def thermal_growth_per1000(start_g: ArrayLike, end_g: ArrayLike, degree_days: ArrayLike) -> Array:
    """Return the thermal growth coefficient times 1000 (g^1/3 per degC and day) of two weighings.

    Parameters
    ----------
    start_g, end_g : array_like
        Mean weights, g, > 0.
    degree_days : array_like
        Sum of daily mean temperatures between them, degC day, > 0.

    Notes
    -----
    Source: Iwama & Tautz 1981, Can. J. Fish. Aquat. Sci. 38:649-656. It falls with size in long series; use it over
    at most a tenfold range of weight.

    Examples
    --------
    >>> round(float(thermal_growth_per1000(25.07, 44.47, 28 * 14.0)), 2)
    1.57
    """
    return plain(1000.0 * (np.cbrt(array(end_g)) - np.cbrt(array(start_g))) / array(degree_days))


@checked(tgc_per1000=AMOUNT, measured_at_c=WATER_C, response_there=Range(0.0, 1.0, above=True))
def best_rate(tgc_per1000: ArrayLike, measured_at_c: ArrayLike, response_there: ArrayLike) -> Array:
    """Return growth at the best temperature, g^1/3 per day, from a coefficient measured at another one.

    Parameters
    ----------
    tgc_per1000 : array_like
        Thermal growth coefficient times 1000.
    measured_at_c : array_like
        Temperature it was measured at, degC.
    response_there : array_like
        `temperature_response` at that temperature, > 0.

    Notes
    -----
    Derived: the coefficient divided by the response at its own temperature.

    Examples
    --------
    Dividing by the response there keeps the published growth at the published temperature.

    >>> round(float(best_rate(1.8, 14.0, 0.974)), 4)
    0.0259
    """
    return plain(array(tgc_per1000) * array(measured_at_c) / (1000.0 * array(response_there)))


@checked(ration_g_g_day=AMOUNT, weight_g=AMOUNT, fcr=POSITIVE)
def rate_of_ration(ration_g_g_day: ArrayLike, weight_g: ArrayLike, fcr: ArrayLike) -> Array:
    """Return the growth rate, g^1/3 per day, that one line of a feed table implies: where no growth was measured.

    Examples
    --------
    >>> round(float(rate_of_ration(0.02, 50.0, 2.2)), 4)
    0.0112
    """
    return plain(array(ration_g_g_day) * np.cbrt(array(weight_g)) / (3.0 * array(fcr)))


@checked(weight_g=AMOUNT, rate=AMOUNT, days=AMOUNT)
def grown_g(weight_g: ArrayLike, rate: ArrayLike, days: ArrayLike = 1.0) -> Array:
    """Return the weight after some days at full ration, g: the cube root of weight grows in a straight line.

    Parameters
    ----------
    weight_g : array_like
        Weight now, g, >= 0.
    rate : array_like
        `best_rate` times the temperature response, g^1/3 per day, >= 0.
    days : array_like
        Time at this rate, >= 0.

    Notes
    -----
    Source: Iwama & Tautz 1981; Jobling 2003, Aquac. Res. 34:581-584 lists its limits.

    Examples
    --------
    >>> round(float(grown_g(30.0, 1.0 * 26.0 / 1000.0, 84.0)), 2)
    148.14
    """
    return plain((np.cbrt(array(weight_g)) + array(rate) * array(days)) ** 3)


@checked(weight_g=AMOUNT, rate=AMOUNT)
def full_gain_g_day(weight_g: ArrayLike, rate: ArrayLike) -> Array:
    """Return the gain of one fish at full ration, g/day: the slope of `grown_g` now; arguments as there."""
    return plain(3.0 * array(rate) * np.cbrt(array(weight_g)) ** 2)


@checked(weight_g=AMOUNT, harvest_g=POSITIVE, end_g=POSITIVE)
def size_response(weight_g: ArrayLike, harvest_g: ArrayLike, end_g: ArrayLike) -> Array:
    """Return the share of thermal growth left in big fish: 1 up to the harvest weight, falling in a line to 0.

    Parameters
    ----------
    weight_g : array_like
        Mean weight, g, > 0.
    harvest_g, end_g : array_like
        Weight up to which growth is full, and from which there is none, g; the second is the larger.

    Notes
    -----
    Derived from barramundi of 0.9 to 2.2 kg (Schipp, Bosmans & Humphrey 2007), whose coefficient falls like this;
    trout of a selected stock fall far less (Davidson et al. 2014). Beyond the harvest weight growth is an estimate.

    Examples
    --------
    >>> float(size_response(1750.0, 500.0, 3000.0))
    0.5
    """
    weight, full, none = array(weight_g), array(harvest_g), array(end_g)
    return plain(clipped((none - weight) / (none - full), 0.0, 1.0))


@checked(weight_g=AMOUNT)
def conversion_response(weight_g: ArrayLike, steps: Sequence[tuple[float, float]]) -> Array:
    """Return the factor on feed conversion by size: 1 for middling fish, less for fry, more for big ones.

    Parameters
    ----------
    weight_g : array_like
        Mean weight, g, > 0.
    steps : three of (g, factor)
        The weight fry outgrow and their factor; the weights large and very large fish begin at, and theirs. Each
        step is spread over half to one and a half of its weight. Grade: practice.

    Notes
    -----
    Practice: small fish convert better and big fish worse; the steps have no source.

    Examples
    --------
    >>> steps = [(20.0, 0.85), (300.0, 1.15), (1000.0, 1.35)]
    >>> [round(float(conversion_response(w, steps)), 2) for w in (5.0, 100.0, 450.0, 2000.0)]
    [0.85, 1.0, 1.15, 1.35]
    """
    (fry, small), (large, big), (giant, most) = steps
    at = np.log([fry / 2.0, 1.5 * fry, large / 1.5, 1.5 * large, 1.5 * giant])
    return plain(np.interp(np.log(np.maximum(array(weight_g), 1e-3)), at, [small, 1.0, 1.0, big, most]))


@checked(weight_g=AMOUNT, response=SHARE)
def upkeep_g_g_day(weight_g: ArrayLike, response: ArrayLike) -> Array:
    """Return the feed that only keeps a fish its weight, g per g of fish and day; less for big and for cold fish.

    Grade: practice. The temperature response is that of growth, 0 to 1; weights 1 g to 5 kg.

    Examples
    --------
    >>> round(float(upkeep_g_g_day(50.0, 1.0)), 4)
    0.0035
    """
    scale = (np.maximum(array(weight_g), 1e-3) / UPKEEP_WEIGHT_G) ** UPKEEP_POWER
    return plain(BEST_UPKEEP * scale * array(response) + BASAL_UPKEEP)


@checked(gain_g_day=AMOUNT, fcr=POSITIVE)
def need_g_day(gain_g_day: ArrayLike, fcr: ArrayLike) -> Array:
    """Return the feed one fish takes for full growth, g/day: the gain times the feed conversion ratio."""
    return plain(array(gain_g_day) * array(fcr))


@checked(eaten_g_day=AMOUNT, full_gain=AMOUNT, fcr=POSITIVE, upkeep_g_day=AMOUNT)
def gain_g_day(eaten_g_day: ArrayLike, full_gain: ArrayLike, fcr: ArrayLike, upkeep_g_day: ArrayLike) -> Array:
    """Return the gain on a ration, g/day: full on `need_g_day` and never more, a loss on nothing.

    Parameters
    ----------
    eaten_g_day : array_like
        Feed taken by one fish, g/day, >= 0.
    full_gain : array_like
        `full_gain_g_day`, >= 0.
    fcr : array_like
        Feed per gain at full ration, > 0.
    upkeep_g_day : array_like
        Feed that upkeep costs, g/day, > 0.

    Notes
    -----
    Derived: a straight line from the loss of an unfed fish (its upkeep, met from its own body at the same conversion)
    to the full gain. It stays finite where the need falls below the upkeep, in cold water.
    """
    need = need_g_day.inner(full_gain, fcr)
    loss = array(upkeep_g_day) / array(fcr)
    share = np.minimum(array(eaten_g_day) / np.maximum(need, 1e-12), 1.0)
    return plain((array(full_gain) + loss) * share - loss)


@checked(weight_g=AMOUNT, table_g=POSITIVE, table_g_g_day=POSITIVE)
def table_ration_g_g_day(weight_g: ArrayLike, table_g: ArrayLike, table_g_g_day: ArrayLike) -> Array:
    """Return the ration a feed table gives for a weight, g per g of fish and day, at the best temperature.

    Parameters
    ----------
    weight_g : array_like
        Weight of one fish, g, > 0; beyond the ends of the table the end lines hold.
    table_g, table_g_g_day : array_like
        The lines of the table: rising weights, and rations as shares of body weight per day.

    Notes
    -----
    Derived: straight between lines on log-log axes, where growth of one coefficient is a straight line itself.

    Examples
    --------
    >>> round(float(table_ration_g_g_day(30.0, [20.0, 50.0], [0.055, 0.037])), 4)
    0.0462
    """
    x = np.log(np.maximum(array(weight_g), 1e-9))
    return plain(np.exp(np.interp(x, np.log(array(table_g)), np.log(array(table_g_g_day)))))


@checked(concentration=AMOUNT, limit=POSITIVE)
def poison_response(concentration: ArrayLike, limit: ArrayLike) -> Array:
    """Return the share of appetite left: 1 up to 0.75 times the limit of the species, 0 from 1.5 times it.

    Concentration and limit share one basis: ammonia as total N, nitrite as the ion. Grade: practice.

    Examples
    --------
    >>> float(poison_response(2.25, 2.0))
    0.5
    """
    return plain(clipped((POISON_NONE - array(concentration) / array(limit)) / (POISON_NONE - POISON_FULL), 0.0, 1.0))


@checked(o2_mg_l=AMOUNT, full_mg_l=AMOUNT, none_mg_l=AMOUNT)
def oxygen_response(o2_mg_l: ArrayLike, full_mg_l: ArrayLike, none_mg_l: ArrayLike) -> Array:
    """Return the share of appetite left: 1 from the least the species should have, 0 at what it barely survives.

    Grade: practice; for big Nile tilapia intake was seen to level off near 5.5 mg/L (Tran-Duy et al. 2012).

    Examples
    --------
    >>> float(oxygen_response(3.5, 5.0, 2.0))
    0.5
    """
    span = np.maximum(array(full_mg_l) - array(none_mg_l), 1e-6)
    return plain(clipped((array(o2_mg_l) - array(none_mg_l)) / span, 0.0, 1.0))


@checked(length_cm=AMOUNT, a=POSITIVE, b=POSITIVE)
def weight_of_length_g(length_cm: ArrayLike, a: ArrayLike, b: ArrayLike) -> Array:
    """Return the weight of a fish of a length, g: ``a L^b`` with the figures of its species.

    For the mean of several fish take the mean of their weights, not the weight of their mean length.

    Examples
    --------
    >>> round(float(weight_of_length_g(20.0, 0.01905, 2.97)))
    139
    """
    return plain(array(a) * array(length_cm) ** array(b))


@checked(weight_g=AMOUNT, a=POSITIVE, b=POSITIVE)
def length_of_weight_cm(weight_g: ArrayLike, a: ArrayLike, b: ArrayLike) -> Array:
    """Return the length of a fish of a weight, cm; the inverse of `weight_of_length_g`."""
    return plain((array(weight_g) / array(a)) ** (1.0 / array(b)))


@checked(weight_g=POSITIVE, temp_c=WATER_C, a=POSITIVE, b=ANY, measured_at_c=WATER_C, q10=POSITIVE)
def resting_oxygen_mg_kg_h(
    weight_g: ArrayLike, temp_c: ArrayLike, a: ArrayLike, b: ArrayLike, measured_at_c: ArrayLike, q10: ArrayLike
) -> Array:
    """Return the oxygen a resting fish uses, mg per kg and hour.

    Parameters
    ----------
    weight_g : array_like
        Weight of one fish, g, > 0.
    temp_c : array_like
        Water temperature, degC, within 6 degC of the measurement.
    a, b : array_like
        Use of a fish of 1 g, mg/kg/h, and the (negative) exponent of weight.
    measured_at_c, q10 : array_like
        Temperature of the measurement, degC, and the factor over ten degrees.

    Notes
    -----
    After a meal multiply by the species' fed factor (1.4 to 1.6). Sources of the figures stand with each species.

    Examples
    --------
    >>> round(float(resting_oxygen_mg_kg_h(100.0, 28.0, 709.0, -0.348, 28.0, 2.2)))
    143
    """
    warm = array(q10) ** ((array(temp_c) - array(measured_at_c)) / 10.0)
    return plain(array(a) * array(weight_g) ** array(b) * warm)


@checked(o2_mg_l=AMOUNT, critical_mg_l=AMOUNT, volume_l=AMOUNT, biomass_kg=POSITIVE, use_mg_kg_h=POSITIVE)
def hours_without_air(
    o2_mg_l: ArrayLike, critical_mg_l: ArrayLike, volume_l: ArrayLike, biomass_kg: ArrayLike, use_mg_kg_h: ArrayLike
) -> Array:
    """Return the hours until oxygen falls to its critical level with nothing coming in from the air.

    Examples
    --------
    >>> round(float(hours_without_air(7.5, 2.0, 1000.0, 10.0, 200.0)), 2)
    2.75
    """
    store = np.maximum(array(o2_mg_l) - array(critical_mg_l), 0.0) * array(volume_l)
    return plain(store / (array(biomass_kg) * array(use_mg_kg_h)))
