"""Everything that changes while a loop runs: the water, the fish, the beds and the books of all members."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.engine import fish as fishes
from rillbed.engine import plants, water
from rillbed.engine.books import Books, contents
from rillbed.engine.calendar import monthly
from rillbed.engine.chem import constants
from rillbed.engine.future import Future, Pause
from rillbed.engine.inputs import Crop, Event, Fish, Loop, Number
from rillbed.engine.result import COLUMNS, Array
from rillbed.engine.state import S, empty
from rillbed.science import heat

Flags = NDArray[np.bool_]
FIRST_H = 1e-5  # mol/m3, pH 8, until the first hour has solved it


class World:
    """State of all members; the parts of the engine read and move it, day by day."""

    def __init__(
        self, loop: Loop, params: Mapping[str, Array], *, start: date, days: int, free_from: int,
        events: Iterable[Event] = (), future: Future | None = None, species: Mapping[str, Fish] | None = None,
        crops: Mapping[str, Crop] | None = None, steps_per_day: int = 24, away: Sequence[Pause] = (),
    ) -> None:  # fmt: skip
        self.loop, self.p, self.start, self.free_from = loop, params, start, free_from
        self.future = future or Future()
        self.species, self.crops = dict(species or {}), dict(crops or {})
        self.steps = steps_per_day
        self.away = tuple(away)  # days of the log on which others fed
        self.members = m = len(params["mu_a"])
        self.events = self._schedule(events)
        self.logs_topup = any(e.kind == "topup" for es in self.events.values() for e in es)
        self.volume: Array = np.full(m, loop.volume_m3)
        self.day_volume: Array = self.volume + 0.0
        self.y = y = empty(m) + loop.source.column
        cap = params["cap_a0"]
        y[S.CAP_A], y[S.CAP_N] = cap, cap * params["cap_ratio"]
        self.temp: Number = loop.temp_c[start.month - 1] + 0.0
        self.offset: Number = 0.0
        self.feed = loop.feed
        self.air = 1.0  # share of the aeration that runs
        self.still: list[tuple[str, float, float]] = []  # what stood still today (air, flow or heat), hours from, to
        self.heater_on = True
        self.excess = self.heating(start)
        self.mature: Array = np.full(m, loop.mature)
        self.used = np.zeros(m)
        c = constants(self.temp, y, loop.pressure_atm)
        y[S.CO2], y[S.O2] = c["co2_eq"], facts.choice("run.first_o2_share") * c["o2_sat"]
        self.h = np.full(m, FIRST_H)
        self.groups: list[fishes.Group] = []
        self.beds: list[plants.Planting] = []
        self._shares, self._shares_of = plants.shares(params), params
        self.felt = fishes.Felt(np.zeros(m), np.zeros(m), y[S.CL] + 0.0, y[S.O2] + 0.0)
        self.feed_mean = np.zeros(m)
        self.primed: Flags = np.zeros(m, bool)  # ammonia has been given
        self.tried: Flags = np.zeros(m, bool)  # the full load has been given
        self.basing: Flags = np.zeros(m, bool)  # base is being given until the target is reached
        self.passes = np.zeros(m)
        self.completion = np.full(m, np.nan)
        self.books = Books(contents(y, self.volume))
        self.booked: dict[str, Array] = {}
        # in one piece, which the system hands out in large pages: fewer of them to wait for
        self.columns = dict(zip(COLUMNS, np.zeros((len(COLUMNS), days, m), np.float32), strict=True))
        self.row: defaultdict[str, Array | float] = defaultdict(float)

    def _schedule(self, events: Iterable[Event]) -> dict[int, list[Event]]:
        table: dict[int, list[Event]] = defaultdict(list)
        for e in events:
            table[e.day].append(e)
        for a in self.future.fish:
            day = max((a.on - self.start).days, self.free_from)
            table[day].append(Event(day, "fish_in", {"count": a.count, "weight_g": a.weight_g}, a.species))
        for s in self.future.plantings:
            day = max((s.on - self.start).days, self.free_from)
            table[day].append(Event(day, "plant", {"count": s.count}, s.crop))
        return table

    @property
    def shares(self) -> plants.Shares:
        """What plants hold of minerals, for the parameters as they are."""
        if self._shares_of is not self.p:
            self._shares, self._shares_of = plants.shares(self.p), self.p
        return self._shares

    def free(self, d: int) -> bool:
        """Whether the future's rules act on day `d`: the log has ended."""
        return d >= self.free_from

    def today(self, d: int) -> date:
        """Give the date of day `d`."""
        return self.start + timedelta(days=d)

    def season(self, today: date) -> Number:
        """Water temperature the calendar gives without a heater, degC."""
        months: Sequence[Number] = self.future.temp_c or self.loop.temp_c
        return monthly(months, today)

    def heating(self, today: date) -> Number:
        """Give what the heater adds to the season's temperature, degC."""
        if self.loop.heater_c is None:
            return 0.0
        return heat.heated_c(self.season(today), self.loop.heater_c) - self.season(today)

    def fill(self, where: Flags | bool = True) -> None:
        """Bring the water of those members back to its full volume with source water."""
        need = np.where(where, np.maximum(self.loop.volume_m3 - self.volume, 0.0), 0.0)
        self.volume = water.pour(self.y, self.volume, need, self.loop.source, self.books)

    def gain(self, name: str, amount: Array | float) -> None:
        """Add to one of the day's flows."""
        self.row[name] = self.row[name] + amount
