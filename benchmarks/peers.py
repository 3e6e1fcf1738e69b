"""Solvers of others on the same right-hand side, compiled, for each member alone, against the hourly scheme.

Run with ``python -m benchmarks.peers`` (about three minutes; needs the extra ``fast``). Of the solvers only the time
within their hours is counted, of the hourly scheme all of a day, so the ratios are cautious. At equal error:
each solver at its loosest tolerance whose worst error is no larger than that of the hourly scheme.
"""

from __future__ import annotations

import time
import warnings
from collections.abc import Callable
from functools import partial
from importlib.util import find_spec
from itertools import pairwise

import numpy as np
from benchmarks.engine import PILOT, SHORT, SIZES, YEAR, apart, error, machine, play
from numba import njit
from scipy.integrate import odeint, solve_ivp

from rillbed.engine import stoichiometry as st
from rillbed.engine.exact import ROWS, ExactRun, rates, steady_protons
from rillbed.engine.hourly import (
    BENCH_FROM_H,
    CO2_PER_O2,
    K_BREATH,
    K_UPTAKE,
    O2_1,
    O2_2,
    Day,
    short_protons,
    speeds,
    step_of,
)
from rillbed.engine.lanes import linker
from rillbed.engine.pools import Flows, Step
from rillbed.engine.result import Array
from rillbed.engine.simulate import Run
from rillbed.engine.state import S
from rillbed.science.gas import CO2_TO_O2_TRANSFER
from rillbed.science.polish import polished

TOLERANCES = (3e-1, 1e-1, 3e-2, 1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 1e-5, 1e-6)
HELD, N = len(ROWS), len(ROWS) + len(Flows._fields)
DAY = ("gut", "solids_k", "organic_k", "k_tan", "k_no2", "demand", "coupled", "denit", "breath", "breath_n", "kla",
       "co2_eq", "o2_sat", "mu_a", "mu_n", "cap_max", "decay")  # fmt: skip
FERMENTED, ACID, FREED = st.FERMENTED_CO2, st.ALK["nitritation"], st.ALK["ammonification"]
NH4, NO3, LOST = st.ALK["plant_nh4"], st.ALK["plant_no3"], st.ALK["denitrification"]
ROUNDS = 8


def settled(h, co2, alk, tan, p, k):  # type: ignore[no-untyped-def]
    """Give H+ of one member with ammonia and phosphate at the same pH."""
    for _ in range(ROUNDS):
        h = benched(short_protons(co2, alk, tan, p, h, k), co2, alk, tan, p, k)
    return h


def benched(h, co2, alk, tan, p, k):  # type: ignore[no-untyped-def]
    if h < BENCH_FROM_H:
        h = polished(h, co2, alk, tan, p, k.k1, k.rho, k.gamma1, k.kw, k.ka_nh3, k.ka_po4)
    return h


def slopes(z, k, d, p, start):  # type: ignore[no-untyped-def]
    """Give the same as `exact.rates` for one member: twelve states and eight flows, per day."""
    (gut, solids_k, organic_k, k_tan, k_no2, demand, coupled, denit, breath0, breath_n, kla, co2_eq, o2_sat, mu_a, mu_n,
     cap_max, decay) = (d[0], d[1], d[2], d[3], d[4], d[5], d[6], d[7], d[8], d[9], d[10], d[11], d[12], d[13], d[14],
                        d[15], d[16])  # fmt: skip
    tan, no2, no3, solids, organic, gut1, gut2, co2, o2, alk, cap_a, cap_n = (
        z[0], z[1], z[2], z[3], z[4], z[5], z[6], z[7], z[8], z[9], z[10], z[11]
    )  # fmt: skip
    h = settled(start, co2, alk, tan, p, k)
    speed_a, speed_n = speeds(tan, o2, alk, h, k)
    out1, out2 = gut * gut1, gut * gut2
    rot, late = solids_k * solids, organic_k * organic
    va, vn = speed_a / (k_tan + tan), speed_n / (k_no2 + no2)
    f1, f2 = cap_a * va * tan, cap_n * vn * no2
    take = demand / (K_UPTAKE + tan + no3)
    nh4, up = take * tan, take * no3
    gas = f2 * coupled + denit * no3
    airless = K_BREATH / (K_BREATH + o2)
    breath = (breath0 + breath_n * out2) * (1.0 - airless)
    freed = out2 + rot + late
    bacterial = ACID * f1 + FREED * freed
    made = breath * CO2_PER_O2 + airless * airless * freed * FERMENTED
    return (
        freed - f1 - nh4, f1 - f2, f2 - gas - up, -rot, -late, -out1, out1 - out2,
        CO2_TO_O2_TRANSFER * kla * (co2_eq - co2) + made - bacterial,
        kla * (o2_sat - o2) - breath - O2_1 * f1 - O2_2 * f2,
        bacterial + NH4 * nh4 + NO3 * up + LOST * gas,
        cap_a * (mu_a * va * tan * (1.0 - cap_a / cap_max) - decay),
        cap_n * (mu_n * vn * no2 * (1.0 - cap_n / cap_max) - decay),
        out2, rot + late, f1, f2, gas, nh4, up, breath,
    )  # fmt: skip


