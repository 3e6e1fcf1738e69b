"""The test sheet: one block per kit with its own steps, and what a filled sheet means."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from uuid import UUID, uuid5

from rillbed import facts, words
from rillbed.garden.errors import GardenError
from rillbed.garden.kits import Kit
from rillbed.garden.log import LogEntry
from rillbed.garden.quantities import QUANTITIES
from rillbed.garden.readings import Reading
from rillbed.garden.system import System
from rillbed.tongue import current, later, tr
from rillbed.web import bridge
from rillbed.web.setup.measures import number

# What a card counts, said beside the unit; the element itself where nothing is chosen.
AS = {
    "tan": (later("as N"), later("as ammonium")),
    "no2": (later("as N"), later("as nitrite")),
    "no3": (later("as N"), later("as nitrate")),
    "p": (later("as P"), later("as phosphate")),
}
NEUTRAL = ("tan", "no2", "no3", "ph", "alkalinity")
DILUTIONS = (1, 2, 5, 10)
THERMOMETER = "thermometer"
SPREAD_C = (-1.5, -1.0, -0.5, 0.0, 0.5, 1.0, 1.5)


@dataclass(frozen=True)
class Step:
    """One button: the number it stands for, how it is written, and whether it is pressed."""

    value: str
    label: str
    pressed: bool


@dataclass(frozen=True)
class Block:
    """One kit on the sheet; `typed` is set where a number may be typed instead of pressed."""

    name: str
    title: str
    unit: str
    steps: tuple[Step, ...]
    hint: str = ""
    typed: str | None = None
    wait: str = ""
    dilutions: tuple[tuple[int, bool], ...] = ()
    problem: str = ""
    one: bool = False  # an instrument shows one number; only colours lie between two


def blocks(
    system: System,
    filled: Mapping[str, Sequence[str]],
    hints: Mapping[str, str],
    last_temp_c: float | None,
    problems: Mapping[str, str],
) -> tuple[Block, ...]:
    """Lay out the sheet.

    Parameters
    ----------
    system : System
        Whose kits; the order is that of the user's list.
    filled : mapping
        What was pressed already, by field name.
    hints : mapping
        Expected range by quantity; the page keeps it hidden until a step is pressed.
    last_temp_c : float or None
        Water temperature of the last reading: an instrument is not swayed by seeing it.
    problems : mapping
        Refusals by kit name.
    """
    out = [block(kit, filled, hints.get(kit.quantity, ""), problems.get(kit.name, "")) for kit in kits_of(system)]
    return (*out, _thermometer(filled, last_temp_c, problems))


def kits_of(system: System) -> tuple[Kit, ...]:
    """Return the user's own kits; for a loop without any, the neutral card of each safety test."""
    if system.kits:
        return system.kits
    return tuple(_neutral(quantity) for quantity in NEUTRAL)


@cache
def _neutral(quantity: str) -> Kit:
    row = next(row for row in facts.kits().values() if row.quantity == quantity)
    named = ("name", "quantity", "kind", "basis", "unit", "steps", "low_open", "high_open")
    return Kit.make({name: getattr(row, name) for name in named})


def block(kit: Kit, filled: Mapping[str, Sequence[str]], hint: str = "", problem: str = "") -> Block:
    """Lay out one kit."""
    pressed = set(filled.get(field(kit.name), ()))
    steps = tuple(Step(f"{s:g}", _label(kit, n), f"{s:g}" in pressed) for n, s in enumerate(kit.steps))
    factor = (filled.get(f"dilution:{kit.name}") or ["1"])[0]
    return Block(
        name=kit.name,
        title=words.capital(tr(QUANTITIES[kit.quantity].name)),
        unit=unit_of(kit),
        steps=steps,
        hint=hint,
        typed=None if kit.steps else (filled.get(f"typed:{kit.name}") or [""])[0],
        wait=words.amount(kit.wait_minutes, later("minutes")) if kit.wait_minutes else "",
        dilutions=() if kit.quantity in ("ph", "temperature") else tuple((d, factor == str(d)) for d in DILUTIONS),
        problem=problem,
    )


def _thermometer(filled: Mapping[str, Sequence[str]], last_temp_c: float | None, problems: Mapping[str, str]) -> Block:
    pressed = set(filled.get(field(THERMOMETER), ()))
    near = () if last_temp_c is None else tuple(round(2 * last_temp_c) / 2 + by for by in SPREAD_C)
    return Block(
        name=THERMOMETER,
        title=tr("Water temperature"),
        unit="°C",
        steps=tuple(Step(f"{t:g}", _tenths(t), f"{t:g}" in pressed) for t in near),
        hint=""
        if last_temp_c is None
        else words.say("last time {degrees}", degrees=current().number(f"{last_temp_c:.1f}")),
        typed=(filled.get(f"typed:{THERMOMETER}") or [""])[0],
        problem=problems.get(THERMOMETER, ""),
        one=True,
    )


