"""Two futures in words: what each figure is called, and how sure the difference is."""

from __future__ import annotations

from rillbed.plan.bands import Band
from rillbed.plan.whatif import Effect
from rillbed.tongue import tr
from rillbed.words.numbers import number, say

TITLES = {
    "o2_min_mg_l": "Oxygen at dawn",
    "tan_mg_l": "Ammonia",
    "no2_mg_l": "Nitrite",
    "ph": "pH",
    "temp_c": "Water",
    "no3_mg_l": "Nitrate",
    "k_mg_l": "Potassium",
    "fish_count": "Fish",
    "fish_weight_g": "One fish",
    "fish_biomass_g": "All fish",
    "feed_g_day": "Feed",
    "plant_area_m2": "Planted",
    "topup_l_day": "Topped up",
}
UNITS = {"degC": "°C", "m2": "m²", "g/day": "g a day", "L/day": "L a day"}
WHEN = {
    "worst": "highest",
    "least": "lowest",
    "total": "in all",
    "end": "at the end",
}
AS_N = ("tan_mg_l", "no2_mg_l", "no3_mg_l")
LOWEST = ("o2_min_mg_l", "ph")
EVEN = 0.6  # a difference whose sign fewer futures share is none that can be told
SAME = 1e-6


def name(item: Effect) -> str:
    """Say what a figure is: the worst day, the sum, or the end.

    Examples
    --------
    >>> b = Band(0.0, 0.0, 0.0)
    >>> name(Effect("no2_mg_l", "worst", "mg/L", b, b, b, 0.5, 0.5))
    'Nitrite, highest, mg/L as N'
    """
    when = tr(WHEN["least" if item.what == "worst" and item.column in LOWEST else item.what])
    unit = tr(UNITS.get(item.unit, item.unit))
    if item.column in AS_N:
        unit = say("{unit} as N", unit=unit)
    return ", ".join(part for part in (tr(TITLES[item.column]), when, unit) if part)


def ends(band: Band) -> str:
    """Two ends of a range; a sign on each where one is below zero.

    Examples
    --------
    >>> ends(Band(1.0, 2.0, 3.0)), ends(Band(-1.5, 0.0, 2.0)), ends(Band(0.0, 0.0, 0.0))
    ('1 to 3', '−1.5 to +2', '0')
    """
    low, high = (_signed(value, band.low < 0) for value in (band.low, band.high))
    return low if low == high else say("{first} to {last}", first=low, last=high)


def _signed(value: float, signs: bool) -> str:
    shown = number(abs(value))
    if abs(value) < SAME or shown == "0":
        return "0"
    return f"−{shown}" if value < 0 else f"+{shown}" if signs else shown


def sure(item: Effect) -> str:
    """Say which way the change moves a figure, and how sure that is."""
    if item.more < EVEN and item.less < EVEN:
        return tr("about the same") if item.more + item.less < EVEN else tr("either way")
    if item.more >= item.less:
        return say("higher, {chance:chance}", chance=item.more)
    return say("lower, {chance:chance}", chance=item.less)
