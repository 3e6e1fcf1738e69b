"""The same model without the hourly scheme: rates as an ordinary differential equation, for checks only."""

from itertools import pairwise

import numpy as np
from scipy.integrate import solve_ivp

from rillbed.engine import stoichiometry as st
from rillbed.engine.hourly import CO2_PER_O2, K_BREATH, K_UPTAKE, O2_1, O2_2, Day, protons, speeds, step_of
from rillbed.engine.pools import Flows, Step
from rillbed.engine.result import Array
from rillbed.engine.simulate import Run
from rillbed.engine.state import S, empty
from rillbed.science.gas import CO2_TO_O2_TRANSFER

ROWS = tuple(S)[: S.CAP_N + 1]
PH_ROUNDS = 8  # the step form takes ammonia and phosphate at the last pH; here they are made consistent


def steady_protons(y: Array, day: Day, h: Array) -> Array:
    """H+ with ammonia and phosphate at the same pH."""
    for _ in range(PH_ROUNDS):
        h = protons(y, day, h)
    return h


def rates(y: Array, day: Day, c: Step, h: Array) -> tuple[Array, tuple[Array, ...]]:
    """Time derivative (states, members) per day, and `hourly.Flows` per day; `c` is a step of that day's length."""
    tan, no2, no3, o2 = y[S.TAN], y[S.NO2], y[S.NO3], y[S.O2]
    speed_a, speed_n = speeds(tan, o2, y[S.ALK], h, c)
    gut1, gut2 = day.gut * y[S.GUT1], day.gut * y[S.GUT2]
    rot, late = day.solids_k * y[S.SOLIDS], day.organic_k * y[S.ORGANIC]
    va, vn = speed_a / (day.k_tan + tan), speed_n / (day.k_no2 + no2)
    f1, f2 = y[S.CAP_A] * va * tan, y[S.CAP_N] * vn * no2
    take = day.demand / (K_UPTAKE + tan + no3)
    nh4, up = take * tan, take * no3
    gas = f2 * day.coupled + day.denit * no3
    airless = K_BREATH / (K_BREATH + o2)
    breath = (day.breath + day.breath_n * gut2) * (1.0 - airless)
    made = breath * CO2_PER_O2 + airless * airless * (gut2 + rot + late) * st.FERMENTED_CO2
    bacterial = st.ALK["nitritation"] * f1 + st.ALK["ammonification"] * (gut2 + rot + late)
    dy = empty(y.shape[1])
    dy[S.TAN] = gut2 + rot + late - f1 - nh4
    dy[S.NO2] = f1 - f2
    dy[S.NO3] = f2 - gas - up
    dy[S.SOLIDS], dy[S.ORGANIC] = -rot, -late
    dy[S.GUT1], dy[S.GUT2] = -gut1, gut1 - gut2
    dy[S.CO2] = CO2_TO_O2_TRANSFER * day.kla * (day.co2_eq - y[S.CO2]) + made - bacterial
    dy[S.O2] = day.kla * (day.o2_sat - o2) - breath - O2_1 * f1 - O2_2 * f2
    dy[S.ALK] = bacterial + st.ALK["plant_nh4"] * nh4 + st.ALK["plant_no3"] * up + st.ALK["denitrification"] * gas
    dy[S.CAP_A] = y[S.CAP_A] * (day.mu_a * va * tan * (1.0 - y[S.CAP_A] / day.cap_max) - day.decay)
    dy[S.CAP_N] = y[S.CAP_N] * (day.mu_n * vn * no2 * (1.0 - y[S.CAP_N] / day.cap_max) - day.decay)
    return dy, (gut2, rot + late, f1, f2, gas, nh4, up, breath)


class ExactRun(Run):
    """A run whose days are integrated by LSODA; the daily part, events and books are the same code."""

    rtol = 1e-10
    atol = 1e-10

    def _hours(self, consts: Day, dissolved: Array) -> Array:
        if self.still:
            raise ValueError("the reference integrates days on which nothing stands still")
        m, n = self.members, len(ROWS) + len(Flows._fields)
        meals = sorted({int(x * self.steps / 24) for x in self.loop.meals})
        edges = [0, *meals, self.steps]
        low = self.y[S.O2] + 0.0
        booked = np.zeros((len(Flows._fields), m))
        whole_day = Step._make(step_of(consts, 1.0, m))

        def slope(_: float, z: Array) -> Array:
            full = self.y.copy()
            cells = z.reshape(m, n).T
            full[list(ROWS)] = cells[: len(ROWS)]
            dy, flows = rates(full, consts, whole_day, steady_protons(full, consts, self.h))
            return np.vstack([dy[list(ROWS)], np.stack(flows)]).T.ravel()

        for a, b in pairwise(edges):
            if a in meals:
                self.y[S.GUT1] += dissolved / self.volume / len(meals)
            if a == b:
                continue
            z0 = np.vstack([self.y[list(ROWS)], booked]).T.ravel()
            sol = solve_ivp(slope, (a / self.steps, b / self.steps), z0, method="LSODA", rtol=self.rtol, atol=self.atol,
                            lband=n - 1, uband=n - 1)  # fmt: skip
            if not sol.success:
                raise RuntimeError(f"reference integration: {sol.message}")
            cells = sol.y[:, -1].reshape(m, n).T
            self.y[list(ROWS)], booked = cells[: len(ROWS)], cells[len(ROWS) :]
            low = np.minimum(low, sol.y.reshape(m, n, -1)[:, S.O2].min(axis=1))
        self.h = steady_protons(self.y, consts, self.h)
        consts.flows.update(zip(Flows._fields, booked, strict=True))
        return self._close_hours(consts, low)
