"""What the beds have given: mass, servings, per area and per feed, and how it compares with what was expected."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rillbed import facts
from rillbed.garden.fold import effective, state_at
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Feeding, Picked, Removed
from rillbed.garden.state import Planting
from rillbed.garden.system import System
from rillbed.plan.beds.behaviour import servings_a_picking


@dataclass(frozen=True)
class CropYield:
    """One crop over a stretch of days.

    Attributes
    ----------
    picked_g, servings : float
        Fresh mass weighed, and the servings it makes; pickings that were not weighed count in neither.
    unweighed : int
        Pickings without a mass.
    expected_g : float
        Mass of the same weighed pickings by the crop table, with the usual share of plants lost.
    ratio : float or None
        Weighed over expected; None where nothing was weighed.
    lost_plants : int
        Plants taken out without a picking.
    """

    crop: str
    picked_g: float
    servings: float
    pickings: int
    unweighed: int
    expected_g: float
    lost_plants: int

    @property
    def ratio(self) -> float | None:
        """Weighed over expected."""
        return self.picked_g / self.expected_g if self.expected_g > 0.0 else None


@dataclass(frozen=True)
class Harvest:
    """All crops from one day to another, both included; cost is in whatever money the feed was priced in."""

    first: date
    last: date
    crops: tuple[CropYield, ...]
    picked_g: float
    servings: float
    g_m2: float | None
    g_per_kg_feed: float | None
    feed_g: float
    cost_per_kg: float | None


def harvest(
    system: System,
    entries: Sequence[LogEntry],
    first: date,
    last: date,
    *,
    feed_price_kg: float | None = None,
) -> Harvest:
    """Sum what was picked.

    Parameters
    ----------
    first, last : date
        Days that count, both included.
    feed_price_kg : float or None
        Price of a kilogram of feed; other costs are not counted.

    Raises
    ------
    ValueError
        If the days are the wrong way round or the price is negative.
    """
    if last < first:
        raise ValueError(f"last = {last}: must not be before first, {first}")
    if feed_price_kg is not None and feed_price_kg < 0.0:
        raise ValueError(f"feed_price_kg = {feed_price_kg:g}: must be 0 or more")
    state = state_at(system, entries, last)
    rows: defaultdict[str, list[tuple[float | None, float, int]]] = defaultdict(list)
    feed = 0.0
    for entry in effective(entries):
        if not first <= system.day_of(entry.at) <= last:
            continue
        item = entry.payload
        if isinstance(item, Feeding):
            feed += item.grams
        elif isinstance(item, Picked) and item.planting in state.plantings:
            planting = state.plantings[item.planting]
            rows[planting.crop].append((item.grams, _expected_g(planting, item), 0))
        elif isinstance(item, Removed) and item.planting in state.plantings:
            planting = state.plantings[item.planting]
            rows[planting.crop].append((None, 0.0, item.count or planting.planted_count))
    crops = tuple(_sum(crop, found) for crop, found in sorted(rows.items()))
    picked = sum(c.picked_g for c in crops)
    kg = picked / 1000.0
    return Harvest(
        first, last, crops, picked, sum(c.servings for c in crops),
        picked / system.bed_area_m2 if system.beds else None,
        1000.0 * picked / feed if feed > 0.0 else None, feed,
        feed / 1000.0 * feed_price_kg / kg if feed_price_kg is not None and kg > 0.0 else None,
    )  # fmt: skip


def own_yields(system: System, entries: Sequence[LogEntry], on: date) -> dict[str, float]:
    """Factor on the table's yield by crop, from all weighed pickings until a day; few of them move it little."""
    found = harvest(system, entries, min(system.started_on, on), on)
    weight = facts.value("beds.own_weight")
    out = {}
    for crop in found.crops:
        weighed = crop.pickings - crop.unweighed
        if crop.ratio is not None and weighed:
            out[crop.crop] = (weight + weighed * crop.ratio) / (weight + weighed)
    return out


def _expected_g(planting: Planting, item: Picked) -> float:
    plants = item.count or planting.planted_count
    each = facts.crops()[planting.crop].yield_g_fresh_per_plant_per_harvest
    return plants * facts.value("beds.survives") * each


def _sum(crop: str, found: Sequence[tuple[float | None, float, int]]) -> CropYield:
    row = facts.crops()[crop]
    grams = sum(g for g, _, _ in found if g is not None)
    pickings = [(g, e) for g, e, lost in found if not lost]
    return CropYield(
        crop, grams, grams / row.yield_g_fresh_per_plant_per_harvest * servings_a_picking(row), len(pickings),
        sum(g is None for g, _ in pickings), sum(e for g, e in pickings if g is not None),
        sum(lost for _, _, lost in found),
    )  # fmt: skip
