"""Published growth of fish against what the model expects of the species before it has seen a weighing."""

import tomllib
import uuid
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from pathlib import Path

import numpy as np

from rillbed import engine
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from validation.loops import RUNNING, START, indoors

FISH = 1
MEMBERS = 200
READING = 0.03  # most of the series were read off printed figures
LARGE = """
feed = "{feed}"
tanks = [{{ name = "Tank", volume_l = 90000 }}]
beds = [{{ name = "Filter", kind = "media", medium = "volcanic_gravel", area_m2 = 10, depth_cm = 30 }}]
"""


@dataclass(frozen=True)
class Series:
    """One published series: weights in g on days, at a constant temperature, with the ration where it was fixed."""

    id: str
    species: str
    temp_c: float
    feed: str
    source: str
    day: tuple[float, ...]
    weight_g: tuple[float, ...]
    ration: float | None = None


@dataclass(frozen=True)
class Outcome:
    """How a series fares: shares and errors, and the 8-in-10 range of the last weight."""

    series: Series
    inside: float
    low_g: float
    middle_g: float
    high_g: float

    @property
    def error(self) -> float:
        """Middle of the range at the end against the printed weight."""
        return self.middle_g / self.series.weight_g[-1] - 1.0

    @property
    def holds(self) -> bool:
        """Tell whether the range holds the last weight, as well as it could be read."""
        end = self.series.weight_g[-1]
        return self.low_g <= end * (1 + READING) and end * (1 - READING) <= self.high_g


def load() -> list[Series]:
    """Read the series."""
    rows = tomllib.loads(Path(__file__).with_name("growth.toml").read_text(encoding="utf-8"))["series"]
    return [Series(**{k: tuple(v) if isinstance(v, list) else v for k, v in row.items()}) for row in rows]


def loop_of(series: Series) -> System:
    """Give a tank so large and airy that only temperature and feed matter."""
    return indoors("Published growth", series.temp_c, RUNNING + LARGE.format(feed=series.feed))


def log_of(series: Series) -> list[LogEntry]:
    """Stock the fish at the first weight; where the ration was fixed, feed it on the weights printed."""
    first, last = series.day[0], series.day[-1]
    entries = [entry(0, 6, "fish_in", {
        "species": series.species, "count": FISH, "weight": f"{series.weight_g[0]} g", "group": "fish",
    })]  # fmt: skip
    for d in range(int(last - first) if series.ration else 0):
        weight = np.exp(np.interp(first + d, series.day, np.log(series.weight_g)))
        amount = f"{FISH * (series.ration or 0.0) * weight:.4f} g"
        entries.append(entry(d, 12, "feeding", {"feed": series.feed, "amount": amount}))
    return entries


def entry(day: int, hour: int, kind: str, payload: dict[str, object]) -> LogEntry:
    """Give an entry of a day and hour of the run."""
    at = datetime.combine(START, time(hour), UTC) + timedelta(days=day)
    name = uuid.uuid5(uuid.NAMESPACE_OID, f"{at} {kind}")
    return LogEntry.make({"uuid": name, "at": at, "author": "paper", "kind": kind, "payload": payload})


def compare(series: Series) -> Outcome:
    """Run the loop of a series and hold its range against the points."""
    system, entries = loop_of(series), log_of(series)
    days = int(np.ceil(series.day[-1] - series.day[0]))
    fixed = bool(series.ration)
    run = engine.forecast(
        system, entries, on=START + timedelta(days=days if fixed else 0), horizon_days=0 if fixed else days,
        members=MEMBERS, seed=1, future=engine.Future(feed_share=0.0 if series.ration == 0.0 else 1.0),
    )  # fmt: skip
    low, middle, high = (run.quantile("fish_weight_g", q) for q in (0.1, 0.5, 0.9))
    # a row holds the end of its day, the printed weight its morning
    rows = np.asarray(series.day) - series.day[0] - 1.0
    at = [np.interp(rows[1:], np.arange(run.days + 1), line) for line in (low, middle, high)]
    printed = np.asarray(series.weight_g[1:])
    inside = float(np.mean((at[0] <= printed * (1 + READING)) & (printed * (1 - READING) <= at[2])))
    return Outcome(series, inside, float(at[0][-1]), float(at[1][-1]), float(at[2][-1]))