slopes_of = linker.link(slopes)
space: dict[str, object] = {"njit": njit, "Step": Step}
exec(f"@njit\ndef step(c):\n    return Step({', '.join(f'c[{i}]' for i in range(len(Step._fields)))})", space)
step_at = space["step"]


@njit(error_model="numpy")
def slope(z, c, d, p, start):  # type: ignore[no-untyped-def]
    """Give `slopes` as an array."""
    return np.array(slopes_of(z, step_at(c), d, p, start))


Solver = Callable[[Callable[..., Array], Array, float, float, float], Array]


def by_odeint(f: Callable[..., Array], z: Array, a: float, b: float, tol: float) -> Array:
    return np.asarray(odeint(f, z, (a, b), rtol=tol, atol=tol, tfirst=True)[-1])


def by_lsoda(f: Callable[..., Array], z: Array, a: float, b: float, tol: float) -> Array:
    return np.asarray(solve_ivp(f, (a, b), z, method="LSODA", rtol=tol, atol=tol).y[:, -1])


def by_cvode(f: Callable[..., Array], z: Array, a: float, b: float, tol: float) -> Array:
    from sksundae.cvode import CVODE

    def into(t: float, y: Array, yp: Array) -> None:
        yp[:] = f(t, y)

    return np.asarray(CVODE(into, rtol=tol, atol=tol).solve(np.array((a, b)), z).y[-1])


def by_rk4(f: Callable[..., Array], z: Array, a: float, b: float, tol: float) -> Array:
    """Take steps of fixed length; `tol` says how many a day, as one over it."""
    count = max(1, round((b - a) / tol))
    h = (b - a) / count
    for _ in range(count):
        k1 = f(a, z)
        k2 = f(a, z + 0.5 * h * k1)
        k3 = f(a, z + 0.5 * h * k2)
        z = z + h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + f(a, z + h * k3))
    return z


class Peer(ExactRun):
    """A run whose hours another solver does, member after member."""

    solver: Solver
    tol = 1e-3
    spent = 0.0

    def _hours(self, consts: Day, dissolved: Array) -> Array:
        m = self.members
        meals = sorted({int(x * self.steps / 24) for x in self.loop.meals})
        low, booked = self.y[S.O2] + 0.0, np.zeros((len(Flows._fields), m))
        whole = np.ascontiguousarray(step_of(consts, 1.0, m).T)
        told = np.array([np.broadcast_to(getattr(consts, name), m) for name in DAY]).T.copy()
        for a, b in pairwise([0, *meals, self.steps]):
            if a in meals:
                self.y[S.GUT1] += dissolved / self.volume / len(meals)
            if b > a:
                z = np.concatenate([self.y[list(ROWS)], booked]).T
                began = time.perf_counter()
                z = self.between(z, whole, told, self.y[S.P], self.h, a / self.steps, b / self.steps)
                type(self).spent += time.perf_counter() - began
                self.y[list(ROWS)], booked = z[:, :HELD].T, z[:, HELD:].T
        low = np.minimum(low, self.y[S.O2])
        self.h = steady_protons(self.y, consts, self.h)
        consts.flows.update(zip(Flows._fields, booked, strict=True))
        return self._close_hours(consts, low)

    def between(self, z: Array, c: Array, d: Array, p: Array, h: Array, a: float, b: float) -> Array:
        """Take all members, a row each, from day-time `a` to `b`; here one after the other."""
        return np.array(
            [type(self).solver(_rates_of(*own), own[0], a, b, self.tol) for own in zip(z, c, d, p, h, strict=True)]
        )


