"""What would sharpen the forecast: things to weigh, count or write down that the log lacks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from rillbed import facts
from rillbed.engine.result import Array, Forecast
from rillbed.fit.setting import Setting
from rillbed.garden.log import LogEntry
from rillbed.garden.readings import Reading

if TYPE_CHECKING:
    from rillbed.fit.posterior import Posterior

# What each act can teach: names of the members' numbers that it bears on.
TEACHES: dict[str, tuple[str, ...]] = {
    "weigh_harvest": ("dm_gain",),
    "log_topup": ("et_factor",),
    "weigh_scoop": ("scoop",),
    "weigh_fish": ("tgc_factor", "fcr_factor", "arrived"),
    "test_potassium": ("k_lux_pct", "k_crit_pct"),
    "test_alkalinity": ("kla_o2", "respiration"),
    "measure_temperature": ("season",),
    "ask_kit_basis": (),
}


@dataclass(frozen=True)
class Sharper:
    """One act, and the share of a forecast's variance that lies in what it would teach (0 where none is meant)."""

    act: str
    share: float


def sharpen(posterior: Posterior, outcome: Array | None = None) -> tuple[Sharper, ...]:
    """List what the log lacks, what matters most first.

    Parameters
    ----------
    posterior : Posterior
        A fit of the loop.
    outcome : (members,), optional
        What is to be sharpened, of the same members in their order (`posterior.members` of them).
    """
    found = [Sharper(act, _share(posterior, TEACHES[act], outcome)) for act in _lacking(posterior.setting)]
    return tuple(sorted(found, key=lambda s: -s.share))


def outcome_of(forecast: Forecast, column: str, days: int) -> Array:
    """Give a column some days after the day of the forecast, (members,)."""
    return np.asarray(forecast.columns[column][(forecast.on - forecast.start).days + days], np.float64)


def _share(posterior: Posterior, names: tuple[str, ...], outcome: Array | None) -> float:
    if outcome is None or not names:
        return 0.0
    c = posterior.coordinates
    rows = [i for i, n in enumerate(c.names) if n.split(".")[0].split(":")[0] in names]
    y = outcome - outcome.mean()
    if not rows or not np.any(y):
        return 0.0
    x = posterior.z[rows] - posterior.z[rows].mean(axis=1, keepdims=True)
    slope = np.linalg.lstsq(x.T, y, rcond=None)[0]
    return float(np.clip(1.0 - np.var(y - x.T @ slope) / np.var(y), 0.0, 1.0))


def _lacking(setting: Setting) -> list[str]:
    kinds = {e.kind for e in setting.entries}
    read = {e.payload.quantity for e in setting.entries if isinstance(e.payload, Reading)}
    acts = []
    if "planted" in kinds and not any(_harvest_weighed(e) for e in setting.entries):
        acts.append("weigh_harvest")
    if setting.now.beds and "topped_up" not in kinds:
        acts.append("log_topup")
    if "feeding" in kinds:
        acts.append("weigh_scoop")
    if "fish_in" in kinds and not _weighed_lately(setting):
        acts.append("weigh_fish")
    if "planted" in kinds and "k" not in read:
        acts.append("test_potassium")
    if "ph" in read and "alkalinity" not in read:
        acts.append("test_alkalinity")
    if setting.guesses_season:
        acts.append("measure_temperature")
    if any(k.basis is None and k.quantity in ("tan", "no2", "no3") for k in setting.now.kits):
        acts.append("ask_kit_basis")
    return acts


def _harvest_weighed(e: LogEntry) -> bool:
    return e.kind == "picked" and getattr(e.payload, "amount", None) is not None


def _weighed_lately(setting: Setting) -> bool:
    last = max((w.day for w in setting.weighings), default=-10_000)
    return setting.days - last < facts.value("fit.old_weighing")
