"""Entering one log entry after another into the state of the loop."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime

from rillbed.garden import payloads
from rillbed.garden.errors import GardenError, must_be_known
from rillbed.garden.log import LogEntry
from rillbed.garden.products import is_own
from rillbed.garden.readings import Reading, Temperature
from rillbed.garden.state import FishGroup, LoopState, Planting, TimedDose, TimedReading, Weighing
from rillbed.garden.system import System
from rillbed.tongue import later, tr


class Book:
    """A state in the making; entries must come in the order of `chains.effective`."""

    def __init__(self, system: System) -> None:
        self.system = system
        self.feed = system.feed
        self.groups: dict[str, FishGroup] = {}
        self.plants: dict[str, Planting] = {}
        self.readings: dict[str, list[TimedReading]] = {}
        self.temperatures: list[tuple[datetime, float]] = []
        self.doses: list[TimedDose] = []
        self.fed: dict[date, float] = {}
        self.meals: dict[date, int] = {}
        self.stopped: dict[tuple[str, str], datetime] = {}
        self.last: dict[str, LogEntry] = {}

    def enter(self, entry: LogEntry) -> None:
        """Enter one entry.

        Raises
        ------
        GardenError
            If it contradicts what came before it.
        """
        self.last[entry.kind] = entry
        try:
            self._enter(entry)
        except GardenError as error:
            raise error.within(f"entry {entry.uuid} ({entry.kind})") from None

    def _enter(self, entry: LogEntry) -> None:
        match entry.payload:
            case Reading() as reading:
                if not reading.source_water:
                    timed = TimedReading(entry.at, entry.author, reading)
                    self.readings.setdefault(reading.quantity, []).append(timed)
            case Temperature() as temperature:
                if temperature.where == "water":
                    self.temperatures.append((entry.at, temperature.temp_c))
            case payloads.Feeding() as feeding:
                day = self.system.day_of(entry.at)
                self.fed[day] = self.fed.get(day, 0.0) + feeding.grams
                self.meals[day] = self.meals.get(day, 0) + 1
            case payloads.Dosed() as dose:
                if is_own(dose.substance):
                    self.system.product(dose.substance)
                self.doses.append(TimedDose(entry.at, dose))
            case payloads.FeedChanged() as change:
                self.feed = change.feed
            case payloads.SetUp() as set_up:
                self.system, self.feed = set_up.system, set_up.system.feed or self.feed
            case payloads.EquipmentStopped() as equipment:
                self.stopped.setdefault((equipment.equipment, equipment.name), entry.at)
            case payloads.EquipmentStarted() as equipment:
                self.stopped.pop((equipment.equipment, equipment.name), None)
            case payloads.Planted() | payloads.Picked() | payloads.Removed():
                self._plants(entry)
            case payloads.FishIn() | payloads.FishOut() | payloads.FishDied() | payloads.FishWeighed():
                self._fish(entry)

    def _fish(self, entry: LogEntry) -> None:
        payload = entry.payload
        if isinstance(payload, payloads.FishIn):
            self._arrive(entry, payload)
            return
        assert isinstance(payload, payloads.FishOut | payloads.FishDied | payloads.FishWeighed)
        name = must_be_known(
            "group", payload.group, self.groups, tr("group of fish on {day}").format(day=entry.at.date())
        )
        group = self.groups[name]
        if payload.count > group.count:
            allowed = tr("{n} fish are in {group} on {day}")
            raise GardenError("count", payload.count, allowed.format(n=group.count, group=name, day=entry.at.date()))
        if isinstance(payload, payloads.FishWeighed):
            weighing = Weighing(entry.at, payload.weight_g)
            self.groups[name] = replace(
                group, weight_g=weighing.weight_g, weighed_at=entry.at, weighings=(*group.weighings, weighing)
            )
        elif isinstance(payload, payloads.FishDied):
            self.groups[name] = replace(group, count=group.count - payload.count, died=group.died + payload.count)
        else:
            taken = group.taken_out + payload.count
            self.groups[name] = replace(group, count=group.count - payload.count, taken_out=taken)

    def _arrive(self, entry: LogEntry, fish: payloads.FishIn) -> None:
        name = fish.group or str(entry.uuid)
        old = self.groups.get(name)
        if old is None:
            self.groups[name] = FishGroup(name, fish.species, fish.count, fish.weight_g, entry.at, entry.at)
            return
        if old.species != fish.species:
            allowed = tr("{group} holds {species}; give the newcomers their own group")
            raise GardenError("species", fish.species, allowed.format(group=name, species=old.species))
        count = old.count + fish.count
        mean = (old.biomass_g + fish.count * fish.weight_g) / count
        self.groups[name] = replace(old, count=count, weight_g=mean, weighed_at=entry.at)

    def _plants(self, entry: LogEntry) -> None:
        payload = entry.payload
        if isinstance(payload, payloads.Planted):
            self._plant(entry, payload)
            return
        assert isinstance(payload, payloads.Picked | payloads.Removed)
        name = must_be_known(
            "planting", payload.planting, self.plants, tr("planting on {day}").format(day=entry.at.date())
        )
        planting = self.plants[name]
        if not planting.standing:
            cleared = f"{planting.removed_at:%Y-%m-%d}"
            raise GardenError("planting", name, tr("it was cleared on {day}").format(day=cleared))
        if payload.count is not None and payload.count > planting.count:
            allowed = tr("{n} plants are left in {planting}")
            raise GardenError("count", payload.count, allowed.format(n=planting.count, planting=name))
        gone = 0
        if isinstance(payload, payloads.Picked):
            picked_g = planting.picked_g + (payload.grams or 0.0)
            planting = replace(planting, picked_g=picked_g, pickings=planting.pickings + 1, last_picked_at=entry.at)
            if payload.finished:
                gone = payload.count or planting.count
        else:
            gone = payload.count or planting.count
        self.plants[name] = _without(planting, gone, entry.at)

    def _plant(self, entry: LogEntry, planted: payloads.Planted) -> None:
        name = planted.planting or str(entry.uuid)
        if name in self.plants:
            used = self.plants[name].planted_at.date()
            raise GardenError("planting", name, tr("it was used on {day}").format(day=used))
        if planted.bed is not None:
            must_be_known("bed", planted.bed, [bed.name for bed in self.system.beds], later("bed of this loop"))
        if planted.from_tray is not None:
            self._lift(planted, planted.from_tray, entry.at)
        self.plants[name] = Planting(
            name,
            planted.crop,
            planted.count,
            entry.at,
            planted.stage,
            bed=planted.bed,
            tray=planted.tray,
            planted_count=planted.count,
        )

    def _lift(self, planted: payloads.Planted, tray: str, at: datetime) -> None:
        """Take plants out of a tray, those sown first going first."""
        sown = [p for p in self.plants.values() if p.tray == tray and p.crop == planted.crop and p.standing]
        there = sum(planting.count for planting in sown)
        if planted.count > there:
            allowed = tr("{n} plants of {crop} are in it on {day}")
            raise GardenError("from_tray", tray, allowed.format(n=there, crop=planted.crop, day=at.date()))
        wanted = planted.count
        for planting in sown:
            taken = min(wanted, planting.count)
            wanted -= taken
            if taken:
                self.plants[planting.name] = _without(planting, taken, at)

    def close(self, on: date) -> LoopState:
        """Return the state at the end of day `on`."""
        return LoopState(
            on=on,
            system=self.system,
            feed=self.feed,
            groups=self.groups,
            plantings=_named(p for p in self.plants.values() if p.bed is not None),
            trays=_named(p for p in self.plants.values() if p.tray is not None),
            readings={quantity: tuple(found) for quantity, found in self.readings.items()},
            temperatures=tuple(self.temperatures),
            doses=tuple(self.doses),
            fed_g_by_day=self.fed,
            meals_today=self.meals.get(on, 0),
            stopped=self.stopped,
            last=self.last,
        )


def _without(planting: Planting, gone: int, at: datetime) -> Planting:
    left = planting.count - gone
    return replace(planting, count=left, removed_at=None if left else at)


def _named(plantings: Iterable[Planting]) -> dict[str, Planting]:
    return {planting.name: planting for planting in plantings}
