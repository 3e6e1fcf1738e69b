"""Salt against nitrite: how much chloride keeps nitrite out of the fish's blood, and what it does to plants."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from rillbed import facts, units
from rillbed.engine import Forecast
from rillbed.garden.log import LogEntry
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.advice import Advice, Reason, Urgency, dosed
from rillbed.plan.look import latest
from rillbed.plan.members import quantile
from rillbed.plan.shelf import CHLORIDES, Choice, choose

PER_NITRITE = facts.value("dosing.chloride_per_nitrite")
INSURANCE_MG_L = facts.value("dosing.chloride_insurance")
STEP_MG_L = facts.value("plan.chloride_step")
STALE_DAYS = int(facts.value("plan.buffer_stale_days"))
# Kinds that take up little nitrite and that chloride does not help (Tomasso 1986).
NOT_HELPED = frozenset({"largemouth_bass", "bluegill"})


@dataclass(frozen=True)
class Salt:
    """One day's salt: target and present chloride, mg/L, and the grams of one supply."""

    choice: Choice
    target_mg_l: float
    present_mg_l: float
    rise_mg_l: float
    grams: float


def target_mg_l(nitrite_mg_n_l: float) -> float:
    """Chloride that protects fish at this nitrite: ten times the ion by weight, and never under the standing insurance.

    Source: SRAC 462, read as nitrite ion, the stricter reading.

    Examples
    --------
    >>> target_mg_l(0.0), round(target_mg_l(6.0))
    (100.0, 197)
    """
    return max(INSURANCE_MG_L, PER_NITRITE * units.convert_basis(nitrite_mg_n_l, "N", "NO2"))


def salt(nitrite_mg_n_l: float, present_mg_l: float, volume_m3: float, choice: Choice) -> Salt | None:
    """Size one day's salt; ``None`` when the chloride there is enough.

    Parameters
    ----------
    nitrite_mg_n_l : float
        Worst nitrite the reading allows, mg N/L.
    present_mg_l : float
        Chloride in the water, the cautious lower end, mg/L.
    volume_m3 : float
        Water of the loop.
    """
    target = target_mg_l(nitrite_mg_n_l)
    missing = target - present_mg_l
    if missing <= 0.0:
        return None
    # What the nitrite there now asks for is given today; the insurance beyond it may take days.
    needed_now = min(missing, PER_NITRITE * units.convert_basis(nitrite_mg_n_l, "N", "NO2") - present_mg_l)
    rise = max(min(missing, STEP_MG_L), needed_now)
    return Salt(choice, target, present_mg_l, rise, rise * volume_m3 / choice.share("cl"))


def chloride_advice(
    system: System, log: Sequence[LogEntry], state: LoopState, forecast: Forecast, on: date, *, starting: bool
) -> tuple[Advice, ...]:
    """Salt for fish that live through a start-up, or that nitrite has reached: nothing where no fish swim."""
    kinds = {group.species for group in state.groups.values() if group.count > 0}
    seen = latest(system, log, "no2")
    risen = seen is not None and seen.worst_low > facts.value("start.clear_below")
    if not kinds - NOT_HELPED or not (starting or risen):
        return ()
    # Beyond the kit's last step the ratio is taken at that step: more salt follows the next reading.
    worst = 0.0 if seen is None else seen.high if seen.high is not None else seen.low or 0.0
    chloride = latest(system, log, "cl")
    fresh = chloride is not None and (on - chloride.on).days <= STALE_DAYS
    present = chloride.low or 0.0 if fresh and chloride is not None else _members(forecast, on)
    planted = any(item.standing for item in state.plantings.values())
    # Sodium harms plants most: calcium or potassium chloride where anything grows.
    wanted = CHLORIDES if planted or system.beds else CHLORIDES[::-1]
    given = salt(worst, present, float(np.median(forecast.at("volume_m3", on))), choose(wanted, system.shelf))
    return () if given is None else (_advice(given, worst, kinds),)


def _members(forecast: Forecast, on: date) -> float:
    return max(0.0, quantile(forecast.at("cl_mg_l", on), forecast.weights, 0.25))


def _advice(given: Salt, worst: float, kinds: set[str]) -> Advice:
    name = given.choice.id
    ceiling = facts.water_limits()["cl_plants"].high
    assert ceiling is not None
    wanted = Reason("salt.target", {"target": given.target_mg_l, "nitrite": worst, "ratio": PER_NITRITE})
    if given.target_mg_l <= INSURANCE_MG_L:
        wanted = Reason("salt.insurance", {"target": given.target_mg_l})
    why = [
        wanted,
        Reason("salt.present", {"present": given.present_mg_l, "rise": given.rise_mg_l}),
    ]
    if given.present_mg_l + given.rise_mg_l < given.target_mg_l:
        why.append(Reason("salt.rest", {"cap": STEP_MG_L}))
    if given.target_mg_l > ceiling:
        why.append(Reason("salt.plants", {"ceiling": ceiling}))
    why += [Reason("salt.not_helped", {"species": kind}) for kind in sorted(kinds & NOT_HELPED)]
    return Advice(
        "salt.dose",
        "dose",
        amount=given.grams,
        unit="g",
        params={"supply": name, "target_mg_l": given.target_mg_l},
        reasons=(*why, *given.choice.reasons),
        formula="salt.grams",
        facts=(f"supplements/{name}", "dosing.chloride_per_nitrite", "dosing.chloride_insurance"),
        cautions=("salt.plain", "salt.parts", "salt.plants", *given.choice.row.cautions),
        urgency=Urgency.TOXIC_NITROGEN,
        entry=dosed(name, given.grams),
    )
