"""Seconds of a first answer and of the whole fit, by the age of a loop whose keeper writes down much.

Run with ``python -m benchmarks.fit`` (about four minutes). The log is made up: feed every day, a batch of fish every
eight months, a row of lettuce every six weeks, four tests a week, and a weighing and a water change each month. What
was read and weighed is that of one member of the model, with the errors of kits and scales.
"""

from __future__ import annotations

import os
import platform
import time
from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import UUID, uuid5

import numpy as np

from rillbed.fit import forecast
from rillbed.fit.follow import Look
from rillbed.fit.refit import EFFORTS, fit
from rillbed.fit.setting import Setting
from rillbed.garden.fold import effective
from rillbed.garden.kits import Kit
from rillbed.garden.log import LogEntry
from rillbed.garden.readings import Reading
from rillbed.garden.system import Bed, System, Tank

AGES = (60, 365, 3650)
START = date(2015, 3, 1)
BATCH, CROP, WEEK, MONTH, COUNT = 240, 42, 7, 30, 12
BASE_G = 60.0
SPACE = UUID("6ba7b810-9dad-11d1-80b4-00c04fd430c8")
STEPS = {
    "tan": (0, 0.1, 0.2, 0.5, 1, 2, 5), "no2": (0, 0.1, 0.2, 0.5, 1, 2, 5), "no3": (0, 2, 5, 10, 20, 50, 100),
    "ph": (6.0, 6.4, 6.8, 7.2, 7.6, 8.0, 8.4),
}  # fmt: skip
KITS = {
    q: Kit(name=q, quantity=q, unit="", steps=steps) if q == "ph"
    else Kit(name=q, quantity=q, unit="mg/L", basis="n", steps=steps)
    for q, steps in STEPS.items()
}  # fmt: skip
SYSTEM = System(
    name="benchmark", latitude_deg=45.0, place="indoors", heater_set_c=24.0, aeration="cascade", started_on=START,
    startup_path="running", tanks=(Tank(name="tank", volume_l=1000.0),), kits=tuple(KITS.values()),
    beds=(Bed(name="bed", kind="media", area_m2=2.0, water_depth_cm=15),),
)  # fmt: skip


def entry(day: int, kind: str, payload: dict[str, Any], hour: float = 9.0) -> LogEntry:
    """Make an entry of a day of the loop."""
    at = datetime(START.year, START.month, START.day, tzinfo=UTC) + timedelta(days=day, hours=hour)
    return LogEntry(uuid=uuid5(SPACE, f"{day}{kind}{payload}"), at=at, author="me", kind=kind, payload=payload)


def mass(grams: float) -> dict[str, object]:
    """Write grams as an entry does."""
    return {"value": grams, "unit": "g"}


def log_of(days: int) -> list[LogEntry]:
    """Make up the log of so many days."""
    log = []
    for d in range(days):
        batch, row = f"batch {d // BATCH}", f"row {d // CROP}"
        weight = 60.0 + 1.2 * (d % BATCH)
        if d % BATCH == 0:
            if d:
                log.append(entry(d, "fish_out", {"group": f"batch {d // BATCH - 1}", "count": COUNT}, 7.0))
            log.append(entry(d, "fish_in", {"species": "nile_tilapia", "count": COUNT, "weight": mass(60.0),
                                            "group": batch}))  # fmt: skip
        if d % CROP == 0:
            if d:
                log.append(entry(d, "picked", {"planting": f"row {d // CROP - 1}", "finished": True}, 7.0))
            planted = {"crop": "lettuce_loose", "count": 20, "bed": "bed", "planting": row}
            log.append(entry(d, "planted", planted, 8.0))
        log.append(entry(d, "feeding", {"feed": "pellet_36", "amount": mass(round(0.015 * weight * COUNT, 1)),
                                        "group": batch}))  # fmt: skip
        if d % MONTH == MONTH - 1:
            log.append(entry(d, "water_changed", {"volume": {"value": 200, "unit": "L"}}))
            log.append(entry(d, "dosed", {"substance": "potassium_bicarbonate", "amount": mass(BASE_G)}))
    return [*log, *seen(log, days)]


def seen(log: list[LogEntry], days: int) -> list[LogEntry]:
    """Read and weigh the middling member of the loop."""
    setting = Setting(SYSTEM, effective(log), START + timedelta(days=days - 1), START, 1)
    c = setting.coordinates()
    tests = [Look(d, q, 9.0) for d in range(WEEK - 1, days, WEEK) for q in STEPS]
    weighings = [Look(d, "fish_weight", None, f"batch {d // BATCH}") for d in range(MONTH - 1, days, MONTH)]
    run = setting.run(c, np.zeros((len(c.names), 1)), days=days, looks=[*tests, *weighings])
    for d in range(days):
        run.day(d)
    chance, found = np.random.default_rng(1), []
    for look in tests:
        value, steps = float(run.seen[look][0]), np.array(STEPS[look.what])
        value += chance.normal(0.0, 0.1) * (1.0 if look.what == "ph" else value)
        step = float(steps[np.searchsorted((steps[1:] + steps[:-1]) / 2.0, value)])
        found.append(entry(look.day, "reading", Reading.of_step(KITS[look.what], step).model_dump()))
    for look in weighings:
        total = 5 * float(run.seen[look][0]) * chance.lognormal(0.0, 0.1)
        found.append(entry(look.day, "fish_weighed", {"group": look.label, "count": 5, "total": mass(round(total))}))
    return found


def main() -> None:
    """Fit the loop at each age, and print what it took."""
    print(f"{platform.machine()}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}")
    print("  days  entries  effort  fit s  of it cpu s  forecast s  taken in  effective points")
    whole = log_of(AGES[-1])
    for days in AGES:
        log = [e for e in whole if (e.at.date() - START).days < days]
        on = START + timedelta(days=days - 1)
        for effort in EFFORTS:
            began, busy = time.perf_counter(), time.process_time()
            posterior = fit(SYSTEM, log, on=on, budget=effort, members=200)  # type: ignore[arg-type]
            fitted, worked = time.perf_counter(), time.process_time() - busy
            forecast(SYSTEM, log, on=on, horizon_days=60, members=200, posterior=posterior)
            ran = time.perf_counter()
            print(
                f"{days:6d} {len(log):8d}  {effort:6s} {fitted - began:6.1f} {worked:12.1f} {ran - fitted:11.1f}"
                f" {posterior.reached:9.2f} {posterior.effective:17.0f}", flush=True,
            )  # fmt: skip


if __name__ == "__main__":
    main()
