"""The verdict on the source water: is it fit, how it is made fit, how much at once, and what it leaves over months."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.fold import system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.advice import Reason, Value
from rillbed.plan.doses import mixing
from rillbed.plan.doses.water import Contradiction, Samples, Water, samples
from rillbed.plan.look import until
from rillbed.plan.members import quantile
from rillbed.plan.verdict.bands import LEVELS, Band, Level
from rillbed.plan.verdict.buildup import BuildUp, build_up
from rillbed.plan.verdict.source import Held, SourceFacts, ammonia_in_mg_l, bands, held
from rillbed.science import ammonia

MOST = facts.value("dosing.change_most")
MOST_UNKNOWN = facts.value("dosing.change_most_unknown")
TEMP_STEP_C = facts.value("dosing.change_temp_step")
PH_STEP = facts.value("dosing.ph_step")
HARMLESS_MG_L = facts.water_limits()["chlorine_ceiling"].high or 0.0
SOFT_MEQ_L = facts.water_limits()["alkalinity_good"].low or 0.0
THIOSULFATE = facts.supplements()["sodium_thiosulfate"].per_g_chlorine or 0.0
PER_L = 100.0


@dataclass(frozen=True)
class Step:
    """Largest single change of water: litres, share of the loop, and what binds it."""

    litres: float
    share: float
    binds: str
    treated: bool


@dataclass(frozen=True)
class SourceVerdict:
    """The source water judged.

    Attributes
    ----------
    bands : tuple of Band
        What is known to be in it, as it comes.
    treat_first : bool
        Whether chlorine must be taken out before any of it goes in, or nobody knows.
    thiosulfate_g_100_l : float or None
        Sodium thiosulfate pentahydrate for 100 L at the worst value known; ``None`` where it is not known.
    step : Step or None
        Largest change once treated; ``None`` where even a hundredth would harm.
    step_untreated : Step or None
        The same for water as it comes.
    build_up : tuple of BuildUp
        Salts over the months of the forecast.
    ask : tuple of str
        What to test in it, the most telling first.
    """

    on: date
    level: Level
    bands: tuple[Band, ...]
    treat_first: bool
    thiosulfate_g_100_l: float | None
    step: Step | None
    step_untreated: Step | None
    build_up: tuple[BuildUp, ...]
    ask: tuple[str, ...]
    reasons: tuple[Reason, ...]
    cautions: tuple[str, ...] = ("chlorine.test",)

    def band(self, code: str) -> Band | None:
        """Band of a code, ``None`` when nothing is known of it."""
        return next((item for item in self.bands if item.code == code), None)


def assess(
    system: System,
    entries: Sequence[LogEntry],
    forecast: Forecast | None = None,
    *,
    on: date,
    more: SourceFacts | None = None,
) -> SourceVerdict:
    """Judge the source water from the system, from tests of it in the log, and from what else is known.

    Parameters
    ----------
    forecast : Forecast, optional
        For the months ahead, and for the loop's own water where it was not read.
    more : SourceFacts, optional
        Where it is from, metals, temperature.
    """
    extra = more or SourceFacts()
    log = until(system, entries, on)
    system = system_at(system, log, on)
    found = held(system, log, on, extra)
    judged = bands(found)
    unknown = [code for code in ("chlorine", "chloramine") if code not in found.values]
    chlorine = sum(found.worst(code) or 0.0 for code in ("chlorine", "chloramine"))
    treat = bool(unknown) or chlorine > HARMLESS_MG_L
    per_100 = None if unknown or not np.isfinite(chlorine) else chlorine * PER_L / 1000.0 * THIOSULFATE
    sample, water = _loop(system, log, forecast, on)
    step = _step(found, extra, sample, water, MOST)
    raw = _untreated(step, chlorine, bool(unknown), water.volume_l)
    levels: list[Level] = [item.level for item in judged]
    if unknown and extra.kind in (None, "mains"):
        levels.append("act")
    months = (
        () if forecast is None or forecast.index(on) >= forecast.days else build_up(system, forecast, on, found.values)
    )
    return SourceVerdict(
        on=on,
        level=max(levels, key=LEVELS.index, default="safe"),
        bands=judged,
        treat_first=treat,
        thiosulfate_g_100_l=per_100,
        step=step,
        step_untreated=raw,
        build_up=months,
        ask=_ask(found, extra),
        reasons=(*_reasons(found, extra, unknown, per_100, sample), *_said(step, raw), *_months(months)),
    )


def _loop(system: System, log: Sequence[LogEntry], forecast: Forecast | None, on: date) -> tuple[Samples | None, Water]:
    water = Water.of(system, log, on)
    try:
        return samples(water, forecast), water
    except (KeyError, Contradiction):
        return None, water


def _step(found: Held, extra: SourceFacts, sample: Samples | None, water: Water, most: float) -> Step | None:
    """Size the largest change of treated water: pH, free ammonia, temperature, and half the water at most."""
    mid = {code: 0.5 * (low + high) for code, (low, high) in found.values.items() if np.isfinite(high)}
    fresh = mixing.Fresh(
        mid.get("ph"), mid.get("alkalinity"), extra.temp_c, ammonia_in_mg_l(found),
        mid.get("ca", facts.choice("source_water.ca_mg_l")),
    )  # fmt: skip
    binds = "most"
    if sample is None or not fresh.known:
        most, binds = MOST_UNKNOWN, "unknown"
    if extra.temp_c is not None and sample is not None:
        gap = abs(extra.temp_c - quantile(sample.temp_c, sample.weights, 0.5))
        if gap * most > TEMP_STEP_C:
            most, binds = TEMP_STEP_C / gap, "temperature"
    if sample is None or not fresh.known:
        return Step(most * water.volume_l, most, binds, True)
    largest = mixing.largest(sample, fresh, most, sample.ph)
    if largest is None:
        return None
    part = largest[0]
    return Step(part * water.volume_l, part, binds if part >= most else "ph", True)


def _untreated(step: Step | None, chlorine: float, unknown: bool, volume_l: float) -> Step | None:
    """Size the largest change of water as it comes: none where nobody knows its chlorine."""
    if unknown or step is None or not np.isfinite(chlorine):
        return None
    if chlorine <= HARMLESS_MG_L:
        return replace(step, treated=False)
    part = min(HARMLESS_MG_L / chlorine, step.share)
    return Step(part * volume_l, part, "chlorine", False)


def _ask(found: Held, extra: SourceFacts) -> tuple[str, ...]:
    wanted = ["chlorine", "chloramine", "tan", "alkalinity", "ph", "hardness", "na", "cl"]
    if extra.kind in ("roof", "well"):
        wanted += ["zinc", "copper"]
    kind = [] if extra.kind is not None else ["kind"]
    return (*kind, *(code for code in wanted if code not in found.values))


def _reasons(
    found: Held, extra: SourceFacts, unknown: Sequence[str], per_100: float | None, sample: Samples | None
) -> tuple[Reason, ...]:
    out = []
    if unknown and extra.kind in (None, "mains"):
        out.append(Reason("source.chlorine_unread"))
    chloramine, chlorine = found.worst("chloramine") or 0.0, found.worst("chlorine") or 0.0
    if per_100 is not None and chlorine + chloramine > HARMLESS_MG_L:
        out.append(Reason("source.treat", {"grams": per_100, "chlorine": chlorine + chloramine}))
    if chloramine > 0.0:
        out.append(Reason("source.chloramine_stays", {"chloramine": chloramine}))
    elif "chloramine" in unknown and extra.stood:
        out.append(Reason("source.stood_no_proof"))
    elif chlorine > HARMLESS_MG_L:
        out.append(Reason("source.chlorine_leaves", {"chlorine": chlorine}))
    brings = ammonia_in_mg_l(found)
    if brings > 0.0:
        values: dict[str, Value] = {"tan": brings, "chloramine": chloramine}
        if sample is not None:
            ph, temp = (quantile(x, sample.weights, 0.9) for x in (sample.ph, sample.temp_c))
            values |= {"ph": ph, "nh3": brings * float(ammonia.unionized_fraction(ph, temp))}
            out.append(Reason("source.ammonia_at_ph", values))
        else:
            out.append(Reason("source.ammonia", values))
    alkalinity = found.worst("alkalinity")
    if alkalinity is not None and alkalinity < SOFT_MEQ_L:
        out.append(Reason("source.soft", {"alkalinity": alkalinity}))
    ceiling = facts.water_limits()["alkalinity_ceiling"].high or np.inf
    if alkalinity is not None and alkalinity > ceiling:
        out.append(Reason("source.hard_to_lower", {"alkalinity": alkalinity, "ceiling": ceiling}))
    if extra.kind == "roof":
        out.append(Reason("source.roof"))
    if extra.kind == "well":
        out.append(Reason("source.well"))
    return tuple(out)


def _said(step: Step | None, raw: Step | None) -> tuple[Reason, ...]:
    if step is None:
        return (Reason("source.no_step", {"step": PH_STEP}),)
    out = [Reason(f"source.step_{step.binds}", {"litres": step.litres, "share": step.share, "step": PH_STEP,
                                                "temp_step": TEMP_STEP_C})]  # fmt: skip
    if raw is not None and raw.binds == "chlorine":
        out.append(Reason("source.raw_step", {"litres": raw.litres, "line": HARMLESS_MG_L}))
    return tuple(out)


def _months(months: Sequence[BuildUp]) -> tuple[Reason, ...]:
    out = []
    for item in months:
        values: dict[str, Value] = {
            "element": item.element, "per_month": item.per_month, "source": item.source, "limit": item.limit,
            "now": item.now.middle, "later": item.later.high, "chance": item.chance, "drain": item.drain_l_day,
            "by": item.reached[1].isoformat() if item.reached[1] else None,
        }  # fmt: skip
        if item.limit is not None and item.source >= item.limit:
            out.append(Reason("buildup.source_over", values))
        elif item.reached[1] is not None:
            out.append(Reason("buildup.passes", values))
        elif item.chance > facts.value("dosing.tolerated_harm"):
            out.append(Reason("buildup.may_pass", values))
        else:
            out.append(Reason("buildup.stays", values))
    return tuple(out)
