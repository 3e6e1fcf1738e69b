"""Made-up households and loops for the planting plan, and the full model as judge of what it promises."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from uuid import UUID

import numpy as np

from rillbed.engine import forecast
from rillbed.engine.future import Sowing
from rillbed.garden.household import wishable
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.beds.draws import NEUTRAL_BASE, WEEK, budget_future
from rillbed.plan.beds.plan import Effort, plan_beds
from rillbed.plan.nutrients import COLUMN, FLOORS

START = date(2031, 3, 1)
WISHES = (
    "leafy",
    "leafy_western",
    "asian_green",
    "herb",
    "basil",
    "tomato_bush",
    "root",
    "legume",
    "lettuce_cos",
    "chard",
)
KEPT_MG_L = {"k": 30.0, "ca": 40.0, "mg": 15.0, "p": 6.0, "fe": 2.0}


def made_up(seed):
    """One loop with its household: running, with fish, beds of all kinds, some elements kept by additions."""
    rng = np.random.default_rng(seed)
    volume = float(rng.uniform(400, 3000))
    area = float(rng.uniform(0.6, 5.0)) * volume / 1000.0
    split = float(rng.uniform(0.3, 0.7))
    fish = max(4, round(volume / 1000.0 * rng.uniform(3, 20)))
    names = rng.choice(WISHES, size=int(rng.integers(2, 5)), replace=False)
    wishes = {str(name): float(rng.uniform(1, 12)) for name in names}
    hated = [c for c in wishable()["leafy"] if rng.random() < 0.1 and c not in wishes]
    system = System.make(
        {
            "name": f"loop {seed}", "latitude_deg": 43.6, "place": str(rng.choice(["indoors", "greenhouse"])),
            "tanks": [{"name": "tank", "volume_l": volume}],
            "beds": [
                {"name": "raft", "kind": "raft", "area_m2": area * split, "water_depth_cm": 20},
                {"name": "gravel", "kind": "media", "area_m2": area * (1 - split), "depth_cm": 30},
            ],
            "startup_path": "running", "started_on": START, "seeding": "mature", "aeration": "strong",
            "heater_set_c": float(rng.uniform(20, 25)), "feed": "pellet_36",
            "source_water": {
                "alkalinity_meq_l": 2.5, "ca_mg_l": float(rng.uniform(20, 90)), "mg_mg_l": float(rng.uniform(3, 15)),
                "k_mg_l": 2.0, "no3_n_mg_l": 2.0,
            },
            "household": {"servings_week": wishes, "dislikes": hated, "buys_seedlings": bool(rng.random() < 0.5)},
            "seed_tray_places": int(rng.integers(20, 200)),
        }
    )  # fmt: skip
    # Some loops keep everything but nitrogen in stock; in others phosphorus or magnesium may run short too.
    added = frozenset({"k", "fe", "ca", *(e for e in ("p", "mg") if rng.random() < 0.6)})
    came = datetime.combine(START, time(8), UTC) + timedelta(days=1)
    payload = {"species": "nile_tilapia", "count": fish, "weight": "80 g"}
    log = (LogEntry.make({"uuid": UUID(int=seed + 1), "at": came, "kind": "fish_in", "payload": payload}),)
    return system, log, added


def rules(system, log, on, added, plan=None, more=1.0):
    """Rules of the judge: as the budget's, with the additions, and with the plan's own plantings."""
    future = budget_future(system, log, on)
    kept = tuple((e, KEPT_MG_L[e]) for e in sorted(added))
    sowings = ()
    if plan is not None:
        sowings = tuple(Sowing(b.crop, more * b.count, b.plant_on) for b in plan.batches if b.source != "standing")
    assert future.base_element == NEUTRAL_BASE
    return replace(future, supplement_to_mg_l=kept, plantings=sowings)


def broken(run, bare, on, weeks, elements):
    """Members in which the plan takes an element below its floor: (share broken, the same without the plan)."""
    first = run.index(on)
    rows = slice(first, first + WEEK * weeks)
    with_plan, without = np.zeros(run.members, bool), np.zeros(run.members, bool)
    for element in elements:
        low = run.columns[COLUMN[element]][rows] < FLOORS[element] - 1e-3
        was = bare.columns[COLUMN[element]][rows] < FLOORS[element] - 1e-3
        with_plan |= (low & ~was).any(axis=0)
        without |= was.any(axis=0)
    return float(run.weights[with_plan].sum()), float(run.weights[without].sum())


def tried(seed, *, members=40, wait=100, horizon=143, confidence=0.8, effort=None, more=1.0, fresh=0):
    """Plan one made-up loop and let the full model judge.

    ``more`` times the plants are judged; with ``fresh`` the judge draws so many members the plan has not seen.
    Gives the plan, the share of members in which it breaks a budget, and the share broken without it.
    """
    system, log, added = made_up(seed)
    on = START + timedelta(days=wait)
    about = {"on": on, "horizon_days": horizon}
    bare = forecast(system, log, members=members, future=rules(system, log, on, added), **about)
    stop = effort or Effort(gap=0.05, nodes=50)
    plan = plan_beds(system, log, bare, on, confidence=confidence, supplemented=added, effort=stop)
    if fresh:
        about |= {"first_member": members, "members": fresh}
        bare = forecast(system, log, future=rules(system, log, on, added), **about)
    else:
        about |= {"members": members}
    run = forecast(system, log, future=rules(system, log, on, added, plan, more), **about)
    judged = tuple(e for e in FLOORS if e not in added and e not in plan.missing)
    return plan, *broken(run, bare, on, len(plan.weeks), judged)
