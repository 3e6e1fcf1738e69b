"""PH that will not come down: what brings the carbonate, and how little acid can do against it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.fold import state_at, system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Dosed, ToppedUp, WaterChanged
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.answers import Band
from rillbed.plan.look import until
from rillbed.plan.members import band, quantile
from rillbed.plan.verdict.budget import EVEN, MEAN_DAYS, WEEK, use_meq_l
from rillbed.plan.verdict.evidence import Evidence
from rillbed.plan.verdict.rebound import Rebound, middle, rebounds
from rillbed.plan.verdict.sampling import COUNT, Floats, chosen, lattice
from rillbed.plan.verdict.waters import Waters, waters
from rillbed.plan.verdict.who import who

HIGH_PH = facts.water_limits()["ph_plants"].high or 0.0
ACID = "hydrochloric_acid"
EQ_PER_G_ACID = -facts.supplements()[ACID].alkalinity_eq_per_g
EQ_PER_G_CARBONATE = facts.supplements()["calcium_carbonate"].alkalinity_eq_per_g
SHARE = facts.value("verdict.store_share")


@dataclass(frozen=True)
class Stubborn:
    """A pH that stays high, and why.

    Attributes
    ----------
    since, until : date
        First and last reading of the high stretch.
    cause : str
        ``media``, ``tap``, ``both``, ``none`` (nothing brings carbonate: the store is the water itself) or
        ``unknown`` (the source water's alkalinity decides and nobody read it).
    supply_eq_week, tap_eq_week, media_eq_week : Band
        Alkalinity that came in to hold pH where it is, what of it the source water brought, and the rest.
    acid_once_g : float or None
        Acid (10 % hydrochloric) that would bring pH to ``target_ph`` for a day; ``None`` where alkalinity is unread.
    acid_week_g : Band
        The same every week from then on, to stay there.
    acid_per_kg_g : float
        Acid that one kilogram of limestone uses up.
    limestone_kg : float or None
        Limestone known to lie in the beds.
    falls_in_days : Band or None
        Days until nitrification alone brings pH to the target once nothing brings carbonate any more.
    """

    since: date
    until: date
    ph: float
    target_ph: float
    cause: str
    supply_eq_week: Band
    tap_eq_week: Band
    media_eq_week: Band
    acid_once_g: float | None
    acid_week_g: Band
    acid_per_kg_g: float
    limestone_kg: float | None
    falls_in_days: Band | None
    rebounds: tuple[Rebound, ...]
    reasons: tuple[Reason, ...]
    ask: tuple[str, ...] = ()
    facts: tuple[str, ...] = (f"supplements/{ACID}", "supplements/calcium_carbonate", "water_limits/ph_plants")


def stubborn(
    system: System, entries: Sequence[LogEntry], forecast: Forecast | None = None, *, on: date
) -> Stubborn | None:
    """Find out why pH stays high; ``None`` where it has not been high for a fortnight.

    Notes
    -----
    Derived, from the books of alkalinity over the high stretch: what came in = what is there more + what nitrification
    used + what acid destroyed - what base brought. The source water's part is its litres times its alkalinity; what is
    left over must have dissolved in the loop. Where alkalinity was never read, a steady pH at the air of the tank means
    a steady alkalinity. A rise long after acid or soft water, with no source water let in between, is the direct proof.
    """
    log = until(system, entries, on)
    system = system_at(system, log, on)
    found = waters(system, who(system, state_at(system, log, on)), log, forecast, on)
    high = _stretch(found)
    if high is None:
        return None
    first, last = high
    days = (last.at - first.at).total_seconds() / 86400.0
    volume = system.total_volume_m3
    used = _used(forecast, first, last) * volume
    acid = _destroyed_eq(log, first, last)
    gained = _gained(found, first, last) * volume
    supply = np.maximum(used * days + acid + gained, 0.0) * WEEK / days
    litres = _litres(system, log, forecast, first, last)
    source = system.source_water.alkalinity_meq_l
    tap = np.full(COUNT, (0.0 if source is None else source) * litres / 1000.0 * WEEK / days)
    media = np.maximum(supply - tap, 0.0)
    seen = rebounds(system, log, found.history)
    cause = _cause(supply, tap, source, litres, seen, _limestone_kg(system) is not None)
    ph, target = middle(last), HIGH_PH
    alk = found.column("alkalinity") if "alkalinity" in found.samples else None
    excess = None if alk is None else alk * (1.0 - 10.0 ** (target - ph))
    falls = None
    if excess is not None and quantile(used, EVEN, 0.1) > 0.0:
        falls = band(excess * volume / used, EVEN)
    # Nitrification goes on for nothing: only what comes in beyond it needs acid. Stones dissolve faster once pH is
    # lower: where alkalinity was seen to come back, its pace is what acid would have to match.
    back = [
        (item.later - item.settled) / item.days for item in seen if item.quantity == "alkalinity" and item.came_back
    ]
    week = np.maximum(supply - used * WEEK, max(back, default=0.0) * volume * WEEK)
    made = Stubborn(
        since=first.on, until=last.on, ph=ph, target_ph=target, cause=cause, supply_eq_week=band(supply, EVEN),
        tap_eq_week=band(tap, EVEN), media_eq_week=band(media, EVEN),
        acid_once_g=None if excess is None else quantile(excess, EVEN, 0.5) * volume / EQ_PER_G_ACID,
        acid_week_g=band(week / EQ_PER_G_ACID, EVEN), acid_per_kg_g=1000.0 * EQ_PER_G_CARBONATE / EQ_PER_G_ACID,
        limestone_kg=_limestone_kg(system), falls_in_days=falls, rebounds=seen, reasons=(),
        ask=_ask(system, alk is None),
    )  # fmt: skip
    return _reasoned(made)


def _stretch(found: Waters) -> tuple[Evidence, Evidence] | None:
    """First and last of the readings of high pH up to now, within the window, if they span a fortnight."""
    run: list[Evidence] = []
    for item in reversed(found.history.get("ph", ())):
        if middle(item) <= HIGH_PH or item.age_days > facts.value("verdict.stubborn_window"):
            break
        run.append(item)
    if len(run) < 2 or (run[0].on - run[-1].on).days < facts.value("verdict.stubborn_days"):
        return None
    return run[-1], run[0]


def _used(forecast: Forecast | None, first: Evidence, last: Evidence) -> Floats:
    """Alkalinity nitrification used a day over the stretch, less what plants gave back, meq/L, (COUNT,)."""
    if forecast is None:
        return np.zeros(COUNT)
    low, high = max(forecast.index(first.on), 1), forecast.index(last.on) + 1
    rows = slice(max(low, high - 8 * MEAN_DAYS), high)
    used: Floats = use_meq_l(forecast, rows).mean(axis=0)[chosen(forecast)]
    return used


def _destroyed_eq(log: Sequence[LogEntry], first: Evidence, last: Evidence) -> float:
    """Alkalinity that doses of acid took over the stretch less what doses of base brought, eq."""
    total = 0.0
    for entry in log:
        payload = entry.payload
        row = facts.supplements().get(payload.substance) if isinstance(payload, Dosed) else None
        if isinstance(payload, Dosed) and row is not None and first.at <= entry.at <= last.at:
            grams = payload.grams
            if grams is None:
                density = payload.density_g_ml or row.density_g_ml or 1.0
                grams = (payload.ml or 0.0) * density
            total += -row.alkalinity_eq_per_g * grams
    return total


def _gained(found: Waters, first: Evidence, last: Evidence) -> Floats:
    """Change of alkalinity over the stretch, meq/L, (COUNT,): as read, else none."""
    items = [item for item in found.history.get("alkalinity", ()) if first.at <= item.at <= last.at]
    if len(items) < 2:
        return np.zeros(COUNT)
    before, after = items[0], items[-1]
    if not np.isfinite(before.most) or not np.isfinite(after.most):
        return np.zeros(COUNT)
    change: Floats = (after.least + (after.most - after.least) * lattice("alkalinity")) - (
        before.least + (before.most - before.least) * lattice("basis")
    )
    return change


def _litres(
    system: System, log: Sequence[LogEntry], forecast: Forecast | None, first: Evidence, last: Evidence
) -> float:
    """Source water let in over the stretch, L: as logged, else what the members topped up."""
    logged = sum(
        entry.payload.litres
        for entry in log
        if first.at <= entry.at <= last.at
        and (
            isinstance(entry.payload, WaterChanged)
            or (isinstance(entry.payload, ToppedUp) and entry.payload.source == "source")
        )
    )
    if logged > 0.0 or forecast is None:
        return float(logged)
    rows = slice(forecast.index(first.on) + 1, forecast.index(last.on) + 1)
    return quantile(forecast.columns["topup_l_day"][rows].astype(float).sum(axis=0), forecast.weights, 0.5)


def _cause(
    supply: Floats, tap: Floats, source: float | None, litres: float, seen: Sequence[Rebound], stones: bool
) -> str:
    """Name the store. Stones on proof only: known limestone, a rebound, or books that nine draws in ten bear out."""
    proof = stones or any(item.came_back and item.litres_in <= 0.0 for item in seen)
    middle_supply, middle_tap = quantile(supply, EVEN, 0.5), quantile(tap, EVEN, 0.5)
    if source is None and litres > 0.0:
        return "media" if proof else "unknown"
    if middle_supply <= 0.0 and not proof:
        return "tap" if middle_tap > 0.0 else "none"
    if not proof and quantile(supply - tap, EVEN, 0.1) <= 0.0:
        return "tap" if middle_tap > 0.0 else "none"
    part = min(middle_tap / middle_supply, 1.0) if middle_supply > 0.0 else 0.0
    if part >= SHARE:
        return "both" if proof else "tap"
    return "media" if part <= 1.0 - SHARE else "both"


def _limestone_kg(system: System) -> float | None:
    table, total = facts.media(), 0.0
    for bed in system.beds:
        row = table[bed.medium] if bed.medium else None
        depth_cm = bed.depth_cm or bed.water_depth_cm
        if row is not None and row.limestone and row.bulk_kg_m3 and depth_cm:
            total += bed.area_m2 * depth_cm / 100.0 * row.bulk_kg_m3
    return total or None


def _ask(system: System, unread: bool) -> tuple[str, ...]:
    out = ["alkalinity"] if unread else []
    if system.source_water.alkalinity_meq_l is None:
        out.append("source_water.alkalinity_meq_l")
    if any(bed.kind == "media" and bed.medium is None for bed in system.beds):
        out.append("medium")
    return tuple(out)


def _reasoned(made: Stubborn) -> Stubborn:
    supply, tap, media, week = made.supply_eq_week, made.tap_eq_week, made.media_eq_week, made.acid_week_g
    reasons = [
        Reason("stubborn.high", {"ph": made.ph, "since": made.since.isoformat(), "until": made.until.isoformat()}),
        Reason(
            f"stubborn.{made.cause}",
            {"supply": supply.middle, "tap": tap.middle, "media": media.middle, "high": supply.high},
        ),
    ]
    for item in made.rebounds:
        code = "stubborn.came_back" if item.came_back else "stubborn.stayed_down"
        reasons.append(
            Reason(f"{code}_{item.quantity}", {"on": item.on.isoformat(), "kind": item.kind, "settled": item.settled,
                                               "later": item.later, "days": round(item.days)})
        )  # fmt: skip
    if made.acid_once_g is not None:
        reasons.append(Reason("stubborn.acid_once", {"grams": made.acid_once_g, "target": made.target_ph}))
    if made.cause in ("media", "both", "tap") and week.middle > 0.0:
        reasons.append(Reason("stubborn.acid_week", {"low": week.low, "middle": week.middle, "high": week.high}))
    if made.cause in ("media", "both"):
        reasons.append(Reason("stubborn.acid_per_kg", {"grams": made.acid_per_kg_g}))
        if made.limestone_kg is not None:
            kg_acid = made.limestone_kg * made.acid_per_kg_g / 1000.0
            reasons.append(Reason("stubborn.acid_store", {"kg": made.limestone_kg, "acid_kg": kg_acid}))
    if made.falls_in_days is not None:
        falls = made.falls_in_days
        reasons.append(
            Reason("stubborn.falls", {"low": round(falls.low), "high": round(falls.high), "target": made.target_ph})
        )
    return replace(made, reasons=tuple(reasons))
