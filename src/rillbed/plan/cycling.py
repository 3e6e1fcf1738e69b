"""Growing the bacteria: where a start-up stands, dose or hold, when it will be ready, when to sow."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.engine.run import full_load_mg_l
from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.advice import Advice, Reason, Urgency, dosed
from rillbed.plan.ahead import bound_share, took_ammonia
from rillbed.plan.answers import Band, CyclingPlan, Dose, Sowing
from rillbed.plan.ledger import Addition, additions, load_mg_l, still_to_come_mg_l
from rillbed.plan.look import latest, readings, unread_dose, until
from rillbed.plan.members import band, date_quantile, share
from rillbed.plan.rules import (
    CLEAR_MG_L,
    HOLD_NO2_MG_L,
    REFILL_BELOW_MG_L,
    REFILL_TO_MG_L,
    TRAY_DAYS,
    Interval,
    best_sowing,
    decide,
    stage,
)
from rillbed.plan.sources import dose, dose_reasons
from rillbed.science.feed import sizing_tan_g_day

# A challenge counts only when the dose was a full one, within a kitchen scale's error.
# What proves a start on a source that comes free too slowly: no jump of pH, and sold where pure ammonia is not.
PROOF_SOURCE = "ammonium_chloride"
FULL_SHARE = facts.value("plan.full_share")
# Whoever puts the first fish in chooses them now.
FIRST_FISH = ("fish.law", "fish.welfare")
YOUNG_DAYS = int(facts.value("plan.young_days"))


def plan(system: System, entries: Sequence[LogEntry], forecast: Forecast, on: date) -> CyclingPlan:
    """State of a start-up and the next step.

    Parameters
    ----------
    system, entries
        The loop and its log; entries after ``on`` are ignored.
    forecast : Forecast
        Members run with the dose rule of `rillbed.plan.ahead.startup_future`.
    on : date
        Day to answer for.
    """
    log = until(system, entries, on)
    volume_l = 1000.0 * float(np.median(forecast.at("volume_m3", on)))
    given = additions(system, log, volume_l)
    tan, no2 = latest(system, log, "tan"), latest(system, log, "no2")
    waiting = still_to_come_mg_l(given, on)
    proven = challenge_passed(system, log, given)
    days = forecast.completion - forecast.index(on)
    unread = unread_dose(system, log, frozenset(facts.ammonia_sources()))
    fish = state_at(system, log, on).fish_count > 0
    found = Findings(tan, no2, waiting, bool(given), volume_l, unread, fish, took_ammonia(system, log))
    where = stage(tan, no2, dosed_before=bool(given), proven=proven)
    sowing = None if proven else _sowing(days, forecast, on)
    ready = band(forecast.at("cap_a_g_m3_day", on) * forecast.at("volume_m3", on), forecast.weights)
    dates = tuple(date_quantile(forecast.completion, forecast.weights, forecast.start, q) for q in (0.1, 0.5, 0.9))
    dots = tuple(
        date_quantile(forecast.completion, forecast.weights, forecast.start, (i + 0.5) / 20) for i in range(20)
    )
    advice = _advice(system, found, where, on, (dates[0], dates[1], dates[2]), _chance(days, forecast))
    if sowing is not None:
        advice = (*advice, *_sow_advice(sowing, on))
    return CyclingPlan(
        path=system.startup_path,
        stage=where,
        advice=advice,
        completion=(dates[0], dates[1], dates[2]),
        chance_within_horizon=_chance(days, forecast),
        dots=dots,
        still_to_come_mg_l=waiting,
        ready_load_g_day=ready,
        planned_load_g_day=planned_load_g_day(system),
        sowing=sowing,
    )


def is_starting(system: System, state: LoopState) -> bool:
    """Whether the bacteria are still being grown: no fish yet on the fishless path, or within the first weeks."""
    if system.startup_path == "running":
        return False
    if system.startup_path == "fishless":
        return state.fish_count == 0
    return (state.on - system.started_on).days < YOUNG_DAYS


class Findings:
    """What the decision rests on: readings, the ledger, what was dosed, the water in litres, fish."""

    def __init__(
        self,
        tan: Interval | None,
        no2: Interval | None,
        to_come: float,
        dosed: bool,
        volume_l: float,
        unread: date | None,
        fish: bool,
        ammonia: bool,
    ) -> None:
        self.tan, self.no2, self.to_come, self.dosed, self.volume_l = tan, no2, to_come, dosed, volume_l
        self.unread, self.fish, self.ammonia = unread, fish, ammonia


def planned_load_g_day(system: System) -> float | None:
    """Ammonia the planned feed makes by the sizing rule, g N/day; ``None`` if no feed is planned."""
    if system.planned_feed_g_day is None or system.feed is None:
        return None
    protein = facts.feeds()[system.feed].protein_pct / 100.0
    return float(sizing_tan_g_day(system.planned_feed_g_day, protein))


def challenge_passed(system: System, log: Sequence[LogEntry], given: Sequence[Addition]) -> bool:
    """Whether a day's full load was gone by the next day's readings, two days running.

    The load is what the planned feed makes, as in the forecast. Both ammonia and nitrite must read below the mark at
    the upper end of their intervals.
    """
    tan = {item.on: item.worst_high for item in readings(system, log, "tan")}
    no2 = {item.on: item.worst_high for item in readings(system, log, "no2")}

    def passed(day: date) -> bool:
        after = day + timedelta(days=1)
        full = load_mg_l(given, day) >= FULL_SHARE * full_load_mg_l(system)
        return full and tan.get(after, np.inf) <= CLEAR_MG_L and no2.get(after, np.inf) <= CLEAR_MG_L

    return any(passed(day) and passed(day + timedelta(days=1)) for day in {item.on for item in given})


def _chance(days: np.ndarray, forecast: Forecast) -> float:
    return share(~np.isnan(days), forecast.weights)


def _sowing(days: np.ndarray, forecast: Forecast, on: date) -> Sowing | None:
    best = best_sowing(days, forecast.weights, max(0, forecast.days - forecast.index(on) - TRAY_DAYS[1]))
    return None if best is None else Sowing(on + timedelta(days=best[0]), best[1], *TRAY_DAYS)


def _sow_advice(sowing: Sowing, on: date) -> tuple[Advice, ...]:
    if (sowing.on - on).days > 7:
        return ()
    chance = Reason("sow.chance", {"chance": sowing.chance, "low": TRAY_DAYS[0], "high": TRAY_DAYS[1]})
    params = {"on": sowing.on.isoformat(), "crop": "leafy seedlings"}
    return (Advice("sow.tray", "plant", params=params, reasons=(chance,), urgency=Urgency.PLANTS),)


def _completion(dates: tuple[date | None, date | None, date | None], chance: float) -> Reason | None:
    low, middle, high = (None if day is None else day.isoformat() for day in dates)
    if middle is None:
        return None
    if high is None:
        return Reason("cycle.completion_open", {"middle": middle, "chance": chance})
    return Reason("cycle.completion", {"low": low, "middle": middle, "high": high})


def _advice(
    system: System,
    found: Findings,
    where: str,
    on: date,
    dates: tuple[date | None, date | None, date | None],
    chance: float,
) -> tuple[Advice, ...]:
    ahead = tuple(item for item in (_completion(dates, chance),) if item is not None)
    if where == "ready":
        return (Advice("cycle.ready", "wait", reasons=tuple(filter(None, (_load(system),))), cautions=FIRST_FISH),)
    if system.startup_path != "fishless" and not found.fish:
        first = Reason("cycle.first_fish", {"share": facts.value("start.first_fish_share")})
        why, urgency = (first, *ahead), Urgency.TOXIC_NITROGEN
        return (Advice("cycle.fish_in_first", "wait", reasons=why, cautions=FIRST_FISH, urgency=urgency),)
    if system.startup_path != "fishless":
        # Ammonia is never dosed with animals in the water.
        why = (Reason("cycle.fish_in_rule"), *ahead)
        return (Advice("cycle.fish_in", "feed", reasons=why, urgency=Urgency.TOXIC_NITROGEN),)
    if system.ammonia_source is None:
        return (Advice("cycle.no_source", "wait", reasons=ahead, urgency=Urgency.TOXIC_NITROGEN),)
    code = decide(
        found.tan,
        found.no2,
        on=on,
        dosed_before=found.dosed,
        to_come_mg_l=found.to_come,
        organic=bound_share(system.ammonia_source.source) > 0.0,
        unread=found.unread,
    )
    why = _why(code, found, on)
    if code in ("dose", "prove"):
        return (_dose_advice(system, found, code, (*why, *ahead)),)
    expect = Reason("expect.tan_falls") if code == "wait" else None
    kind = "reading" if code == "first_reading" else "wait"
    return (Advice(f"cycle.{code}", kind, reasons=(*why, *ahead), urgency=Urgency.TOXIC_NITROGEN, expect=expect),)


def _dose_advice(system: System, found: Findings, code: str, why: tuple[Reason, ...]) -> Advice:
    # A refill tops up from the highest value the reading allows; a proof is a day's full load.
    there = found.tan.worst_high if code == "dose" and found.dosed and found.tan is not None else 0.0
    rise = full_load_mg_l(system) if code == "prove" else REFILL_TO_MG_L - there
    assert system.ammonia_source is not None
    own = system.ammonia_source.source
    # A day's load must come free in that day; who has ammonia for that goes on with it.
    slow = bound_share(own) > 0.0 and (code == "prove" or found.ammonia)
    given: Dose = dose(system, PROOF_SOURCE if slow else None, rise, volume_l=found.volume_l)
    if slow and code == "prove":
        why = (*why, Reason("cycle.prove_with", {"source": own}))
    return Advice(
        f"cycle.{code}",
        "dose",
        amount=given.amount,
        unit=given.unit,
        params={
            "source": given.source,
            "target_mg_l": given.target_mg_l,
            "alkalinity_meq_l": given.alkalinity_used_meq_l,
        },
        reasons=(*why, *dose_reasons(given)),
        formula="dose.nitrogen_for_rise",
        facts=(f"ammonia_sources/{given.source}",),
        cautions=given.cautions,
        urgency=Urgency.TOXIC_NITROGEN,
        entry=dosed(given.source, given.amount, given.unit),
        expect=Reason("expect.tan_slow" if given.organic else "expect.tan", {"value": given.at_once_mg_l}),
    )


def _load(system: System) -> Reason | None:
    planned = planned_load_g_day(system)
    return None if planned is None else Reason("cycle.load_planned", {"planned_g": planned})


def _why(code: str, found: Findings, on: date) -> tuple[Reason, ...]:
    tan, no2 = found.tan, found.no2
    if code == "dose" and not found.dosed:
        return (Reason("cycle.nothing_yet"),)
    if code == "dosed":
        return (Reason("cycle.dosed_today"),)
    if code == "first_reading":
        return (Reason("cycle.reading_old", {"days": (on - tan.on).days}),) if tan else (Reason("read.never"),)
    if code == "ledger":
        return (Reason("cycle.to_come", {"mg_l": found.to_come}),)
    # decide() has asked for both readings before any of these.
    assert tan is not None
    assert no2 is not None
    if code == "hold":
        if no2.high is None:
            return (Reason("cycle.no2_top", {"low": no2.low}),)
        return (Reason("cycle.no2_high", {"high": no2.high, "mark": HOLD_NO2_MG_L}),)
    if code == "wait":
        return (Reason("cycle.tan_not_low", {"high": tan.high, "mark": REFILL_BELOW_MG_L}),)
    low = Reason("cycle.tan_low", {"high": tan.high, "mark": REFILL_BELOW_MG_L})
    return (low, Reason("cycle.two_tests", {"mark": CLEAR_MG_L})) if code == "prove" else (low,)


__all__ = ["Addition", "Band", "additions", "challenge_passed", "dose", "plan", "planned_load_g_day"]
