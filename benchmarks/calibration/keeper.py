"""What somebody writes down about a true loop: through coarse kits, with bias, haste and slips."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid5

import numpy as np
from benchmarks.calibration.truth import DAYS, START, Other, Wrong, play

from rillbed import facts
from rillbed.engine.pack import dose_grams
from rillbed.fit.follow import Look
from rillbed.garden.kits import Kit
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Dosed
from rillbed.garden.readings import Reading
from rillbed.garden.system import System

SPACE = UUID("6ba7b811-9dad-11d1-80b4-00c04fd430c8")
HOUR = 9.0
FINE = {"tan": (0, 0.1, 0.2, 0.5, 1, 2, 5, 10), "no2": (0, 0.1, 0.2, 0.5, 1, 2, 5, 10),
        "no3": (0, 2, 5, 10, 20, 50, 100, 200), "ph": (6, 6.5, 7, 7.5, 8, 8.5, 9)}  # fmt: skip
COARSE = {"tan": (0, 0.5, 1, 3, 6), "no2": (0, 0.5, 1, 5, 10), "no3": (0, 10, 25, 50, 100, 250),
          "ph": (6.2, 6.8, 7.2, 7.8, 8.4)}  # fmt: skip


def kits(wrong: Wrong) -> tuple[Kit, ...]:
    """Drops on a 1-2-5 card, or strips with few colours."""
    steps, kind = (COARSE, "strip") if wrong.kits else (FINE, "drops")
    return tuple(
        Kit(name=f"{q} {kind}", quantity=q, kind=kind, unit="" if q == "ph" else "mg/L",
            basis=None if q == "ph" else "n", steps=s)
        for q, s in steps.items()
    )  # fmt: skip


def looks(seed: int, days: int) -> tuple[Look, ...]:
    """Days on which the keeper tests, by the family of the loop."""
    every = 2 if seed % 2 == 0 else 7
    water = [Look(d, q, HOUR) for d in range(1, days, every) for q in FINE]
    weighed = [] if seed % 2 == 0 else [Look(d, "fish_weight") for d in range(30, days, 30)]
    return (*water, *weighed)


def write(day: int, hour: float, kind: str, payload: object) -> LogEntry:
    """Make an entry whose identity follows from what it says."""
    at = datetime(START.year, START.month, START.day, tzinfo=UTC) + timedelta(days=day, hours=hour)
    return LogEntry(uuid=uuid5(SPACE, f"{day}|{hour}|{kind}|{payload}"), at=at, kind=kind, payload=payload)


def observed(seed: int, days: int = DAYS) -> tuple[System, list[LogEntry], Other]:
    """Give a loop as its keeper knows it, the whole log, and the truth."""
    system, future, truth, wrong = play(seed, looks(seed, days), days)
    rng = np.random.default_rng([seed, 4])
    own = {k.quantity: k for k in kits(wrong)}
    system = system.model_copy(update={"kits": tuple(own.values())})
    ammonia = _dosed("ammonium_chloride", "tan", truth.columns["n_dose"][:, 0])
    did = ammonia if seed % 2 == 0 else _fed(truth, future, rng)
    base = _dosed("potassium_bicarbonate", "k", truth.based)
    log = [*_read(truth, own, wrong, rng), *did, *base]
    return system, sorted(log, key=lambda e: (e.at, e.uuid)), truth


def _read(truth: Other, own: dict[str, Kit], wrong: Wrong, rng: np.random.Generator) -> list[LogEntry]:
    bias = {q: rng.normal(0.0, 0.12 if q == "ph" else 0.2) for q in own}
    if wrong.kits:
        bias["no3"] += np.log(0.85)
    entries = []
    for look, value in sorted(truth.seen.items(), key=lambda item: (item[0].day, item[0].what)):
        if look.what == "fish_weight":
            mean = float(value[0] * np.exp(rng.normal(0.0, 0.03) + rng.normal(0.0, 0.25 / np.sqrt(6.0))))
            payload = {"group": "fish", "count": 6, "total": {"value": 6 * mean, "unit": "g"}}
            entries.append(write(look.day, HOUR, "fish_weighed", payload))
            continue
        kit = own[look.what]
        if rng.random() < 0.15:
            continue  # not tested that day
        error = rng.standard_t(4) / np.sqrt(2.0) if wrong.kits else rng.standard_normal()
        entries.append(
            write(look.day, HOUR, "reading", _step(kit, float(value[0]), bias[look.what], error, wrong, rng))
        )
    return entries


def _step(kit: Kit, value: float, bias: float, error: float, wrong: Wrong, rng: np.random.Generator) -> dict:
    slip, sd = (0.06, 0.45) if kit.kind == "strip" else (0.03, 0.25)
    if rng.random() < slip:
        return Reading.of_step(kit, float(rng.choice(kit.steps))).model_dump()
    if kit.quantity == "ph":
        shown = value + bias + error * (0.3 if kit.kind == "strip" else 0.15)
    else:
        least = 0.5 * kit.steps[1]
        shown = (value * np.exp(bias) + least) * np.exp(sd * error) - least
    middles = (np.array(kit.steps[:-1]) + np.array(kit.steps[1:])) / 2.0
    return Reading.of_step(kit, kit.steps[int(np.searchsorted(middles, shown))]).model_dump()


def _dosed(substance: str, brings: str, daily: Sequence[float]) -> list[LogEntry]:
    """Every dose of a substance, weighed to half a gram's tenth, from the grams of what it brings on each day."""
    per_gram = dose_grams(Dosed.make({"substance": substance, "amount": "1 g"}))[brings]
    return [
        write(
            d,
            0.0,
            "dosed",
            {"substance": substance, "amount": {"value": round(float(grams) / per_gram, 2), "unit": "g"}},
        )
        for d, grams in enumerate(daily)
        if grams > 1e-6
    ]


def _fed(truth: Other, future, rng: np.random.Generator) -> list[LogEntry]:
    """Stocking, planting and pickings as they were, and every day's feed by a scoop that is never weighed."""
    fish, sown = future.fish[0], future.plantings[0]
    scoop = np.exp(rng.normal(0.0, 0.1))
    guess = round(fish.weight_g * np.exp(rng.normal(0.0, 0.08)), 1)
    entries = [write(0, 0.0, "fish_in", {"species": fish.species, "count": int(fish.count), "group": "fish",
                                         "weight": {"value": guess, "unit": "g"}})]  # fmt: skip
    days = len(truth.columns["feed_g_day"])
    for d in range(days):
        grams = float(truth.columns["feed_g_day"][d, 0]) * scoop
        if grams > 0.05:
            entries.append(write(d, 8.0, "feeding", {"feed": "pellet_36", "group": "fish",
                                                     "amount": {"value": round(grams, 1), "unit": "g"}}))  # fmt: skip
    life = round(facts.crops()[sown.crop].days_in_bed_default)
    # a stand is cut on the evening its days are over; the next is planted before the morning
    for k, d in enumerate([0, *range(life + 1, days, life)]):
        if k:
            entries.append(write(d, 0.0, "picked", {"planting": f"batch {k - 1}", "finished": True}))
        entries.append(
            write(
                d, 0.1, "planted", {"crop": sown.crop, "count": int(sown.count), "bed": "bed", "planting": f"batch {k}"}
            )
        )
    return entries
