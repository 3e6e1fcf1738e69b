"""Write the invented log of `rillbed/garden/example`: a hidden loop is the truth, read through coarse kits.

The keeper follows simple habits (refill and hold, weekly tests, a batch of seedlings every few weeks). What the water
does is computed by the engine from what was logged so far, so the readings hang together. Run it again when the model
changes: ``python tools/make_example.py [FOLDER]``; the folder holds system.toml.
"""

from __future__ import annotations

import sys
import uuid
from datetime import UTC, datetime, time, timedelta
from pathlib import Path

import numpy as np

from rillbed import engine
from rillbed.fit.follow import Followed
from rillbed.fit.setting import Setting
from rillbed.garden import files
from rillbed.garden.log import LogEntry
from rillbed.garden.readings import Reading
from rillbed.plan import cycling

FOLDER = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parents[1] / "src/rillbed/garden/example"
DAYS = 364
TRUTH = {
    "mu_a": 0.4, "mu_n": 0.4, "cap_a0": 1.0, "cap_max": 0.5, "k_no2": -0.8, "tgc_factor": -0.3, "k_denit": 0.5,
    "dm_gain": 0.4, "kla_o2": -0.3,
}  # fmt: skip
"""The hidden loop: spreads of the prior from its median, all else in the middle."""
COLUMN = {
    "tan": "tan_mg_l",
    "no2": "no2_mg_l",
    "no3": "no3_mg_l",
    "ph": "ph",
    "alkalinity": "alkalinity_meq_l",
    "k": "k_mg_l",
}
STARTING = ("tan", "no2", "no3", "ph")
WEEKLY = ("tan", "no2", "no3", "ph", "alkalinity")
PLANTED = [  # days after the fish arrived, crop, count, bed, name
    (24, "chard", 6, "Gravel bed", "chard"),
    (66, "basil", 8, "Gravel bed", "basil"),
    (108, "parsley", 6, "Gravel bed", "parsley"),
    (213, "kale", 4, "Gravel bed", "kale"),
    *(
        (3 + 21 * i, ("lettuce_loose", "pak_choi", "lettuce_cos")[i % 3], min(6 + i, 16), "Raft", f"raft batch {i + 1}")
        for i in range(16)
    ),
]
CUT_AFTER = {"lettuce_loose": 42, "lettuce_cos": 49, "pak_choi": 42}
FRESH_G = {"lettuce_loose": 130, "lettuce_cos": 210, "pak_choi": 160}
FISH = 16


class Keeper:
    """Writes the log of one invented keeper, day by day."""

    def __init__(self) -> None:
        self.system = files.read_system(FOLDER / "system.toml")
        self.entries: list[LogEntry] = []
        self.luck = np.random.default_rng(4)
        self.run: Followed | None = None

    def write(self, day: int, hour: float, kind: str, payload: dict[str, object], author: str = "you") -> None:
        """Add one entry; its uuid follows from its place in the log."""
        at = datetime.combine(self.system.started_on, time(), UTC) + timedelta(days=day, hours=hour)
        name = uuid.uuid5(uuid.NAMESPACE_URL, f"rillbed example {len(self.entries)}")
        self.entries.append(LogEntry.make({"uuid": name, "at": at, "author": author, "kind": kind, "payload": payload}))

    def play(self, last: int, free_from: int) -> Followed:
        """Run the hidden loop to the end of day `last`; from `free_from` on the fish take what they would."""
        on = self.system.started_on + timedelta(days=free_from)
        setting = Setting.of(self.system, self.entries, on, seed=1)
        c = setting.coordinates(days=DAYS + 2)
        z = np.zeros((len(c.names), 1))
        for name, spreads in TRUTH.items():
            z[c.place(name)] = spreads
        run = setting.run(c, z, days=last + 1, future=engine.Future(), free_from=free_from)
        for d in range(last + 1):
            run.day(d)
        return run

    def true(self, column: str, day: int) -> float:
        """What the water holds at the end of the day before, as the hidden loop has it."""
        self.run = self.play(day - 1, day - 1)
        return float(self.run.columns[column][day - 1, 0])

    def test(self, day: int, quantities: tuple[str, ...]) -> dict[str, float]:
        """Read the kits: the step nearest to the truth with a reader's error."""
        self.true("ph", day)
        assert self.run is not None
        found: dict[str, float] = {}
        for kit in self.system.kits:
            if kit.quantity not in quantities:
                continue
            true = float(self.run.columns[COLUMN[kit.quantity]][day - 1, 0])
            if kit.quantity == "alkalinity":
                true *= 2.804  # the kit counts dKH
            error = self.luck.normal()
            seen = true + 0.1 * error if kit.quantity == "ph" else true * np.exp(0.15 * error)
            step = min(kit.steps, key=lambda s: abs(s - seen))
            self.write(day, 8.5, "reading", Reading.of_step(kit, step).model_dump(mode="json", exclude_none=True))
            found[kit.quantity] = step
        return found

    def ration(self, day: int) -> float:
        """Give what the fish would take today, g."""
        return float(self.play(day + 1, day).columns["feed_g_day"][day + 1, 0])

    def weigh(self, day: int) -> None:
        """Weigh a netful of six fish."""
        one = self.true("fish_weight_g", day) * np.exp(0.06 * self.luck.normal())
        self.write(day, 10, "fish_weighed", {"group": "carp", "count": 6, "total": f"{round(6 * one)} g"})

    def pick(self, day: int, name: str, crop: str, planted: int) -> None:
        """Cut heads when they are due; take leaves from the others every three weeks."""
        age = day - planted
        if crop in CUT_AFTER:
            if age == CUT_AFTER[crop]:
                count = next(count for _, _, count, _, batch in PLANTED if batch == name)
                grams = count * FRESH_G[crop] * np.exp(0.1 * self.luck.normal())
                self.write(day, 12, "picked", {"planting": name, "amount": f"{round(grams)} g", "finished": True})
        elif age >= 42 and age % 21 == 0:
            grams = 350 * np.exp(0.2 * self.luck.normal())
            self.write(day, 12, "picked", {"planting": name, "amount": f"{round(grams)} g"})

    def temperature(self, day: int) -> None:
        """Log the thermometer."""
        self.write(day, 8.4, "temperature", {"value": round(23 + 0.4 * self.luck.normal(), 1)})

    def grams(self, day: int, substance: str, grams: float, hour: float = 9) -> None:
        """Log a dose weighed on a kitchen scale."""
        self.write(day, hour, "dosed", {"substance": substance, "amount": f"{max(round(grams), 1)} g"})


