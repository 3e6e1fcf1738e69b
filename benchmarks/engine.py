"""Member-years of the full model: time, memory, and LSODA per member on the same right-hand side.

Run with ``python benchmarks/engine.py``. Times are printed as ratios: seconds belong to one machine.
"""

import resource
import time
from datetime import date

import numpy as np

from rillbed.engine import priors
from rillbed.engine.defaults import spread
from rillbed.engine.exact import ExactRun
from rillbed.engine.inputs import Event, Feed, Fish, Loop
from rillbed.engine.pack import FEED_DISSOLVED, FEED_G_KG
from rillbed.engine.simulate import Run

DAYS = 365
LOOP = Loop(1.3, bed_area_m2=9.0, feed=Feed(content=FEED_G_KG, dissolved=FEED_DISSOLVED))
EVENTS = [
    Event(0, "fish_in", {"count": 25, "weight_g": 10}, "f"),
    Event(0, "plant", {"count": 100}, "a"),
    Event(15, "plant", {"count": 100}, "b"),
]


def play(kind: type[Run], members: int, days: int, steps: int = 24) -> tuple[Run, float]:
    table = spread("pond", "cascade", True, 31.0)
    params = priors.draw(table, 1, members)
    began = time.perf_counter()
    run = kind(
        LOOP, params, start=date(2025, 3, 1), days=days, free_from=0, events=EVENTS,
        species={"f": Fish(tgc=1.0)}, steps_per_day=steps,
    )  # fmt: skip
    for d in range(days):
        run.day(d)
    return run, time.perf_counter() - began


def main() -> None:
    times = {}
    for members in (1, 100, 1000):
        _, times[members] = play(Run, members, DAYS)
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"{members:5d} member-years: {times[members]:7.2f} s, peak memory {peak:5.0f} MB")
    short = 60
    truth, exact = play(ExactRun, 1, short)
    exact_year = exact * DAYS / short
    print(f"LSODA rtol 1e-10, one member: {exact_year:.1f} s a year")
    print(f"ratio LSODA x 1000 / 1000 member-years: {exact_year * 1000 / times[1000]:.0f}")
    # equal error: loosen LSODA until its nitrite is as wrong as the hourly scheme's
    run, _ = play(Run, 1, short)
    error = np.abs(run.columns["no2_mg_l"].astype(float) - truth.columns["no2_mg_l"]).max()
    for rtol in (1e-2, 1e-3, 1e-4, 1e-6):
        loose_kind = type("Loose", (ExactRun,), {"rtol": rtol, "atol": rtol * 0.1})
        loose, spent = play(loose_kind, 1, short)
        wrong = np.abs(loose.columns["no2_mg_l"].astype(float) - truth.columns["no2_mg_l"]).max()
        ratio = spent * DAYS / short * 1000 / times[1000]
        print(f"LSODA rtol {rtol:.0e}: nitrite off by {wrong:.1e} (hourly scheme {error:.1e}), {ratio:.0f} x the time")


if __name__ == "__main__":
    main()
