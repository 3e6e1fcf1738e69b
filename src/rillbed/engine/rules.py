"""What the future does of itself where the log is silent: ammonia doses, base, additions, and the start-up verdict."""

import numpy as np

from rillbed import facts
from rillbed.engine import stoichiometry as st
from rillbed.engine import water
from rillbed.engine.state import MINERALS, S
from rillbed.engine.world import Flags, World
from rillbed.science import dosing


def refill(w: World) -> Flags:
    """Dose ammonia where the start-up rule says so; gives which members got the full load as a challenge today.

    The challenge is dated: it starts in water that has cleared an earlier dose, so what is gone a day later is this
    load.
    """
    f, y = w.future, w.y
    if f.refill_to_mg_l is None or w.groups:
        return np.zeros(w.members, bool)
    # What an organic source still owes counts as there; a kit does not see it.
    owing = (
        y[S.ORGANIC] >= f.refill_to_mg_l - f.refill_below_mg_l if f.refill_bound_share else np.zeros(w.members, bool)
    )
    challenge = clear(w) & np.isnan(w.completion) & w.primed & ~owing
    go = challenge | ((y[S.TAN] < f.refill_below_mg_l) & (y[S.NO2] < f.hold_no2_mg_l) & ~owing)
    target = np.where(challenge, f.full_load_mg_l, f.refill_to_mg_l)
    grams = np.where(go, np.maximum(target - y[S.TAN], 0.0), 0.0) * w.volume
    # Who has ammonia for the proof goes on with it.
    w.tried |= challenge
    bound = np.where(w.tried, 0.0, f.refill_bound_share * grams)
    extra = {} if f.refill_salt or f.refill_bound_share else {"alk": grams * st.EQ_PER_G["n_nh4"]}
    w.gain("n_dose", water.dose(y, w.volume, {"tan": grams - bound, "organic": bound, **extra}, w.books))
    w.primed |= go
    return np.asarray(challenge)


def clear(w: World) -> Flags:
    """Tell in which members ammonia and nitrite both count as gone."""
    return np.asarray((w.y[S.TAN] < w.future.clear_mg_l) & (w.y[S.NO2] < w.future.clear_mg_l))


def base(w: World) -> None:
    """Bring alkalinity from under its floor back to its target, each day by no more than the step of pH allows."""
    f, y = w.future, w.y
    if f.base_floor_meq_l is None:
        return
    w.basing = np.where(y[S.ALK] < f.base_floor_meq_l, True, w.basing)
    w.basing = np.where(y[S.ALK] < f.base_target_meq_l, w.basing, False)
    if not w.basing.any():
        return
    missing = np.where(w.basing, f.base_target_meq_l - y[S.ALK], 0.0)
    eq = dosing.capped_base_eq_m3.inner(missing, y[S.ALK], y[S.CO2], f.base_ph_step, f.base_form) * w.volume
    water.dose(y, w.volume, {"alk": eq, f.base_element: eq / st.EQ_PER_G[f.base_element]}, w.books)
    y[S.CO2] -= dosing.CO2_BOUND[f.base_form] * eq / w.volume


def supplement(w: World) -> None:
    """Bring each supplemented element back to its target."""
    for e, target in w.future.supplement_to_mg_l:
        grams = np.maximum(target - w.y[MINERALS[e]], 0.0) * w.volume
        water.dose(w.y, w.volume, {e: grams}, w.books)


def certify(w: World, d: int, challenged: Flags) -> None:
    """Count the days on which the full load was gone a day later; enough of them running complete the start-up."""
    w.passes = np.where(challenged & clear(w), w.passes + 1, 0)
    w.completion[np.isnan(w.completion) & (w.passes >= facts.value("start.clear_days"))] = d
    w.mature = np.where(
        np.isnan(w.completion), w.mature, np.minimum(w.mature + 1.0 / facts.choice("filter.ripens_days"), 1.0)
    )
