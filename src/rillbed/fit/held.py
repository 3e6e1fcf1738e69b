"""What the water holds as a window begins: by tests shortly before it, by the salt balance, or by what is usual."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import numpy as np

from rillbed import facts
from rillbed.engine import pack
from rillbed.engine.inputs import Loop
from rillbed.engine.state import MINERALS, S
from rillbed.fit.noise import bias_of, kind_of, noise_of
from rillbed.garden.log import LogEntry
from rillbed.garden.readings import Reading
from rillbed.garden.state import LoopState
from rillbed.garden.system import System

READ_DAYS = facts.value("fit.begin_read_days")
DRIFT = facts.value("fit.begin_drift")
UNREAD = facts.value("fit.begin_unread_spread")
UNREAD_ALK = facts.value("fit.begin_alkalinity_spread")
LEAST_G_M3 = 0.01
STAYS = ("na", "cl", "s")  # hardly taken up: only what comes in and leaves with water counts


@dataclass(frozen=True)
class Held:
    """One row of the state: median in the unit of the state, and ln-spread."""

    name: str
    row: int
    median: float
    spread: float


def held_of(system: System, loop: Loop, entries: Sequence[LogEntry], state: LoopState, begin: date) -> tuple[Held, ...]:
    """Give what the water holds at the beginning of day `begin`, from the log before it."""
    unread = _unread(system, loop, entries, begin)
    rows = {"no3": S.NO3, "alkalinity": S.ALK, **MINERALS}
    found = []
    for name, row in rows.items():
        read = _read(system, state, name, begin)
        median, spread = read or (unread[name], UNREAD_ALK if name == "alkalinity" else UNREAD)
        found.append(Held(name, int(row), max(median, LEAST_G_M3), spread))
    return tuple(found)


def _read(system: System, state: LoopState, quantity: str, begin: date) -> tuple[float, float] | None:
    """Geometric mean and spread by the tests of a quantity shortly before `begin`; None without any."""
    first = begin - timedelta(days=READ_DAYS)
    readings = [
        r.reading for r in state.readings.get(quantity, ()) if system.day_of(r.at) >= first and _ends(r.reading)
    ]  # fmt: skip
    if not readings:
        return None
    middles, spreads = [], []
    for r in readings:
        noise = noise_of(system, r)
        low, high = _ends(r) or (0.0, 0.0)
        kit = next((k for k in system.kits if k.name == r.kit and k.quantity == r.quantity), None)
        bias, sd = bias_of(quantity, kind_of(kit, r))
        middles.append(np.log(max(0.5 * (low + high), noise.least)) - bias)
        width = np.log((high + noise.least) / (low + noise.least))
        relative = noise.sd / max(0.5 * (low + high), noise.least) if noise.additive else noise.sd
        spreads.append(np.sqrt(relative**2 + width**2 / 12.0 + sd**2))
    return float(np.exp(np.mean(middles))), float(np.hypot(np.mean(spreads), DRIFT))


def _ends(r: Reading) -> tuple[float, float] | None:
    """Give both ends of what was read, an open one at twice or half the other; None for nothing at all."""
    low, high = r.interval
    if high is None:
        return None if low is None else (low, 2.0 * low)
    return (low or 0.0, high)


def _unread(system: System, loop: Loop, entries: Sequence[LogEntry], begin: date) -> dict[str, float]:
    source = {e: float(np.max(loop.source.ions[e])) for e in MINERALS}
    usual = {e: max(facts.value(f"fit.begin_{e}"), source[e]) for e in ("no3", "k", "p", "fe") if e in source}
    usual["no3"] = facts.value("fit.begin_no3")
    salts = _salts(system, loop, entries, begin)
    alk = facts.choice("run.base_target_meq_l")
    return {"alkalinity": alk, "ca": source["ca"], "mg": source["mg"], **usual, **salts}


def _salts(system: System, loop: Loop, entries: Sequence[LogEntry], begin: date) -> dict[str, float]:
    """Follow the salts nothing takes up over the whole log: what evaporates leaves them, what is drained takes them."""
    volume = float(np.max(loop.volume_m3))
    source = np.array([float(np.max(loop.source.ions[e])) for e in STAYS])
    open_mm, et_mm, rain_mm = (np.mean(np.stack(mm)) for mm in (loop.open_mm, loop.et_mm, loop.rain_mm))
    out = open_mm * loop.surface_m2 + et_mm * loop.bed_area_m2 - rain_mm * loop.catch_m2
    gone = 1e-3 * float(np.max(out)) / volume  # of the water a day
    held, day = source + 0.0, system.started_on
    for e in entries:
        if e.kind not in ("dosed", "water_changed"):
            continue
        p: Any = e.payload
        held, day = _stood(held, source, gone, (system.day_of(e.at) - day).days), system.day_of(e.at)
        if e.kind == "dosed":
            brought = pack.dose_grams(p, system.products)
            held = held + np.array([brought.get(s, 0.0) for s in STAYS]) / volume
        else:
            share = min(p.litres / 1000.0 / volume, 0.95)
            held = held + share * (source - held)
    held = _stood(held, source, gone, (begin - day).days)
    return {name: float(x) for name, x in zip(STAYS, held, strict=True)}


def _stood(held: np.ndarray, source: np.ndarray, gone: float, days: int) -> np.ndarray:
    """Salts after some days: source water takes the place of what evaporates, or rain makes the loop run over."""
    if gone >= 0.0:
        return np.asarray(held + source * gone * max(days, 0))
    return np.asarray(held * np.exp(gone * max(days, 0)))
