"""How much to feed each group today, per meal, and why not more."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.garden.spells import spell_on
from rillbed.garden.state import FishGroup
from rillbed.garden.system import System
from rillbed.plan.advice import Advice, Reason, Urgency, Values, figures
from rillbed.plan.answers import Ration
from rillbed.plan.limits import QUANTITIES, limit_for, over_limit
from rillbed.plan.look import fed_g, latest, until
from rillbed.plan.members import quantile
from rillbed.plan.spells import away_on, carried_back, share_on
from rillbed.science import growth

# The cautious side of the middle.
FEED_QUANTILE = facts.value("plan.feed_quantile")

FULL_APPETITE = 0.9

# A reading that is not overdue speaks for the water.
FRESH_DAYS = {quantity: facts.value(f"plan.{quantity}_days") for quantity in QUANTITIES}


def rations(system: System, entries: Sequence[LogEntry], forecast: Forecast, on: date) -> tuple[Ration, ...]:
    """Ration of every living group.

    The members' ration of the whole loop is split by appetite, count x weight^(2/3), which is exact for one
    species. Groups weigh what the model says, scaled from their last weigh-in.
    """
    log = until(system, entries, on)
    state = state_at(system, log, on)
    groups = [group for group in state.groups.values() if group.count > 0]
    if not groups:
        return ()
    fed = fed_g(system, log, on)
    kinds = {group.species for group in groups}
    total = quantile(_wanted_g_day(system, log, forecast, on, kinds, fed=bool(fed)), forecast.weights, FEED_QUANTILE)
    total, away = _while_away(system, log, forecast, on, state.feed, total)
    full = quantile(forecast.at("full_ration_g_day", on), forecast.weights, FEED_QUANTILE)
    temp = quantile(forecast.at("temp_c", on), forecast.weights, 0.5)
    mean_now = quantile(forecast.at("fish_weight_g", on), forecast.weights, 0.5)
    scale = mean_now / (state.biomass_g / state.fish_count)
    appetite = {group.name: group.count * group.weight_g ** (2.0 / 3.0) for group in groups}
    whole = sum(appetite.values())
    out = []
    for group in groups:
        stops = _stops(system, log, group, temp)
        part = appetite[group.name] / whole
        per_day = 0.0 if stops else total * part
        shared = fed.get(None, 0.0) * part + fed.get(group.name, 0.0)
        weight = group.weight_g * scale
        biomass = group.count * weight
        out.append(
            Ration(
                group=group.name,
                species=group.species,
                count=group.count,
                weight_g=weight,
                biomass_g=biomass,
                meals=system.meals_per_day,
                per_meal_g=per_day / system.meals_per_day,
                per_day_g=per_day,
                share_per_day=per_day / biomass if biomass else 0.0,
                fed_today_g=shared,
                limits=stops
                or (
                    *away,
                    *_growth(temp, per_day, full * part, away),
                    *too_coarse(system, log, group.species),
                ),
            )
        )
    return tuple(out)


def _while_away(
    system: System, log: Sequence[LogEntry], forecast: Forecast, on: date, feed: str | None, total: float
) -> tuple[float, tuple[Reason, ...]]:
    """Lower the ration to the share of a spell away, and after one to what the bacteria still carry."""
    spell = spell_on(log, on)
    if spell is not None and spell.feed_share < 1.0:
        values: Values = {
            "name": spell.name, "last": spell.last.isoformat(), "share": spell.feed_share, "by": spell.by,
            "ration_g": total,
        }  # fmt: skip
        return total * spell.feed_share, (Reason("feed.away" if spell.feed_share else "feed.away_none", values),)
    carry = carried_back(log, forecast, on, feed)
    back = away_on(log, on).back
    if carry is None or back is None or carry >= total:
        return total, ()
    return carry, (Reason("feed.back", {"name": back.name, "ration_g": total, "carry_g": carry}),)


def _growth(temp_c: float, per_day_g: float, full_g: float, away: tuple[Reason, ...]) -> tuple[Reason, ...]:
    """Say what fish can use; on days away, and just after, something else decides."""
    if away:
        return ()
    held = held_back(per_day_g, full_g)
    if held and per_day_g <= 0.0:
        return held  # the water leaves them nothing: it would be false to say that they can use no more
    return Reason("feed.growth", {"temp_c": temp_c, "per_day_g": per_day_g}), *held


def _wanted_g_day(
    system: System, log: Sequence[LogEntry], forecast: Forecast, on: date, species: set[str], *, fed: bool
) -> np.ndarray:
    """Give what the fish of each member can use today, g.

    Where ammonia and nitrite were read lately, the worst value the readings allow decides how much the water holds
    the fish back, not what a member believes about the water; oxygen is the member's own.
    """
    share = np.ones(len(forecast.weights))
    for quantity in QUANTITIES:
        seen = latest(system, log, quantity)
        if seen is None or (on - seen.on).days > FRESH_DAYS[quantity]:
            # A day with logged feed shows what was given; the next one shows what the fish could use.
            day = on + timedelta(days=1) if fed and forecast.index(on) < forecast.days else on
            share_given = share_on(log, day)
            if share_given <= 0.0:
                return forecast.at("full_ration_g_day", day).astype(float)
            return forecast.at("feed_g_day", day).astype(float) / share_given
        limit = limit_for(quantity, species)
        # A kit too coarse to tell is held at the limit itself: cautious, but no reason to starve fish.
        worst = min(seen.worst_high, limit.strict_mg_l) if limit.unresolved_by(seen) else seen.worst_high
        # Above the kit's last step anything is possible: then they get nothing.
        eaten = 0.0 if np.isinf(worst) else float(growth.poison_response(worst, limit.strict_mg_l))
        share = np.minimum(share, eaten)
    rows = [facts.species()[name] for name in species]
    oxygen = forecast.at("o2_min_mg_l", on).astype(float)
    want, least = max(row.do_min_mg_l for row in rows), max(row.do_critical_mg_l for row in rows)
    share = np.minimum(share, growth.oxygen_response(oxygen, want, least))
    return np.asarray(forecast.at("full_ration_g_day", on).astype(float) * share)


def _stops(system: System, log: Sequence[LogEntry], group: FishGroup, temp_c: float) -> tuple[Reason, ...]:
    """Reasons to give nothing: cold, or a reading whose worst value is over the limit."""
    species = facts.species()[group.species]
    out = []
    if temp_c < species.temp_feed_stop_low_c:
        out.append(Reason("feed.cold", {"temp_c": temp_c, "stop_c": species.temp_feed_stop_low_c}))
    # The worst value a reading allows decides.
    out += [
        why_over(system, log, quantity, [group.species])
        for quantity in sorted(over_limit(system, log, [group.species]))
    ]
    return tuple(out)


def held_back(per_day_g: float, full_g: float) -> tuple[Reason, ...]:
    """Say so where the water costs fish a tenth of their appetite or more."""
    held = full_g > 0.0 and per_day_g < FULL_APPETITE * full_g
    return (Reason("feed.held", {"full_g": full_g}),) if held else ()


def why_over(system: System, log: Sequence[LogEntry], quantity: str, species: Sequence[str]) -> Reason:
    """Why a reading stops feed: its upper end, or its lower one where the kit has no step above."""
    seen = latest(system, log, quantity)
    assert seen is not None
    limit = limit_for(quantity, species).strict_mg_l
    if seen.high is None:
        return Reason(f"feed.{quantity}_open", {"low": seen.low, "limit": limit})
    return Reason(f"feed.{quantity}", {"high": seen.high, "limit": limit})


def too_coarse(system: System, log: Sequence[LogEntry], species: str) -> tuple[Reason, ...]:
    """List readings at a kit's lowest step that cannot show what this species already suffers from."""
    out = []
    for quantity in QUANTITIES:
        seen, limit = latest(system, log, quantity), limit_for(quantity, [species])
        if seen is not None and limit.unresolved_by(seen):
            values = {"quantity": quantity, "high": seen.high, "limit": limit.own_mg_l, "species": species}
            out.append(Reason("feed.kit_coarse", values))
    return tuple(out)


