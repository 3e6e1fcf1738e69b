"""What brought each element and what took it, in grams, from the start of the log and over the last thirty days."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.engine.pack import dose_grams
from rillbed.garden.fold import system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Dosed
from rillbed.garden.system import System
from rillbed.plan.answers import Band
from rillbed.plan.look import doses, until
from rillbed.plan.members import band
from rillbed.plan.shelf import BASES

Floats = NDArray[np.float64]

FOLLOWED = ("n", "p", "k", "ca", "mg", "s", "fe", "na", "cl")
COUNTED = ("mn", "b", "zn", "cu", "mo")
CAUSES = ("feed", "source_water", "base", "supplements", "plants", "gas", "settled", "let_out")
MONTH_DAYS = 30
# Rows of `Forecast.booked`: a month ago and the evening before.
_MONTH_AGO, _NOW = 0, 1
_KEPT = {"feed", "base", "plants", "settled"}


@dataclass(frozen=True)
class Line:
    """What one cause brought (above zero) or took (below zero), g: 10, 50 and 90 % points of the members.

    ``table_g`` is the range of what feed brings over the printed range of what feed holds, where one is printed: the
    members take the middle of it.
    """

    cause: str
    grams: Band
    month_g: Band
    table_g: tuple[float, float] | None = None


@dataclass(frozen=True)
class Account:
    """One element.

    Attributes
    ----------
    element : str
        Lower-case symbol; nitrogen counts all its forms.
    basis : str
        ``model``: followed in the water, and the lines add up to what is held. ``counted``: sums of what was logged
        times what tables say; nothing is known of what the water holds.
    first_g, held_g : Band or None
        In the water at the start and the evening before; ``None`` for what is only counted.
    lines : tuple of Line
        Into and out of the water, by cause.
    fish_g, solids_g : Band
        Where the rest of the feed went: into fish, and into solids that left or lie in the loop.
    unexplained_g : Band
        What no line explains; nothing but rounding, or the books are wrong.
    """

    element: str
    basis: str
    first_g: Band | None
    held_g: Band | None
    lines: tuple[Line, ...]
    fish_g: Band
    solids_g: Band
    unexplained_g: Band

    def line(self, cause: str) -> Line | None:
        """Line of a cause, if there is one."""
        return next((item for item in self.lines if item.cause == cause), None)


@dataclass(frozen=True)
class Ledger:
    """Accounts of all elements from ``first`` to the evening of ``last``."""

    first: date
    last: date
    accounts: tuple[Account, ...]

    def of(self, element: str) -> Account:
        """Account of an element.

        Raises
        ------
        KeyError
            If it is none of those that are followed or counted.
        """
        try:
            return next(item for item in self.accounts if item.element == element)
        except StopIteration:
            raise KeyError(element) from None


@cache
def _cause(element: str, cause: str, side: str) -> str:
    """Name of a line: what the engine books by event is water let in, or water let out, unless it was put in."""
    if cause in _KEPT:
        return "plants" if cause == "feed" and side == "out" else cause
    if cause == "base" or (cause == "dose" and side == "in"):
        return "supplements"
    if cause == "clean":
        return "settled"
    return "source_water" if side == "in" else "let_out"


def ledger(system: System, entries: Sequence[LogEntry], forecast: Forecast, on: date) -> Ledger:
    """Draw up the accounts.

    Parameters
    ----------
    system, entries
        The loop and its log.
    forecast : Forecast
        Made for ``on``.

    Raises
    ------
    ValueError
        If the forecast was made for another day.
    """
    if forecast.on != on:
        raise ValueError(f"on = {on}: the forecast was made for {forecast.on}")
    since = forecast.booked_since
    log = [e for e in until(system, entries, on - timedelta(days=1)) if system.day_of(e.at) >= since]
    # Labels stand in the loop as it is set up now.
    system = system_at(system, entries, on)
    row = forecast.index(on) - 1
    accounts = [_followed(e, log, system, forecast, row) for e in FOLLOWED]
    accounts += [_counted(e, log, system, forecast, row) for e in COUNTED]
    return Ledger(since, on - timedelta(days=1), tuple(accounts))


def _followed(element: str, log: Sequence[LogEntry], system: System, forecast: Forecast, row: int) -> Account:
    zero = np.zeros(forecast.members)
    sums = {cause: (zero, zero) for cause in CAUSES}

    def put(cause: str, all_of_it: Floats, month: Floats) -> None:
        sums[cause] = (sums[cause][0] + all_of_it, sums[cause][1] + month)

    for key, booked in forecast.booked.items():
        name, cause, side = key.split(".")
        if name == element:
            put(_cause(element, cause, side), booked[_NOW], booked[_NOW] - booked[_MONTH_AGO])
    by_base = [_dosed_g(element, log, system, since, bases=True) for since in (None, forecast.on)]
    put("base", zero + by_base[0], zero + by_base[1])
    put("supplements", zero - by_base[0], zero - by_base[1])
    fish, solids = _fate(element, forecast, row)
    if element == "n":
        gas = [_summed("n_gas", forecast, row, days) for days in (None, MONTH_DAYS)]
        put("plants", gas[0], gas[1])
        put("gas", -gas[0], -gas[1])
    w = forecast.weights
    first = forecast.first_g.get(element, zero)
    moved = sum((item[0] for item in sums.values()), zero)
    held = first + moved
    column = f"{element}_mg_l"
    gap = zero
    if column in forecast.columns and row >= 0:
        held = np.asarray(forecast.columns[column][row], float) * forecast.columns["volume_m3"][row]
        gap = held - first - moved
    lines = tuple(
        Line(cause, band(total, w), band(month, w), _table_range(element, cause, total, w))
        for cause, (total, month) in sums.items()
        if np.abs(total).max() > 1e-9
    )
    return Account(element, "model", band(first, w), band(held, w), lines, band(fish, w), band(solids, w), band(gap, w))


def _counted(element: str, log: Sequence[LogEntry], system: System, forecast: Forecast, row: int) -> Account:
    part, w = facts.element_fractions()[element], forecast.weights
    fish, solids = _fate(element, forecast, row)
    fed = [_eaten_g(forecast, row, days) * part.content_g_kg * 1e-3 * part.dissolved for days in (None, MONTH_DAYS)]
    given = [_dosed_g(element, log, system, since, bases=None) for since in (None, forecast.on)]
    lines = [Line("feed", band(fed[0], w), band(fed[1], w), _table_range(element, "feed", fed[0], w))]
    if given[0] > 0.0:
        lines.append(Line("supplements", Band(given[0], given[0], given[0]), Band(given[1], given[1], given[1])))
    leaf = facts.trace_elements()[element]
    if leaf.leaf_low_mg_kg is not None and leaf.leaf_high_mg_kg is not None:
        grown = [_grown_g(forecast, row, days) for days in (None, MONTH_DAYS)]
        low, high = (content * 1e-6 for content in (leaf.leaf_low_mg_kg, leaf.leaf_high_mg_kg))
        spread = [_between(g, low, high, w) for g in grown]
        lines.append(Line("plants", spread[0], spread[1]))
    nothing = Band(0.0, 0.0, 0.0)
    return Account(element, "counted", None, None, tuple(lines), band(fish, w), band(solids, w), nothing)


def _between(grown: Floats, low: float, high: float, weights: Floats) -> Band:
    least, most = band(grown * low, weights), band(grown * high, weights)
    return Band(-most.high, -0.5 * (least.middle + most.middle), -least.low)


def _fate(element: str, forecast: Forecast, row: int) -> tuple[Floats, Floats]:
    """Grams of an element of all feed that went into fish and into solids, (members,)."""
    if element == "n":
        kept = _summed("n_fish", forecast, row, None) - _summed("n_fasting", forecast, row, None)
        return kept, _summed("n_solids_out", forecast, row, None)
    part = facts.element_fractions()[element]
    eaten = _eaten_g(forecast, row, None) * part.content_g_kg * 1e-3
    uneaten = _summed("feed_g_day", forecast, row, None) * part.content_g_kg * 1e-3 - eaten
    return eaten * part.to_fish, eaten * part.to_solids + uneaten


def _eaten_g(forecast: Forecast, row: int, days: int | None) -> Floats:
    left = forecast.params.get("uneaten", np.zeros(forecast.members))
    return np.asarray(_summed("feed_g_day", forecast, row, days) * (1.0 - left))


def _summed(column: str, forecast: Forecast, row: int, days: int | None) -> Floats:
    """Sum of a daily flow up to a row, over so many days, (members,)."""
    first = 0 if days is None else max(0, row + 1 - days)
    return np.asarray(forecast.columns[column][first : row + 1].sum(axis=0, dtype=float))


def _grown_g(forecast: Forecast, row: int, days: int | None) -> Floats:
    """Dry mass that was put on, g: the sum of all rises, so that a picking takes none of it away."""
    first = 0 if days is None else max(0, row - days)
    steps = np.diff(np.asarray(forecast.columns["plant_dm_g"][first : row + 1], float), axis=0)
    return np.asarray(np.maximum(steps, 0.0).sum(axis=0))


def _dosed_g(
    element: str, log: Sequence[LogEntry], system: System, month_to: date | None, *, bases: bool | None
) -> float:
    """Grams of an element that were dosed: all, or in the thirty days before ``month_to``; bases only, or anything."""
    total = 0.0
    for day, item in doses(system, log):
        if month_to is not None and day < month_to - timedelta(days=MONTH_DAYS):
            continue
        if bases and item.substance not in BASES:
            continue
        total += _brought(item, system).get(element, 0.0)
    return total


def _brought(item: Dosed, system: System) -> Mapping[str, float]:
    """Grams by element of one dose, traces too."""
    out = dict(dose_grams(item, system.products))
    own = next((product for product in system.products if product.id == item.substance), None)
    if own is not None:
        grams = own.grams(item.grams, item.ml)
        return out | {name: grams * own.shares[name] for name in COUNTED if name in own.shares}
    row = facts.supplements().get(item.substance)
    if row is not None:
        mass = item.grams if item.grams is not None else (item.ml or 0.0) * (item.density_g_ml or row.density_g_ml or 1)
        share = 1.0 if item.strength_pct is None else item.strength_pct / 100.0
        out |= {name: mass * share * float(getattr(row, f"{name}_pct", 0.0)) / 100.0 for name in COUNTED}
    return out


def _table_range(element: str, cause: str, grams: Floats, weights: Floats) -> tuple[float, float] | None:
    """Range over what tables print of feed; ``None`` for any other cause and where no range is printed."""
    row = facts.element_fractions().get(element)
    if cause != "feed" or row is None or row.content_low_g_kg is None or row.content_high_g_kg is None:
        return None
    middle = band(grams, weights).middle / (row.content_g_kg * row.dissolved)
    low = row.dissolved if row.dissolved_low is None else row.dissolved_low
    high = row.dissolved if row.dissolved_high is None else row.dissolved_high
    return middle * row.content_low_g_kg * low, middle * row.content_high_g_kg * high
