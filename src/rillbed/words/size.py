"""Sizing in words: verdict, limits, pairs of an option, stages, cautions."""

from __future__ import annotations

import math

from rillbed import facts, words
from rillbed.plan.advice import Reason
from rillbed.plan.bands import Band
from rillbed.plan.size import Option, Stage, Use
from rillbed.tongue import later, tr
from rillbed.words.numbers import amount, between, filled, number, say
from rillbed.words.size_phrases import BINDS, CAUTIONS, LIMITS, OPTIONS, STAGES, VERDICTS

TENTHS = 10.0
G_PER_KG, L_PER_M3 = 1000.0, 1000.0
PER_MONTH = later("kWh a month")


def title(option: Option) -> str:
    """Name of an option."""
    return tr(OPTIONS[option.code])


def verdict(item: Reason) -> str:
    """One sentence of the verdict."""
    values = dict(item.values)
    if "limit" in values:
        values["limit"] = tr(LIMITS[str(values["limit"])]).lower()
    return filled(VERDICTS[item.code], values)


def binds(option: Option) -> str:
    """Say what stops an option from being bigger."""
    over = next((use for use in option.uses if use.limit == option.binds), None)
    text = tr(BINDS[option.binds])
    return say("does not fit: {limit}", limit=text) if over is not None and over.over else text


def use(item: Use) -> tuple[str, str]:
    """Name of a limit, and how much of it is used, out of ten."""
    return tr(LIMITS[item.limit]), tenths(item.share)


def tenths(share: Band) -> str:
    """Give a share as so many of ten."""
    low, high = (round(TENTHS * end) for end in (share.low, share.high))
    return f"{low}" if low == high else f"{low}–{high}"


def whole(band: Band, unit: str) -> str:
    """Give a range with its unit."""
    return f"{between(band.low, band.high)}\u00a0{tr(unit)}"


def pairs(option: Option) -> tuple[tuple[str, str], ...]:
    """Give the figures of an option, each with its name."""
    found = [
        (tr("Limit"), binds(option)),
        (tr("Beds"), say("{area}, {places} places", area=amount(option.bed_m2, "m²"), places=option.places)),
        (tr("Tank, whole loop"), f"{number(option.tank_l)}, {amount(option.loop_l, 'L')}"),
        (tr("Fish, at most"), f"{option.fish_count}, {amount(option.most_biomass_g / G_PER_KG, 'kg')}"),
        (tr("Feed, a mean and the fullest day"), whole(option.feed_g_day, "g")),
        (tr("Greens, a week in season"), amount(option.greens_week, "portions")),
        (tr("Fish, a month"), amount(option.fish_month, "portions")),
        (tr("Floor with paths"), amount(option.floor_m2, "m²")),
        (tr("Pump, air"), f"{amount(option.pump_l_h, 'L/h')}, {amount(option.air_l_min, 'L/min')}"),
        (tr("Sump"), amount(option.sump_l, "L") if option.sump_l else tr("none")),
        (tr("Heaviest foot of a bed"), amount(option.foot_kg, "kg")),
        (tr("Power of pump and air"), amount(option.kwh_month.middle, PER_MONTH)),
    ]
    if option.heat_kwh_month.high > 0.0:
        found.append((tr("Heater, mildest to coldest month"), whole(option.heat_kwh_month, PER_MONTH)))
    found.append((tr("Water lost to the air"), whole(option.water_l_day, "L a day")))
    if option.bleed_l_day > 0.0:
        found.append((tr("Water to drain"), drained(option)))
    if option.cost_month is not None:
        found.append((tr("Running cost, a month"), between(option.cost_month.low, option.cost_month.high)))
    return tuple(found)


def drained(option: Option) -> str:
    """Water that must leave so that sodium stays low."""
    if math.isinf(option.bleed_l_day):
        return tr("no amount helps: other water")
    return amount(option.bleed_l_day, "L a day")


def stage(item: Stage) -> tuple[str, str]:
    """When and what of one step."""
    low, high = math.floor(item.week.low), math.ceil(item.week.high)
    when = say("Week {week}", week=low) if low == high else say("Week {first} to {last}", first=low, last=high)
    return when, filled(STAGES[item.code], {"many": item.many})


def caution(code: str, option: Option) -> str:
    """One caution, with the figures of an option."""
    bed = option.system.beds[0]
    values = {
        "foot": option.foot_kg, "bed": bed.area_m2, "load": option.floor_kg_m2, "usual": facts.value("size.floor_load"),
        "drain": option.bleed_l_day if math.isfinite(option.bleed_l_day) else 0.0,
        "na": option.system.source_water.na_mg_l or 0.0,
    }  # fmt: skip
    return filled(CAUTIONS[code], values)


def species_caution(species: str) -> tuple[str, ...]:
    """Give what the table of kinds says about law and care of one."""
    row = facts.species()[species]
    return tuple(tr(text) for text in (row.legal_caution, row.care_note) if text)


def crops(names: tuple[str, ...]) -> str:
    """Give the crops it was worked out with."""
    return words.listed(words.crop(name) for name in names)