def feed_advice(rations_today: tuple[Ration, ...], feed: str | None) -> tuple[Advice, ...]:
    """One advice per group: feed, stop, or done for today."""
    return tuple(_one(item, feed) for item in rations_today)


def _one(item: Ration, feed: str | None) -> Advice:
    mass = Reason("feed.biomass", {"count": item.count, "weight_g": item.weight_g, "biomass_g": item.biomass_g})
    params: Values = {"group": item.group, "species": item.species, "meals": item.meals}
    if item.limits and item.limits[0].code == "feed.away_none":
        return Advice("feed.stop", "wait", params=params, reasons=(*item.limits, mass))
    if item.per_day_g <= 0.0:
        return Advice("feed.stop", "feed", params=params, reasons=(*item.limits, mass), urgency=Urgency.TOXIC_NITROGEN)
    fed = Reason("feed.fed", {"fed_g": item.fed_today_g})
    if item.fed_today_g >= item.per_day_g * (1.0 - 0.5 / item.meals):
        return Advice("feed.done", "wait", params=params, reasons=(fed,))
    meal = min(item.per_meal_g, item.per_day_g - item.fed_today_g)
    entry = None
    if feed is not None:
        amount = {"value": figures(meal), "unit": "g"}
        entry = {"kind": "feeding", "payload": {"feed": feed, "amount": amount, "group": item.group}}
    return Advice(
        "feed.ration",
        "feed",
        amount=meal,
        unit="g",
        params=params,
        reasons=(mass, *item.limits, *((fed,) if item.fed_today_g > 0 else ())),
        formula="feed.ration",
        facts=(f"species/{item.species}",),
        entry=entry,
        expect=Reason("expect.eaten"),
    )