def _rates_of(_: Array, c: Array, d: Array, p: float, h: float) -> Callable[[float, Array], Array]:
    return lambda _, z: np.asarray(slope(z, c, d, p, h))


def checked() -> float:
    """Worst relative difference of `slope` from `exact.rates`, on a day of the benchmark."""
    worst = 0.0

    class Look(ExactRun):
        def _hours(self, consts: Day, dissolved: Array) -> Array:
            nonlocal worst
            k = step_of(consts, 1.0, self.members)
            want, flows = rates(self.y, consts, Step._make(k), steady_protons(self.y, consts, self.h))
            want = np.concatenate([want[list(ROWS)], np.stack(flows)])[:, 0]
            d = np.array([float(np.broadcast_to(getattr(consts, name), self.members)[0]) for name in DAY])
            z = np.concatenate([self.y[list(ROWS), 0], np.zeros(N - HELD)])
            got = slope(z, np.ascontiguousarray(k[:, 0]), d, float(self.y[S.P, 0]), float(self.h[0]))
            worst = max(worst, float(np.max(np.abs(got - want) / (np.abs(want) + 1e-6))))
            return super()._hours(consts, dissolved)

    play(Look, 1, 3)
    return worst


def run_by(solver: Solver, tol: float) -> tuple[list[Run], float]:
    """Let a solver do some members; gives the runs and its own seconds for a member-year."""
    kind = type("One", (Peer,), {"solver": staticmethod(solver), "tol": tol, "spent": 0.0})
    with warnings.catch_warnings(), np.errstate(all="ignore"):
        warnings.simplefilter("ignore")
        runs = [play(kind, 1, SHORT, first)[0] for first in range(PILOT)]
    return runs, kind.spent / PILOT * YEAR / SHORT


def main() -> None:
    """Measure and print."""
    print(machine())
    print(f"right-hand side of the peers against that of the checks: {checked():.1e}")
    ours_s = {members: apart(members)[0] for members in SIZES}
    exact = type("Lsoda", (ExactRun,), {"rtol": 1e-10, "atol": 1e-10})
    truth = [play(exact, 1, SHORT, first)[0] for first in range(PILOT)]
    ours = error([play(Run, 1, SHORT, first)[0] for first in range(PILOT)], truth)
    print(f"hourly scheme: error {ours:.2g}; seconds for {' / '.join(map(str, SIZES))} member-years "
          f"{' / '.join(f'{s:.2f}' for s in ours_s.values())}")  # fmt: skip
    print(f"{'solver':>14} {'tolerance':>10} {'error':>8} {'ms a member-year':>17}  times ours, 1,000 member-years")
    ways: tuple[tuple[str, Solver, tuple[float, ...]], ...] = (
        ("odeint", by_odeint, TOLERANCES), ("LSODA", by_lsoda, TOLERANCES), ("CVODE", by_cvode, TOLERANCES),
        ("Runge-Kutta 4", by_rk4, (1 / 48, 1 / 96, 1 / 192, 1 / 384, 1 / 768)),
    )  # fmt: skip
    runs = {name: (partial(run_by, solver), tolerances) for name, solver, tolerances in ways}
    if find_spec("diffrax"):
        from benchmarks import by_diffrax

        runs["diffrax Tsit5"] = by_diffrax.run_by, TOLERANCES[3:]  # looser, it takes steps without end
    else:
        print(f"{'diffrax':>14} {'':>10} not installed")
    for name, (run, tolerances) in runs.items():
        for tol in tolerances:
            try:
                found, each = run(tol)
                wrong = error(found, truth)
            except (ValueError, RuntimeError):
                continue  # a state went where none can be
            if np.isfinite(wrong) and wrong <= ours:
                ratio = each * SIZES[-1] / ours_s[SIZES[-1]]
                print(f"{name:>14} {tol:10.1e} {wrong:8.2g} {1e3 * each:17.0f}  {ratio:.0f}")
                break
        else:
            print(f"{name:>14} {'':>10} at no tolerance tried as exact as ours")


if __name__ == "__main__":
    main()
