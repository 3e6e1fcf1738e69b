"""What comes after the batch of today: when more plants may follow, and when nitrate outgrows the beds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.kits import Kit
from rillbed.garden.quantities import Basis, canonical
from rillbed.garden.system import System
from rillbed.plan.advice import Reason, Value
from rillbed.plan.batch import Element, binding, capacity, draw_of_one, largest_batch, with_additions
from rillbed.plan.members import quantile, share

Floats = NDArray[np.float64]

GAP_DAYS = int(facts.value("plan.two_tests_days"))
# Fewer are not worth a second planting.
LEAST_PLANTS = int(facts.value("plan.staged_least_plants"))
WEEK = 7
PLANTED_NO3_MG_L = facts.water_limits()["no3_target"].low or 0.0  # nitrate that beds planted for good leave


@dataclass(frozen=True)
class Supply:
    """One element from the day after planting to the horizon: pool, loss and volume (days, members); uptake (life, 1).

    Units: mg/L, 1/day, m3 and g/day of one plant (the same in all members, or each its own).
    """

    pool: Floats
    loss: Floats
    volume: Floats
    uptake: Floats
    floor: float

    def over(self, start: NDArray[np.intp], planted: int) -> Element:
        """Element over one life that begins at row ``start`` of each member, ``planted`` plants standing since row 0.

        Those are followed by the same again when they are through.
        """
        rows = start[None, :] + np.arange(len(self.uptake))[:, None]

        def cut(table: Floats) -> Floats:
            return np.take_along_axis(table, rows, axis=0)

        return Element(cut(self.after(planted)), draw_of_one(self.uptake, cut(self.loss), cut(self.volume)), self.floor)

    def after(self, planted: int) -> Floats:
        """Pool with ``planted`` plants standing since row 0, each followed by the same again."""
        if not planted:
            return self.pool
        again = self.uptake[np.arange(len(self.pool)) % len(self.uptake)]
        return self.pool - planted * draw_of_one(again, self.loss, self.volume)


@dataclass(frozen=True)
class Step:
    """One step of the nitrate kit: as it stands on the card, and the lowest nitrate it may stand for, mg/L as N."""

    shown: float
    unit: str
    basis: Basis
    least_mg_l: float


def nitrate_steps(system: System) -> tuple[Step, ...]:
    """List the steps of the loop's own nitrate kit, lowest first; a neutral list where it has none.

    A card that does not say what it counts is taken to count the ion: the step then stands for less nitrogen.
    """
    own = [kit for kit in system.kits if kit.quantity == "no3" and kit.steps]
    if own:
        kit = own[0]
    else:
        row = facts.kits()["no3_drops"]
        kit = Kit(name=row.name, quantity="no3", unit=row.unit, steps=tuple(row.steps), basis="n")
    basis = kit.basis or "ion"
    lows = ((step, kit.interval(step)[0]) for step in kit.steps)
    return tuple(Step(step, kit.unit, basis, canonical("no3", low, kit.unit, basis)) for step, low in lows if low)


def kit_bias(members: int) -> Floats:
    """Factor by which each member's kit misreads nitrate, shape (members,): spread as the prior, in a fixed shuffle."""
    normal = NormalDist(0.0, facts.priors()["kit_bias"].ln_sd)
    ranks = np.random.default_rng(members).permutation(members)
    return np.exp([normal.inv_cdf((rank + 0.5) / members) for rank in ranks])