def _tenths(degrees: float) -> str:
    return current().number(f"{degrees:.1f}")


def field(kit: str) -> str:
    """Name of the form field that holds a kit's pressed steps."""
    return f"step:{kit}"


def unit_of(kit: Kit) -> str:
    """Return the unit as the card prints it, with what it counts."""
    if kit.quantity == "ph":
        return ""
    if kit.quantity in AS:
        element, ion = AS[kit.quantity]
        counted = {"n": element, "ion": ion, None: later("as the kit reads")}[kit.basis]
        return f"{tr(kit.unit)} {tr(counted)}"
    return tr(kit.unit)


def _label(kit: Kit, place: int) -> str:
    step = current().number(f"{kit.steps[place]:g}")
    if place == len(kit.steps) - 1 and kit.high_open:
        return f"≥ {step}"
    return f"≤ {step}" if place == 0 and kit.low_open and kit.steps[0] != 0 else step


class Refused(Exception):
    """A sheet that cannot be stored; `problems` by kit name, under ``""`` what is wrong with the whole."""

    def __init__(self, problems: Mapping[str, str]) -> None:
        super().__init__("; ".join(problems.values()))
        self.problems = dict(problems)


def entries(
    system: System, filled: Mapping[str, Sequence[str]], *, sheet: UUID, at: datetime, author: str
) -> list[LogEntry]:
    """Return one entry for every test on the sheet; the same sheet sent twice gives the same entries.

    Raises
    ------
    Refused
        If a step does not exist, two that are no neighbours are pressed, or nothing is.
    """
    found: list[LogEntry] = []
    problems: dict[str, str] = {}
    for kit in kits_of(system):
        try:
            read = payload(kit, filled)
            if read is not None:
                found.append(_entry(sheet, kit.name, at, author, "reading", read))
        except (GardenError, ValueError) as error:
            problems[kit.name] = str(error)
    try:
        degrees = _degrees(filled)
        if degrees is not None:
            shown = {"value": degrees, "unit": "degC"}
            found.append(_entry(sheet, THERMOMETER, at, author, "temperature", shown))
    except (GardenError, ValueError) as error:
        problems[THERMOMETER] = str(error)
    if not found and not problems:
        problems[""] = tr("Nothing is pressed yet. Press the step you see for at least one test.")
    if problems:
        raise Refused(problems)
    return found


def _entry(sheet: UUID, name: str, at: datetime, author: str, kind: str, payload: Mapping[str, object]) -> LogEntry:
    return bridge.written(uuid=uuid5(sheet, name), at=at, author=author, kind=kind, payload=payload)


def payload(kit: Kit, filled: Mapping[str, Sequence[str]]) -> dict[str, object] | None:
    """Return the reading that a filled block means, None if nothing is pressed or typed.

    Raises
    ------
    GardenError
        If a step does not exist, or more is pressed than two neighbours.
    """
    dilution = _pressed("dilution", (filled.get(f"dilution:{kit.name}") or ["1"])[0])
    typed = (filled.get(f"typed:{kit.name}") or [""])[0].strip()
    source = bool(filled.get("source_water"))
    if typed and not kit.steps:
        reading = Reading.of_step(kit, number(kit.name, typed), dilution)
    else:
        steps = sorted(_pressed(kit.name, text) for text in set(filled.get(field(kit.name), ())))
        if not steps:
            return None
        reading = Reading.of_step(kit, steps[0], dilution) if len(steps) == 1 else between(kit, steps, dilution)
    return {**reading.model_dump(mode="json", exclude_none=True), "source_water": source}


def between(kit: Kit, steps: Sequence[float], dilution: float) -> Reading:
    """Return the reading between two neighbouring steps.

    Raises
    ------
    GardenError
        If more than two are given, or two that are no neighbours.
    """
    places = [kit.steps.index(step) for step in steps if step in kit.steps]
    if len(steps) != 2 or len(places) != 2 or places[1] - places[0] != 1:
        raise GardenError("step", current().row(steps), tr("press one step, or two that are neighbours"))
    values = {"quantity": kit.quantity, "unit": kit.unit, "low": steps[0], "high": steps[1]}
    return Reading.make(values | {"basis": kit.basis, "dilution": dilution, "kit": kit.name})


def _degrees(filled: Mapping[str, Sequence[str]]) -> float | None:
    typed = (filled.get(f"typed:{THERMOMETER}") or [""])[0].strip()
    if typed:
        return number("temperature", typed)
    pressed = set(filled.get(field(THERMOMETER), ()))
    if len(pressed) > 1:
        raise GardenError("temperature", " and ".join(sorted(pressed)), tr("press one"))
    return _pressed("temperature", pressed.pop()) if pressed else None


def _pressed(name: str, text: str) -> float:
    """Value of a button: written by the page, with a point."""
    try:
        return float(text)
    except ValueError:
        raise GardenError(name, text, tr("needs a number")) from None
