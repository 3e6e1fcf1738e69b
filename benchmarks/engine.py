"""Member-years of the full model, and LSODA for each member on the same right-hand side, at equal error.

Run with ``python benchmarks/engine.py`` (about two minutes). Read the ratios: seconds belong to one machine.
"""

import os
import platform
import resource
import time
from concurrent.futures import ProcessPoolExecutor, wait
from datetime import date
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from rillbed.engine import pack
from rillbed.engine.cropping import crop_of
from rillbed.engine.exact import ExactRun
from rillbed.engine.inputs import Event
from rillbed.engine.members import drawn
from rillbed.engine.simulate import Run
from rillbed.garden.system import Bed, System, Tank

YEAR, SHORT, PILOT = 365, 40, 6  # days, days, members
SIZES = (1, 100, 1000)
TOLERANCES = (1e-1, 1e-2, 1e-3, 1e-4, 1e-6)
CPU = Path("/proc/cpuinfo")
BOUNDS = {"tan_mg_l": (0.05, 0.1), "no2_mg_l": (0.05, 0.1), "no3_mg_l": (0.02, 0.5)}  # share and least that count
START = date(2025, 3, 1)
SYSTEM = System(
    name="benchmark", latitude_deg=40.0, place="greenhouse", tanks=(Tank(name="tank", volume_l=1300),),
    beds=(Bed(name="bed", kind="media", area_m2=4.0),), seeding="none", aeration="cascade", startup_path="stocked",
    feed="pellet_32", water_temp_c=(25.0,) * 12, started_on=START,
)  # fmt: skip
EVENTS = [
    Event(0, "fish_in", {"count": 25, "weight_g": 30}, "nile_tilapia"),
    Event(0, "plant", {"count": 40}, "lettuce_loose"),
    Event(15, "plant", {"count": 40}, "basil"),
]


def play(kind: type[Run], members: int, days: int, first: int = 0, steps_per_day: int = 24) -> tuple[Run, float]:
    """Run some members; gives the run and the seconds its days took."""
    loop, params = drawn(SYSTEM, 1, members, first)
    run = kind(
        loop, params, start=START, days=days, free_from=0, events=EVENTS,
        species={"nile_tilapia": pack.fish_of("nile_tilapia")},
        crops={crop: crop_of(crop) for crop in ("lettuce_loose", "basil")}, steps_per_day=steps_per_day,
    )  # fmt: skip
    began = time.perf_counter()
    for d in range(days):
        run.day(d)
    return run, time.perf_counter() - began


def year_of(members: int) -> tuple[float, float]:
    """Seconds and peak MB of a year, in a process that did nothing else but load what it needs."""
    play(Run, 1, 1)
    _, seconds = play(Run, members, YEAR)
    return seconds, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def apart(members: int) -> tuple[float, float]:
    """Do `year_of` in a fresh process."""
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        return pool.submit(year_of, members).result()


def half_of(first: int) -> dict[str, np.ndarray]:
    """Give the columns of half of the members of the largest size for a year."""
    return play(Run, SIZES[-1] // 2, YEAR, first)[0].columns


def shared() -> float:
    """Seconds of a year of the largest size, half of it in each of two processes that are ready, columns and all."""
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        wait([pool.submit(year_of, 1) for _ in range(4)])
        took = []
        for _ in range(3):
            began = time.perf_counter()
            list(pool.map(half_of, (0, SIZES[-1] // 2)))
            took.append(time.perf_counter() - began)
    return min(took)


def one_by_one(rtol: float) -> tuple[list[Run], float]:
    """LSODA for each member alone; gives the runs and the seconds of a member-year."""
    kind = type("Lsoda", (ExactRun,), {"rtol": rtol, "atol": rtol})
    runs, spent = zip(*(play(kind, 1, SHORT, first) for first in range(PILOT)), strict=True)
    return list(runs), sum(spent) / PILOT * YEAR / SHORT


def error(runs: list[Run], truth: list[Run]) -> float:
    """Worst difference over members, days and the three forms of nitrogen, in units of what counts."""
    return max(
        float(np.max(np.abs(a.columns[n] - b.columns[n]) / (share * b.columns[n] + least)))
        for a, b in zip(runs, truth, strict=True)
        for n, (share, least) in BOUNDS.items()
    )


def machine() -> str:
    """Name the machine the seconds belong to."""
    name = platform.processor() or platform.machine()
    if CPU.exists():
        with CPU.open() as lines:
            name = next((line.split(":")[1].strip() for line in lines if line.startswith("model name")), name)
    return f"{name}, {os.cpu_count()} cores, Python {platform.python_version()}, numpy {np.__version__}"


def main() -> None:
    """Measure and print."""
    print(machine())
    print(f"\n{'member-years':>12} {'seconds':>8} {'ms each':>8} {'peak MB':>8}")
    seconds = {}
    for members in SIZES:
        seconds[members], peak = apart(members)
        print(f"{members:12d} {seconds[members]:8.2f} {1e3 * seconds[members] / members:8.1f} {peak:8.0f}")
    print(f"{SIZES[-1]:12d} {shared():8.2f}  half of them in each of two processes, best of three")
    truth, tight = one_by_one(1e-10)
    ours = error([play(Run, 1, SHORT, first)[0] for first in range(PILOT)], truth)
    print(f"\nError: worst of {PILOT} members, {SHORT} days, in units of 5 % + 0.1 mg/L (nitrate 2 % + 0.5 mg/L)")
    print(f"Time: LSODA for each member alone over the hourly scheme at {' / '.join(map(str, SIZES))} members\n")
    print(f"{'':>16} {'error':>8}  times as long")
    print(f"{'hourly scheme':>16} {ours:8.2g}  1")
    for rtol in TOLERANCES:
        try:
            with np.errstate(all="ignore"):
                runs, each = one_by_one(rtol)
        except (ValueError, RuntimeError):  # a state went where none can be: below zero, then not a number
            print(f"{f'LSODA {rtol:.0e}':>16}    fails")
            continue
        row(f"LSODA {rtol:.0e}", error(runs, truth), each, seconds)
    row("LSODA 1e-10", 0.0, tight, seconds)


def row(name: str, wrong: float, each: float, seconds: dict[int, float]) -> None:
    """Print one line of the table of errors and ratios."""
    ratios = " / ".join(f"{each * members / spent:.0f}" for members, spent in seconds.items())
    print(f"{name:>16} {wrong:8.2g}  {ratios}")


if __name__ == "__main__":
    main()
