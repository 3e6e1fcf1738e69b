"""What plants find in the water, element by element, and what to add where it runs short."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.advice import Advice, Reason, Urgency, Values, dosed
from rillbed.plan.answers import Band, Level
from rillbed.plan.look import latest
from rillbed.plan.members import band, quantile
from rillbed.plan.shelf import Choice, bringer_of
from rillbed.plan.sources import also_brings

# Pools are kept at or above these, mg/L.
FLOORS = {name: facts.value(f"plants.room_floor_{name}") for name in ("n", "p", "k", "ca", "mg", "fe")}
COLUMN = {"n": "no3_mg_l"} | {name: f"{name}_mg_l" for name in FLOORS if name != "n"}
QUANTITY = {"n": "no3"} | {name: name for name in FLOORS if name != "n"}
# What is usually short first comes first (published order of coupled loops: iron, potassium, calcium, magnesium).
ORDER = ("fe", "k", "ca", "mg", "p")
STALE_DAYS = int(facts.value("plan.buffer_stale_days"))


def nutrients(system: System, log: Sequence[LogEntry], forecast: Forecast, on: date) -> tuple[Level, ...]:
    """Level of every element that limits plants, nitrogen first.

    Parameters
    ----------
    system, log
        The loop and its effective log up to ``on``.
    forecast : Forecast
        Run up to ``on`` at least.
    """
    limits = facts.water_limits()
    out = []
    for element, floor in FLOORS.items():
        target = limits[f"{QUANTITY[element]}_target"].low
        assert target is not None
        seen = latest(system, log, QUANTITY[element])
        members = band(forecast.at(COLUMN[element], on), forecast.weights)
        read_on = None
        if seen is not None and (on - seen.on).days <= STALE_DAYS:
            read_on = seen.on
            low, high = seen.low or 0.0, members.high if seen.high is None else seen.high
            members = Band(low, 0.5 * (low + max(high, low)), max(high, low))
        out.append(Level(element, members, read_on, floor, target))
    return tuple(out)


def wanting(levels: Sequence[Level]) -> tuple[str, ...]:
    """Elements that are surely missing, in the order given."""
    return tuple(level.element for level in levels if level.state == "missing")


@dataclass(frozen=True)
class Addition:
    """One element to add today: the supply, its mass, and the rise it makes."""

    element: str
    choice: Choice
    grams: float
    rise_mg_l: float
    short_mg_l: float


def addition(level: Level, shelf: Sequence[str], volume_m3: float, ph: float) -> Addition:
    """Size one day's addition of an element that runs short.

    It closes the gap between what is there (the lower end of the range) and the target, at most by what one day allows.

    Raises
    ------
    ValueError
        For nitrogen, which feed brings, or an element that is not short of its target.
    """
    if level.element not in ORDER:
        raise ValueError(f"element = {level.element!r}: must be one of {', '.join(ORDER)}")
    short = level.target_mg_l - level.mg_l.low
    if short <= 0.0:
        raise ValueError(f"{level.element}: {level.mg_l.low:g} mg/L is not below the target of {level.target_mg_l:g}")
    choice = bringer_of(level.element, shelf, ph)
    rise = min(short, facts.value(f"dosing.{level.element}"))
    return Addition(level.element, choice, rise * volume_m3 / choice.share(level.element), rise, short)


def supplement_advice(
    system: System,
    levels: Sequence[Level],
    forecast: Forecast,
    on: date,
    *,
    busy: bool = False,
    first: str | None = None,
    missing: Sequence[str] = (),
) -> tuple[Advice, ...]:
    """Add one element: what binds the room for plants, else what is usually short first.

    One product a day, base and salt for fish before all others, so that nothing falls out together, iron meets a pH
    that has settled, and what follows can be told apart.

    Parameters
    ----------
    busy : bool
        Whether base or salt is advised today already.
    first : str or None
        Element that binds the room for plants.
    missing : sequence of str
        Elements that must be added before anything can be planted, whatever is there now.
    """
    by_name = {level.element: level for level in levels}
    order = sorted(ORDER, key=lambda name: name != first)
    short = [
        name
        for name in order
        if by_name[name].mg_l.middle < by_name[name].floor_mg_l or _wanted(by_name[name], missing)
    ]
    if not short:
        return ()
    if busy:
        params = {"element": short[0]}
        return (
            Advice("add.tomorrow", "wait", params=params, reasons=(Reason("add.one_a_day"),), urgency=Urgency.PLANTS),
        )
    ph = quantile(forecast.at("ph", on), forecast.weights, 0.5)
    volume = float(np.median(forecast.at("volume_m3", on)))
    level = by_name[short[0]]
    return (_advice(addition(level, system.shelf, volume, ph), level, tuple(short[1:])),)


def _wanted(level: Level, missing: Sequence[str]) -> bool:
    return level.element in missing and level.mg_l.low < level.target_mg_l


def _advice(add: Addition, level: Level, later: tuple[str, ...]) -> Advice:
    name = add.choice.id
    values: Values = {"element": add.element, "low": level.mg_l.low, "high": level.mg_l.high, "floor": level.floor_mg_l}
    why = [Reason("add.read" if level.read_on else "add.model", values)]
    why.append(Reason("add.rise", {"element": add.element, "rise": add.rise_mg_l, "target": level.target_mg_l}))
    if add.rise_mg_l < add.short_mg_l:
        why.append(Reason("add.rest", {"rest": add.short_mg_l - add.rise_mg_l, "cap": add.rise_mg_l}))
    why += also_brings(besides(add))
    if later:
        why.append(Reason("add.later", {"elements": later}))
    return Advice(
        "add.element",
        "dose",
        amount=add.grams,
        unit="g",
        params={"element": add.element, "supply": name, "rise_mg_l": add.rise_mg_l},
        reasons=(*why, *add.choice.reasons),
        formula="add.grams",
        facts=(f"supplements/{name}", f"plants.room_floor_{add.element}", f"dosing.{add.element}"),
        cautions=add.choice.row.cautions,
        urgency=Urgency.PLANTS,
        entry=dosed(name, add.grams),
    )


def besides(add: Addition) -> dict[str, float]:
    """List what else the addition brings, mg/L by element."""
    volume_mg_l = add.rise_mg_l / add.choice.share(add.element)
    others = ("n", "p", "k", "ca", "mg", "s", "na", "cl", "fe")
    return {
        name: volume_mg_l * add.choice.share(name)
        for name in others
        if name != add.element and add.choice.share(name) > 0.0
    }
