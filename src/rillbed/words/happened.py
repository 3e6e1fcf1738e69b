"""A log entry as one line: what was done or seen, with the amount as typed."""

from __future__ import annotations

from rillbed import facts
from rillbed.garden import payloads as p
from rillbed.garden.base import Amount, Frozen
from rillbed.garden.log import LogEntry
from rillbed.garden.quantities import QUANTITIES
from rillbed.garden.readings import Reading, Temperature
from rillbed.words.numbers import amount, number

JOIN = "\N{WORD JOINER}"


def happened(entry: LogEntry) -> str:
    """Say what an entry tells, in one line without its time and author."""
    return said(entry.payload)


def said(payload: Frozen) -> str:
    """Say what the payload of an entry tells.

    Examples
    --------
    >>> said(p.Note(text="the pump hums"))
    'the pump hums'
    """
    match payload:
        case Reading():
            return _reading(payload)
        case Temperature():
            return f"{payload.where.capitalize()} temperature {_degrees(payload)}"
        case p.Feeding():
            return f"Fed {payload.group or 'the fish'} {_typed(payload.amount)}"
        case p.Dosed():
            return f"Put in {_typed(payload.amount)} of {_plain(payload.substance)}"
        case p.WaterChanged():
            return f"Changed {_typed(payload.volume)} of water{_untreated(payload.treated)}"
        case p.ToppedUp():
            which = "rain water" if payload.source == "rain" else "source water"
            return f"Topped up {_typed(payload.volume)} of {which}{_untreated(payload.treated)}"
        case p.SetUp():
            return f"Set up: {payload.system.name}, {amount(1000 * payload.system.total_volume_m3, 'L', 3)}"
        case p.Withdrawn():
            return f"Taken back{_because(payload.reason)}"
    return _living(payload) or _rest(payload)


def _living(payload: Frozen) -> str:
    match payload:
        case p.FishIn():
            each = _typed(payload.weight)
            return f"{payload.count} {_plain(payload.species)} of {each} in{_named(payload.group)}"
        case p.FishOut():
            verb = "Harvested" if payload.reason == "harvest" else "Moved out"
            weighed = f", {_typed(payload.total)} together" if payload.total else ""
            return f"{verb} {payload.count} of {payload.group}{weighed}"
        case p.FishDied():
            return f"{payload.count} of {payload.group} died{'' if payload.removed else ', not found'}"
        case p.FishWeighed():
            mean = amount(payload.weight_g, "g", 3)
            return f"Weighed {payload.count} of {payload.group}: {_typed(payload.total)}, {mean} each"
        case p.Planted():
            if payload.tray is not None:
                return f"Sowed {payload.count} {_plain(payload.crop)} in tray {payload.tray}"
            return f"Planted {payload.count} {_plain(payload.crop)} in {payload.bed}"
        case p.Picked():
            weighed = f", {_typed(payload.amount)}" if payload.amount else ""
            how_many = f"{payload.count} of " if payload.count else ""
            return f"Picked {how_many}{payload.planting}{weighed}{', the last' if payload.finished else ''}"
        case p.Removed():
            how_many = f"{payload.count} of " if payload.count else ""
            return f"Took out {how_many}{payload.planting}{_because(payload.reason)}"
    return ""


def _rest(payload: Frozen) -> str:
    match payload:
        case p.Cleaned():
            part = "" if payload.fraction == 1 else f", {number(10 * payload.fraction)} parts in 10"
            return f"Cleaned {payload.what}{part}"
        case p.Upkeep():
            named = f" ({payload.name})" if payload.name else ""
            return f"{facts.upkeep()[payload.job].name}{named}" + (f". {payload.text}" if payload.text else "")
        case p.FeedChanged():
            return f"Feed from now on: {_plain(payload.feed)}"
        case p.EquipmentStopped():
            return f"{payload.equipment.capitalize()}{_named(payload.name)} stopped"
        case p.EquipmentStarted():
            return f"{payload.equipment.capitalize()}{_named(payload.name)} runs again"
        case p.Outage():
            return "Power away, still" if payload.until is None else "Power away for a while"
        case p.Spray():
            return f"Sprayed {payload.substance}" + (f" on {payload.bed}" if payload.bed else "")
        case p.Observation():
            return f"Seen: {payload.what}" + (f". {payload.text}" if payload.text else "")
        case p.Note():
            return payload.text
    raise TypeError(f"{type(payload).__name__}: no words for this kind of entry")


def _reading(reading: Reading) -> str:
    name = QUANTITIES[reading.quantity].name
    name = name if name == "pH" else name[:1].upper() + name[1:]
    return f"{'Source water: ' if reading.source_water else ''}{name} {shown(reading)}"


def shown(reading: Reading) -> str:
    """Say what a reading showed, with its unit and dilution but without its name."""
    low, high = reading.low, reading.high
    if reading.value is not None and low == high:
        value = number(reading.value, 3)
    elif high is None and low is not None:
        value = f"{number(low, 3)} or more"
    elif low is None and high is not None:
        value = f"{number(high, 3)} or less"
    else:
        assert low is not None
        assert high is not None
        value = f"{number(low, 3)}{JOIN}–{JOIN}{number(high, 3)}"
    unit = f" {reading.unit}{_counted(reading)}" if reading.unit and reading.quantity != "ph" else ""
    diluted = f", diluted 1 in {number(reading.dilution)}" if reading.dilution != 1 else ""
    return f"{value}{unit}{diluted}"


def _counted(reading: Reading) -> str:
    kind = QUANTITIES[reading.quantity]
    if kind.ion is None:
        return ""
    return {"n": f" as {kind.element}", "ion": f" as {kind.ion}", None: " as the kit reads"}[reading.basis]


def _degrees(temperature: Temperature) -> str:
    return amount(temperature.value, "°C" if temperature.unit == "degC" else temperature.unit, 3)


def _typed(size: Amount) -> str:
    return amount(size.value, size.unit, 4)


def _plain(name: str) -> str:
    return name.replace("_", " ")


def _named(name: str | None) -> str:
    return f", {name}" if name else ""


def _because(reason: str) -> str:
    return f": {reason}" if reason else ""


def _untreated(treated: bool) -> str:
    return "" if treated else ", chlorine not removed"
