"""Published growth forecast from its own first third: weigh-ins as evidence of the program's own fit, then the end."""

from dataclasses import dataclass
from datetime import timedelta

import numpy as np

from rillbed import engine, fit
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from validation.growth import READING, START, Series, entry, loop_of

MEMBERS = 120
COUNT = 30  # the weights printed are means of many
ALLOWED = 0.20  # error at the end
PINCH_G = 0.001  # feed of a day on which fish are starved: a log cannot say "nothing"
ROUNDS = 2  # a ration by weight needs the weight it leads to


@dataclass(frozen=True)
class Third:
    """How the end of a series is foreseen from its first third.

    Attributes
    ----------
    weighed : int
        Weigh-ins used, the first weight apart.
    until : int
        Day of the last of them, from the first weight.
    """

    series: Series
    weighed: int
    until: int
    low_g: float
    middle_g: float
    high_g: float

    @property
    def error(self) -> float:
        """Middle of the range at the end against the printed weight."""
        return self.middle_g / self.series.weight_g[-1] - 1.0

    @property
    def close(self) -> bool:
        """Tell whether the middle is as near to the end as was asked for."""
        return abs(self.error) <= ALLOWED

    @property
    def holds(self) -> bool:
        """Tell whether the range holds the last weight, as well as it could be read."""
        end = self.series.weight_g[-1]
        return self.low_g <= end * (1 + READING) and end * (1 - READING) <= self.high_g


def in_third(series: Series) -> int:
    """Count the weights after the first that lie in the first third of the time."""
    first, last = series.day[0], series.day[-1]
    return sum(0 < day - first <= (last - first) / 3.0 for day in series.day)


def log_of(series: Series, weighed: int) -> list[LogEntry]:
    """Give the log until the last weigh-in used: fish in, what they were given, and the weigh-ins."""
    days = [round(day - series.day[0]) for day in series.day[: weighed + 1]]
    log = [entry(0, 6, "fish_in", {
        "species": series.species, "count": COUNT, "weight": f"{series.weight_g[0]} g", "group": "fish",
    })]  # fmt: skip
    for day, weight in zip(days[1:], series.weight_g[1:], strict=False):
        log.append(entry(day, 6, "fish_weighed", {"group": "fish", "count": COUNT, "total": f"{COUNT * weight} g"}))
    if series.ration is not None:
        known = np.exp(np.interp(range(days[-1]), days, np.log(series.weight_g[: weighed + 1])))
        log += fed(series, 0, known)
    return log


def fed(series: Series, first: int, weight_g: np.ndarray) -> list[LogEntry]:
    """Give the fixed ration by the weights of the days from `first` on."""
    amounts = [max(COUNT * (series.ration or 0.0) * w, PINCH_G) for w in weight_g]
    return [
        entry(first + i, 12, "feeding", {"feed": series.feed, "amount": f"{grams:.4f} g"})
        for i, grams in enumerate(amounts)
    ]


def foresee(series: Series) -> Third:
    """Fit the first third of a series and forecast its end; nothing of the rest is used."""
    system, weighed = loop_of(series), in_third(series)
    log = log_of(series, weighed)
    until = round(series.day[weighed] - series.day[0])
    on, last = START + timedelta(days=until), series.day[-1] - series.day[0]
    posterior = fit.fit(system, log, on=on, members=MEMBERS, seed=1, budget="quick")
    days = int(np.ceil(last)) - until
    made = _ahead(system, log, posterior, until, days, ())
    for _ in range(ROUNDS if series.ration is not None else 0):
        weight = made.quantile("fish_weight_g", 0.5)[until : until + days]
        made = _ahead(system, log, posterior, until, days, tuple(fed(series, until + 1, weight)))
    # a row holds the end of its day, the printed weight its morning
    at = [np.interp(last - 1.0, range(made.days + 1), made.quantile("fish_weight_g", q)) for q in (0.1, 0.5, 0.9)]
    return Third(series, weighed, until, *(float(x) for x in at))


def _ahead(
    system: System, log: list[LogEntry], posterior: fit.Posterior, until: int, days: int, planned: tuple[LogEntry, ...],
) -> engine.Forecast:  # fmt: skip
    return fit.forecast(
        system, log, on=START + timedelta(days=until), horizon_days=days, members=MEMBERS, seed=1,
        posterior=posterior, future=engine.Future(planned=planned),
    )  # fmt: skip


def all_of(series: list[Series]) -> list[Third]:
    """Foresee each series that was weighed in its first third."""
    return [foresee(one) for one in series if in_third(one)]
