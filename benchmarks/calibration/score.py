"""One loop: fitted at several lengths of its log, held against what the true loop did."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

import numpy as np
from benchmarks.calibration.keeper import observed
from benchmarks.calibration.truth import DAYS, START

from rillbed import fit

LENGTHS = {0: (10, 18, 26), 1: (30, 60, 120)}  # days of log, of a start and of a running loop
AHEAD = {"nitrate in 30 days": ("no3_mg_l", 30), "fish weight in 60 days": ("fish_weight_g", 60)}
COMPLETION_DAYS = 110
SHORT_DAYS = 120  # of truth, where only the shortest log is scored
CHALLENGE_DAYS = 2  # a forecast counts challenges from its first day on


@dataclass(frozen=True)
class Score:
    """One forecast against the truth; widths are of the 80 % band, in days or on the ln scale."""

    seed: int
    target: str
    length: int
    covered: bool
    place: float  # of the truth among the members, 0 to 1
    width: float
    prior_width: float
    reached: float
    effective: float


def band(values: np.ndarray) -> tuple[float, float]:
    """10 and 90 % of members of one weight."""
    return tuple(np.quantile(values, [0.1, 0.9], method="inverted_cdf"))


def score(seed: int, shortest: bool = False) -> list[Score]:
    """Fit one synthetic loop at each length of its log, or at the shortest alone."""
    system, log, truth = observed(seed, SHORT_DAYS if shortest else DAYS)
    result = []
    for length in LENGTHS[seed % 2][: 1 if shortest else None]:
        on = START + timedelta(days=length)
        if seed % 2 == 0 and not truth.completion[0] > length + CHALLENGE_DAYS:
            continue  # done, or being certified by the log itself: nothing to forecast
        posterior = fit.fit(system, log, on=on)
        blind = fit.fit(system, [e for e in log if e.kind not in ("reading", "fish_weighed")], on=on)
        ahead = COMPLETION_DAYS - length if seed % 2 == 0 else 60
        runs = [fit.forecast(system, log, on=on, horizon_days=ahead, posterior=p) for p in (posterior, blind)]
        for target, true, values in _targets(seed, length, truth, runs):
            low, high = band(values[0])
            slack = 0.5 if target == "completion day" else 0.0
            place = float((np.mean(values[0] < true) + np.mean(values[0] <= true)) / 2.0)
            result.append(Score(
                seed, target, length, bool(low - slack <= true <= high + slack), place, high - low,
                float(np.diff(band(values[1]))[0]), posterior.reached, posterior.effective,
            ))  # fmt: skip
    return result


def _targets(seed, length, truth, runs):
    if seed % 2 == 0:
        done = [np.nan_to_num(f.completion, nan=COMPLETION_DAYS) for f in runs]
        yield "completion day", min(float(truth.completion[0]), COMPLETION_DAYS), done
        return
    for target, (column, days) in AHEAD.items():
        true = float(np.log(truth.columns[column][length + days, 0] + 1e-3))
        yield target, true, [np.log(f.columns[column][length + days] + 1e-3) for f in runs]
