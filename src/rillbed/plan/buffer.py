"""How much base to give today, within the step of pH that one dose may make."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from rillbed import facts, units
from rillbed.engine import Forecast
from rillbed.garden.log import LogEntry
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.advice import Advice, Reason, Urgency, dosed
from rillbed.plan.ahead import alkalinity_marks
from rillbed.plan.look import latest
from rillbed.plan.members import quantile
from rillbed.plan.shelf import BASES, Choice, base_for
from rillbed.science import carbonate, dosing, equilibria

PH_STEP = facts.value("dosing.ph_step")
NO_BASE_FROM_TAN_MG_L = facts.value("dosing.no_base_from_tan")
STALE_DAYS = int(facts.value("plan.buffer_stale_days"))
# Below this alkalinity nitrification slows down (published), whatever pH says.
SLOWS_MEQ_L = units.convert(facts.value("nitrifier.alkalinity_floor"), "ppm_CaCO3", "meq/L")
# Ionic strength of a loop, mol/L: moves a pH by a few hundredths only.
IONIC_STRENGTH = 0.005
CO2_G_MOL = carbonate.CO2_G_MOL
# The stricter tail of the members.
WORST = 0.1


@dataclass(frozen=True)
class Base:
    """One dose of base, and where pH goes: at once, and once the air has evened it out."""

    choice: Choice
    grams: float
    eq_m3: float
    wanted_eq_m3: float
    ph_before: float
    ph_at_once: float
    ph_settled: float

    @property
    def doses(self) -> int:
        """Doses of this size until the target is reached, one a day."""
        return max(1, int(np.ceil(self.wanted_eq_m3 / self.eq_m3 - 1e-9)))


def alkalinity_now(system: System, log: Sequence[LogEntry], forecast: Forecast, on: date) -> tuple[float, date | None]:
    """Alkalinity to act on, meq/L, and the day of the reading behind it.

    The lower end of the last reading, moved on by what the middle member lost or got since; without a recent reading
    the middle member. The members' own additions of base begin on ``on``, so they are looked at the evening before.
    """
    row = max(0, forecast.index(on) - 1)
    seen = latest(system, log, "alkalinity")
    table, weights = forecast.columns["alkalinity_meq_l"], forecast.weights
    if seen is None or (on - seen.on).days > STALE_DAYS or seen.low is None:
        return quantile(table[row], weights, 0.5), None
    then = min(forecast.index(seen.on), row)
    return seen.low + quantile(table[row] - table[then], weights, 0.5), seen.on


def base_dose(
    alkalinity_meq_l: float,
    target_meq_l: float,
    co2_mg_l: NDArray[np.float64] | float,
    weights: NDArray[np.float64],
    *,
    volume_m3: float,
    temp_c: float,
    choice: Choice,
    ph_read: float | None = None,
) -> Base:
    """Size one dose of base.

    Parameters
    ----------
    alkalinity_meq_l, target_meq_l : float
        Alkalinity now (the worst value) and wanted, meq/L.
    co2_mg_l : (members,) or float
        Dissolved CO2, mg/L; the tail with the least CO2 decides, as there a strong base lifts pH most.
    weights : (members,)
        Member weights.
    volume_m3, temp_c : float
        Water to dose and its temperature.
    choice : Choice
        A base of `rillbed.plan.shelf.BASES`.
    ph_read : float or None
        Highest pH the last reading allows; it may only lower the CO2 reckoned with.

    Raises
    ------
    ValueError
        If the target is not above the alkalinity now.
    """
    if target_meq_l <= alkalinity_meq_l:
        raise ValueError(f"target_meq_l = {target_meq_l:g}: must be above alkalinity now, {alkalinity_meq_l:g}")
    form = BASES[choice.id]
    alk = max(alkalinity_meq_l, dosing.LEAST_ALKALINITY_EQ_M3)
    co2 = quantile(np.broadcast_to(co2_mg_l, weights.shape), weights, WORST)
    if ph_read is not None:
        by_ph = carbonate.speciate(temp_c, alk, IONIC_STRENGTH, ph=ph_read)
        co2 = min(co2, float(by_ph.co2_mg_l))
    wanted = target_meq_l - alkalinity_meq_l
    eq = float(dosing.capped_base_eq_m3(wanted, alk, co2 / CO2_G_MOL, PH_STEP, form))
    pco2 = co2 / CO2_G_MOL * 1e3 / float(equilibria.henry_co2(temp_c))
    before = carbonate.speciate(temp_c, alk, IONIC_STRENGTH, pco2_uatm=pco2)
    carbon = float(before.dic_mmol_l) + eq * (1.0 - dosing.CO2_BOUND[form])
    at_once = carbonate.speciate(temp_c, alk + eq, IONIC_STRENGTH, dic_mmol_l=carbon)
    settled = carbonate.speciate(temp_c, alk + eq, IONIC_STRENGTH, pco2_uatm=pco2)
    return Base(
        choice=choice,
        grams=eq * volume_m3 / choice.row.alkalinity_eq_per_g,
        eq_m3=eq,
        wanted_eq_m3=wanted,
        ph_before=float(before.ph),
        ph_at_once=float(at_once.ph),
        ph_settled=float(settled.ph),
    )


def alkalinity_advice(
    system: System,
    log: Sequence[LogEntry],
    state: LoopState,
    forecast: Forecast,
    on: date,
    *,
    starting: bool,
    next_dose_meq_l: float = 0.0,
) -> tuple[Advice, ...]:
    """Give base for today when alkalinity is under its mark, or a reading first, or nothing.

    Parameters
    ----------
    starting : bool
        Whether the bacteria are still being grown, which takes more buffer.
    next_dose_meq_l : float
        Alkalinity the ammonia dose of today will use, meq/L.
    """
    floor, target = alkalinity_marks(starting=starting)
    now, read_on = alkalinity_now(system, log, forecast, on)
    if now - next_dose_meq_l >= floor:
        return ()
    left = Reason("base.left", {"low": now, "floor": floor, "slows": SLOWS_MEQ_L})
    if read_on is None:
        # Nobody doses on the word of a model that has never seen this water.
        why = (Reason("base.not_read", {"days": STALE_DAYS}), left)
        return (Advice("base.read_first", "reading", reasons=why, urgency=Urgency.PH_RATE, entry=READ),)
    tan = latest(system, log, "tan")
    if state.fish_count and tan is not None and tan.worst_high >= NO_BASE_FROM_TAN_MG_L:
        why = (Reason("base.tan", {"high": tan.high, "mark": NO_BASE_FROM_TAN_MG_L}), left)
        return (Advice("base.wait", "wait", reasons=why, urgency=Urgency.PH_RATE),)
    row = max(0, forecast.index(on) - 1)
    ph = latest(system, log, "ph")
    ph_read = ph.high if ph is not None and (on - ph.on).days <= STALE_DAYS else None
    given = base_dose(
        now,
        target + next_dose_meq_l,
        forecast.columns["co2_mg_l"][row].astype(float),
        forecast.weights,
        volume_m3=float(np.median(forecast.at("volume_m3", on))),
        temp_c=quantile(forecast.columns["temp_c"][row], forecast.weights, 0.5),
        choice=base_for(state),
        ph_read=ph_read,
    )
    return (_advice(given, (left, Reason("base.read_on", {"on": read_on.isoformat()}))),)


READ = {"kind": "reading", "payload": {"quantity": "alkalinity"}}


def _advice(given: Base, why: tuple[Reason, ...]) -> Advice:
    name = given.choice.id
    steps = Reason("base.steps", {"doses": given.doses, "cap": PH_STEP})
    return Advice(
        "base.dose",
        "dose",
        amount=given.grams,
        unit="g",
        params={"supply": name, "rise_meq_l": given.eq_m3},
        reasons=(*why, Reason("base.rise", {"rise": given.eq_m3}), steps, *given.choice.reasons),
        formula="base.step",
        facts=(f"supplements/{name}", "dosing.ph_step"),
        cautions=given.choice.row.cautions,
        urgency=Urgency.PH_RATE,
        entry=dosed(name, given.grams),
        expect=Reason("expect.ph", {"before": given.ph_before, "at_once": given.ph_at_once, "later": given.ph_settled}),
    )