def start_up(keeper: Keeper) -> int:
    """Refill and hold until two full doses were gone in a day each; gives the day the fish may come."""
    full = cycling.dose(keeper.system, "ammonium_chloride", 2.0)
    keeper.grams(1, "ammonium_chloride", full.amount + 1)
    proving = 0
    for day in range(3, 150):
        if day % 7 == 1:
            keeper.temperature(day)
        if not proving and day % 2 == 0:
            continue
        found = keeper.test(day, (*STARTING, "alkalinity") if day % 4 == 3 else STARTING)
        if found.get("alkalinity", 9) <= 3:
            keeper.grams(day, "potassium_bicarbonate", 120)
            keeper.grams(day + 1, "potassium_bicarbonate", 120)
        clear = found["tan"] <= 0.1 and found["no2"] <= 0.1
        if proving == 2 and clear:
            return day
        proving = proving + 1 if clear else 0
        if found["tan"] < 0.5 and found["no2"] < 5:
            keeper.grams(day, "ammonium_chloride", full.amount + 1)
    raise SystemExit("the hidden loop never completed; choose another truth")


def with_fish(keeper: Keeper, arrival: int) -> None:
    """Feed daily what the fish can use, test weekly, plant and pick by the list."""
    keeper.write(
        arrival, 16, "fish_in", {"species": "common_carp_koi", "count": FISH, "weight": "40 g", "group": "carp"}
    )
    beds = {name: (crop, when + arrival) for when, crop, _, _, name in PLANTED}
    feed = 0.0
    for day in range(arrival + 1, DAYS + 1):
        away = 211 <= day <= 219
        if (DAYS + 1 - day) % 7 == 0:  # so that the next test falls due on the day the example is opened
            found = keeper.test(day, WEEKLY + (("k",) if (DAYS + 1 - day) % 28 == 0 else ()))
            keeper.temperature(day)
            assert keeper.run is not None
            feed = 0.95 * float(keeper.ration(day)) * min(1.0, 0.2 + (day - arrival) / 28)
            if found["alkalinity"] <= 5:
                keeper.grams(day, "potassium_bicarbonate", 100)
            if found.get("k", 99) <= 10:
                keeper.grams(day, "potassium_sulfate", 140, 9.2)
            if (DAYS + 1 - day) % 28 == 7:
                keeper.grams(day, "monopotassium_phosphate", 15, 9.7)
            if (DAYS + 1 - day) % 21 == 0:
                keeper.grams(day, "iron_dtpa", 30, 9.5)
        share = 0.5 if away else 1.0
        if feed >= 1:
            payload = {"feed": "pellet_36", "amount": f"{round(feed * share)} g", "group": "carp"}
            keeper.write(day, 17, "feeding", payload, "helper" if away else "you")
        if (day - arrival) % 35 == 0:
            keeper.weigh(day)
        for when, crop, count, bed, name in PLANTED:
            if day == arrival + when and day < DAYS:
                keeper.write(day, 11, "planted", {"crop": crop, "count": count, "bed": bed, "planting": name})
        for name, (crop, planted) in beds.items():
            keeper.pick(day, name, crop, planted)
        if day == arrival + 97:
            keeper.write(day, 7, "fish_died", {"group": "carp", "count": 1})
        if day == arrival + 150:
            keeper.write(day, 10, "cleaned", {"what": "Sump", "fraction": 0.3})


def main() -> None:
    """Make the log and write it."""
    keeper = Keeper()
    keeper.write(0, 10, "note", {"text": "Invented example: filled, pump and air running."})
    ready = start_up(keeper)
    print(f"fish on day {ready}")
    with_fish(keeper, ready)
    files.write_log(keeper.entries, FOLDER / "log.jsonl")
    print(f"{len(keeper.entries)} entries")


if __name__ == "__main__":
    main()
