"""Run with ``python -m benchmarks.calibration [loops] [workers]`` from the root of the checkout: 200 loops by default.

The share of truths inside the 80 % band must lie between 67 and 91 % of 200 loops: the two-sided 1 % binomial bounds
of a true coverage of 75 to 85 %.
"""

import os
import sys
import time
from collections import defaultdict
from concurrent.futures import Executor, ProcessPoolExecutor

import numpy as np
from benchmarks.calibration.score import Score, score
from scipy.stats import binom


def bounds(loops: int) -> tuple[float, float]:
    """Two-sided 1 % bounds of the observed share for a true coverage between 75 and 85 %."""
    return binom.ppf(0.005, loops, 0.75) / loops, binom.ppf(0.995, loops, 0.85) / loops


def table(scores: list[Score]) -> list[tuple[str, int, int, float, float, float, float, float]]:
    """Per target and length: loops, share covered, its bounds, median width, and width over the prior's."""
    found = defaultdict(list)
    for s in scores:
        found[s.target, s.length].append(s)
    return [
        (target, length, len(mine), float(np.mean([s.covered for s in mine])), *bounds(len(mine)),
         float(np.median([s.width for s in mine])),
         float(np.median([s.width / max(s.prior_width, 1e-9) for s in mine])))
        for (target, length), mine in sorted(found.items())
    ]  # fmt: skip


def measure(loops: int, executor: Executor | None = None, first: int = 0) -> list[Score]:
    """Score `loops` starts and as many running loops, in any executor; the scores do not depend on it."""
    seeds = range(2 * first, 2 * (first + loops))
    return [s for scores in (executor.map(score, seeds) if executor else map(score, seeds)) for s in scores]


def main() -> None:
    """Measure and print."""
    loops = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    workers = int(sys.argv[2]) if len(sys.argv) > 2 else os.cpu_count()
    began = time.perf_counter()
    with ProcessPoolExecutor(workers) as executor:
        scores = measure(loops, executor)
    print(f"{'target':24}{'log':>5}{'loops':>7}{'covered':>9}{'allowed':>14}{'width':>8}{'of prior':>10}")
    for target, length, n, share, low, high, width, ratio in table(scores):
        print(f"{target:24}{length:5d}{n:7d}{share:9.0%}{low:7.0%} -{high:5.0%}{width:8.2f}{ratio:10.0%}")
    short = np.mean([s.reached < 1.0 for s in scores])
    print(f"fits that could not take in the whole log: {short:.1%}; {time.perf_counter() - began:.0f} s")


if __name__ == "__main__":
    main()