def staged(
    system: System,
    forecast: Forecast,
    on: date,
    supplies: Mapping[str, Supply],
    *,
    count: int,
    free: int,
    certainty: float,
    read_mg_l: float | None = None,
) -> Reason | None:
    """Smallest step of the nitrate kit that opens room for more plants, and when it is expected.

    For every step the members are kept that read it on two tests some days apart, with ``count`` plants in since
    ``on``; each member starts the next batch the day after its second test. The step is the smallest that carries
    enough more plants in ``certainty`` of them.

    Parameters
    ----------
    supplies : mapping
        Elements that limit a batch, from the day after ``on``.
    count, free : int
        Plants that go in now, and places on the beds.
    certainty : float
        Certainty wanted, also of the step being reached at all.
    read_mg_l : float or None
        Lower end of the last fresh nitrate reading, mg/L as N: a step read already tells nothing new.

    Returns
    -------
    Reason or None
        ``None`` where nitrogen is not what holds planting back, or no step is likely to open room in the year.
    """
    left = free - count
    if "n" not in supplies or left < LEAST_PLANTS:
        return None
    nitrogen, weights = supplies["n"], forecast.weights
    alone = nitrogen.over(np.zeros(len(weights), dtype=int), count)
    if min(largest_batch(capacity({"n": alone}), weights, certainty) or 0, left) >= LEAST_PLANTS:
        return None
    seen = nitrogen.after(count) * kit_bias(len(weights))
    last = len(seen) - len(nitrogen.uptake) - GAP_DAYS
    for step in nitrate_steps(system):
        if read_mg_l is not None and step.least_mg_l <= read_mg_l:
            continue
        reads = seen >= step.least_mg_l
        twice = (reads[:-GAP_DAYS] & reads[GAP_DAYS:])[: max(last, 0)]
        reached = twice.any(axis=0)
        if share(reached, weights) < certainty:
            # Higher steps come later still.
            return None
        start = np.where(reached, twice.argmax(axis=0) + GAP_DAYS, 0)
        batch = {name: supply.over(start, count) for name, supply in supplies.items()}
        among = np.where(reached, weights, 0.0)
        more = min(largest_batch(capacity(batch), among, certainty) or 0, left)
        by_nitrogen = min(largest_batch(capacity({"n": batch["n"]}), among, certainty) or 0, left)
        if by_nitrogen < LEAST_PLANTS:
            continue
        first = np.where(reached, start + 1.0, np.inf)
        low, high = (on + timedelta(days=int(quantile(first, weights, q))) for q in (1.0 - certainty, certainty))
        values: dict[str, Value] = {"count": count, "step": step.shown, "unit": step.unit, "basis": step.basis}
        values |= {"more": more, "low": low.isoformat(), "high": high.isoformat()}
        if more >= LEAST_PLANTS:
            return Reason("room.staged" if count else "room.staged_first", values)
        missing, then = with_additions(batch, among, certainty)
        elements: Value = missing or (binding(capacity(batch), among)[0].limit,)
        values |= {"more": min(then, left) if missing else by_nitrogen, "elements": elements}
        return Reason("room.staged_after" if count else "room.staged_first_after", values)
    return None


def outgrown(forecast: Forecast, on: date, beds_m2: float, demand_g_m2_day: float, certainty: float) -> Reason | None:
    """Week from which nitrogen is made for more area than there are beds, in ``certainty`` of the members.

    Raises
    ------
    ValueError
        If the demand is not above 0.
    """
    if demand_g_m2_day <= 0.0:
        raise ValueError(f"demand_g_m2_day = {demand_g_m2_day:g}: must be above 0")
    for at in range(forecast.index(on), forecast.days + 1, WEEK):
        area = nitrogen_area_m2(forecast, at, demand_g_m2_day)
        if quantile(area, forecast.weights, 1.0 - certainty) > beds_m2 > 0.0:
            low, high = (quantile(area, forecast.weights, q) for q in (1.0 - certainty, certainty))
            day = (forecast.start + timedelta(days=at)).isoformat()
            return Reason("room.outgrown", {"on": day, "low": low, "high": high, "beds": beds_m2})
    return None


def nitrogen_area_m2(forecast: Forecast, at: int, demand_g_m2_day: float) -> Floats:
    """Area the nitrogen of the week up to row ``at`` keeps planted for good, m2, shape (members,).

    Notes
    -----
    Made, less what gas takes. What nitrate loses as gas grows with nitrate; beds that are planted for good keep it at
    the lower end of its working range, so of that loss only the part that belongs there counts.
    """
    week = slice(max(1, at - WEEK + 1), at + 1)
    made, gas, no3 = (
        forecast.columns[name][week].mean(axis=0).astype(float) for name in ("n_nitrified", "n_gas", "no3_mg_l")
    )
    at_once = np.minimum(gas, np.asarray(forecast.params.get("coupled_share", 1.0)) * made)
    later = (gas - at_once) * np.minimum(1.0, PLANTED_NO3_MG_L / np.maximum(no3, 1e-6))
    return np.asarray(np.maximum(made - at_once - later, 0.0) / demand_g_m2_day)
