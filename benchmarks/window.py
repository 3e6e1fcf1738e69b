"""How often the bands of a whole year and those of its last half hold the truth, over made-up loops.

Run with ``python -m benchmarks.window 39`` (about five minutes). The loop is that of `tests/fit/test_window_same.py`;
each truth is one member drawn from the model, read by kits that have a bias of their own.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from datetime import timedelta

import numpy as np
from tests.fit.conftest import START, entry, reading
from tests.fit.test_window_same import BEGIN, DAYS, ON, STEPS, SYSTEM, kept

from rillbed import fit
from rillbed.fit.follow import Followed, Look
from rillbed.fit.setting import Setting

AHEAD = 30
COLUMNS = ("no3_mg_l", "ph", "fish_weight_g")
READ, KIT_LN, KIT_PH, WEIGHED = 0.1, 0.1, 0.12, 0.11  # errors of a reading, a kit's bias (ln, pH), and a weighing
TESTS = [Look(d, q, 9.0) for d in range(7, DAYS, 14) for q in STEPS]
WEIGHINGS = [Look(d, "fish_weight", None, "a") for d in range(55, DAYS, 60)]


def made_up(seed: int) -> tuple[list, Followed]:
    """Run a truth, and read and weigh it: its log, and the run, thirty days longer."""
    log = kept()
    setting = Setting.of(SYSTEM, log, ON)
    days = DAYS + AHEAD + 1
    c = setting.coordinates(days=days)
    run = setting.run(c, c.draw(seed, 1, stream="truth:"), days=days, looks=[*TESTS, *WEIGHINGS])
    for d in range(days):
        run.day(d)
    chance = np.random.default_rng(seed)
    factor, shift = np.exp(KIT_LN * chance.normal()), KIT_PH * chance.normal()
    for look in TESTS:
        value, error = float(run.seen[look][0]), READ * chance.normal()
        value = value + shift + error if look.what == "ph" else value * factor * np.exp(error)
        steps = np.array(STEPS[look.what].steps)
        step = float(steps[np.searchsorted((steps[1:] + steps[:-1]) / 2.0, value)])
        log.append(reading(look.day, look.what, step, kit=STEPS[look.what]))
    for look in WEIGHINGS:
        grams = round(5 * float(run.seen[look][0]) * chance.lognormal(0.0, WEIGHED))
        total = {"value": grams, "unit": "g"}
        log.append(entry(look.day, "fish_weighed", {"group": "a", "count": 5, "total": total}))
    return log, run


def main(loops: int) -> None:
    """Fit each loop both ways, and print how many truths fell into the 8-in-10 bands."""
    held, widths = defaultdict(int), defaultdict(list)
    for seed in range(1, loops + 1):
        log, truth = made_up(seed)
        for name, begin in (("whole", None), ("window", START + timedelta(days=BEGIN))):
            posterior = fit.fit(SYSTEM, log, on=ON, begin=begin)
            ran = fit.forecast(SYSTEM, log, on=ON, horizon_days=AHEAD, members=400, posterior=posterior)
            for column in COLUMNS:
                for ahead in (0, AHEAD):
                    low, high = np.quantile(ran.at(column, ON + timedelta(days=ahead)), [0.1, 0.9])
                    held[name, column, ahead] += int(low <= truth.columns[column][DAYS - 1 + ahead][0] <= high)
                    widths[name, column, ahead].append(high - low)
    for (name, column, ahead), count in held.items():
        print(f"{name:7s} {column:14s} {ahead:3d} days ahead: {count} of {loops}, "
              f"mean width {np.mean(widths[name, column, ahead]):.3g}")  # fmt: skip


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 39)
