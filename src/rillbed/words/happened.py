"""A log entry as one line: what was done or seen, with the amount as typed."""

from __future__ import annotations

from rillbed import facts
from rillbed.garden import payloads as p
from rillbed.garden.base import Amount, Frozen
from rillbed.garden.log import LogEntry
from rillbed.garden.quantities import QUANTITIES
from rillbed.garden.readings import Reading, Temperature
from rillbed.tongue import later, tr
from rillbed.words.numbers import amount, capital, number, say

JOIN = "\N{WORD JOINER}"
SHARES = {
    1.0: later("{by} feeds the whole ration"),
    0.5: later("{by} feeds half the ration"),
    0.25: later("{by} feeds a quarter of the ration"),
}
SOME = later("{by} feeds {tenths} tenths of the ration")
WHERE = {"water": "Water temperature {degrees}", "air": "Air temperature {degrees}"}
TOPPED = {
    ("source", True): later("Topped up {amount} of source water"),
    ("source", False): later("Topped up {amount} of source water, chlorine not removed"),
    ("rain", True): later("Topped up {amount} of rain water"),
    ("rain", False): later("Topped up {amount} of rain water, chlorine not removed"),
}
EQUIPMENT = {
    "pump": "Pump", "air": "Air", "heater": "Heater", "siphon": "Siphon", "light": "Light", "filter": "Filter",
    "other": "Other",
}  # fmt: skip


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
            return say(WHERE[payload.where], degrees=_degrees(payload))
        case p.Feeding():
            if payload.group:
                return say("Fed {fish} {amount}", fish=payload.group, amount=_typed(payload.amount))
            return say("Fed the fish {amount}", amount=_typed(payload.amount))
        case p.Dosed():
            return say("Put in {amount} of {supply}", amount=_typed(payload.amount), supply=_plain(payload.substance))
        case p.WaterChanged():
            if payload.treated:
                return say("Changed {amount} of water", amount=_typed(payload.volume))
            return say("Changed {amount} of water, chlorine not removed", amount=_typed(payload.volume))
        case p.ToppedUp():
            return say(TOPPED[payload.source, payload.treated], amount=_typed(payload.volume))
        case p.SetUp():
            size = amount(1000 * payload.system.total_volume_m3, "L", 3)
            return say("Set up: {loop}, {size}", loop=payload.system.name, size=size)
        case p.Withdrawn():
            return f"{tr('Taken back')}{_because(payload.reason)}"
    return _living(payload) or _rest(payload)


def _living(payload: Frozen) -> str:
    match payload:
        case p.FishIn():
            told = {"count": payload.count, "species": _plain(payload.species), "each": _typed(payload.weight)}
            return say("{count} {species} of {each} in", **told) + (f", {payload.group}" if payload.group else "")
        case p.FishOut():
            return _out(payload)
        case p.FishDied():
            if payload.removed:
                return say("{count} of {group} died", count=payload.count, group=payload.group)
            return say("{count} of {group} died, not found", count=payload.count, group=payload.group)
        case p.FishWeighed():
            mean = amount(payload.weight_g, "g", 3)
            told = {"count": payload.count, "group": payload.group, "total": _typed(payload.total), "mean": mean}
            return say("Weighed {count} of {group}: {total}, {mean} each", **told)
        case p.Planted():
            told = {"count": payload.count, "crop": _plain(payload.crop), "bed": payload.bed, "tray": payload.tray}
            if payload.tray is not None:
                return say("Sowed {count} {crop} in tray {tray}", **told)
            return say("Planted {count} {crop} in {bed}", **told)
        case p.Picked():
            told = {"count": payload.count, "planting": payload.planting}
            what = say("Picked {count} of {planting}", **told) if payload.count else say("Picked {planting}", **told)
            weighed = f", {_typed(payload.amount)}" if payload.amount else ""
            return f"{what}{weighed}{tr(', the last') if payload.finished else ''}"
        case p.Removed():
            told = {"count": payload.count, "planting": payload.planting}
            what = (
                say("Took out {count} of {planting}", **told) if payload.count else say("Took out {planting}", **told)
            )
            return f"{what}{_because(payload.reason)}"
    return ""


def _out(payload: p.FishOut) -> str:
    told = {"count": payload.count, "group": payload.group}
    harvest = payload.reason == "harvest"
    text = say("Harvested {count} of {group}", **told) if harvest else say("Moved out {count} of {group}", **told)
    return say("{text}, {total} together", text=text, total=_typed(payload.total)) if payload.total else text


def _rest(payload: Frozen) -> str:
    match payload:
        case p.Cleaned():
            if payload.fraction == 1:
                return say("Cleaned {what}", what=tr(payload.what))
            parts = number(10 * payload.fraction)
            return say("Cleaned {what}, {parts} parts in 10", what=tr(payload.what), parts=parts)
        case p.Upkeep():
            named = f" ({payload.name})" if payload.name else ""
            return f"{tr(facts.upkeep()[payload.job].name)}{named}" + (f". {payload.text}" if payload.text else "")
        case p.FeedChanged():
            return say("Feed from now on: {feed}", feed=_plain(payload.feed))
        case p.EquipmentStopped():
            return say("{equipment} stopped", equipment=_equipment(payload.equipment, payload.name))
        case p.EquipmentStarted():
            return say("{equipment} runs again", equipment=_equipment(payload.equipment, payload.name))
        case p.Outage():
            return tr("Power away, still") if payload.until is None else tr("Power away for a while")
        case p.Spray():
            if payload.bed:
                return say("Sprayed {substance} on {bed}", substance=payload.substance, bed=payload.bed)
            return say("Sprayed {substance}", substance=payload.substance)
        case p.Observation():
            return say("Seen: {what}", what=tr(payload.what)) + (f". {payload.text}" if payload.text else "")
        case p.Spell():
            return say("Away: {spell}", spell=spell(payload))
        case p.Note():
            return payload.text
    raise TypeError(f"{type(payload).__name__}: no words for this kind of entry")


def spell(one: p.Spell) -> str:
    r"""Say which days away, and what is fed in them.

    Examples
    --------
    >>> spell(p.Spell(name="Winter break", first="2031-12-20", last="2032-01-04", feed_share=0.5, by="Ann"))
    'Winter break, 20\xa0Dec to 4\xa0Jan; Ann feeds half the ration'
    """
    told = {"name": one.name, "first": one.first, "last": one.last, "fed": fed(one)}
    return say("{name}, {first:day} to {last:day}; {fed}", **told)


def fed(one: p.Spell) -> str:
    """Say who feeds how much in a spell away."""
    if not one.by or one.feed_share <= 0.0:
        return tr("nothing is fed")
    told: dict[str, object] = {"by": one.by, "tenths": number(10.0 * one.feed_share)}
    return say(SHARES.get(one.feed_share, SOME), **told)


def _equipment(equipment: str, name: str) -> str:
    return tr(EQUIPMENT[equipment]) + (f", {name}" if name else "")


def _reading(reading: Reading) -> str:
    name = tr(QUANTITIES[reading.quantity].name)
    told = {"quantity": capital(name), "value": shown(reading)}
    return (
        say("Source water: {quantity} {value}", **told) if reading.source_water else say("{quantity} {value}", **told)
    )


def shown(reading: Reading) -> str:
    """Say what a reading showed, with its unit and dilution but without its name."""
    low, high = reading.low, reading.high
    if reading.value is not None and low == high:
        value = number(reading.value, 3)
    elif high is None and low is not None:
        value = say("{least} or more", least=number(low, 3))
    elif low is None and high is not None:
        value = say("{most} or less", most=number(high, 3))
    else:
        assert low is not None
        assert high is not None
        value = f"{number(low, 3)}{JOIN}–{JOIN}{number(high, 3)}"
    if reading.unit and reading.quantity != "ph":
        value = f"{value} {_counted(reading)}"
    if reading.dilution != 1:
        return say("{value}, diluted 1 in {parts}", value=value, parts=number(reading.dilution))
    return value


def _counted(reading: Reading) -> str:
    kind, unit = QUANTITIES[reading.quantity], tr(reading.unit)
    if kind.ion is None:
        return unit
    if reading.basis is None:
        return say("{unit} as the kit reads", unit=unit)
    return say("{unit} as {kind}", unit=unit, kind=kind.element if reading.basis == "n" else kind.ion)


def _degrees(temperature: Temperature) -> str:
    unit = "°C" if temperature.unit == "degC" else temperature.unit
    return amount(temperature.value, unit, 3)


def _typed(size: Amount) -> str:
    return amount(size.value, size.unit, 4)


def _plain(name: str) -> str:
    return tr(name.replace("_", " "))


def _because(reason: str) -> str:
    return f": {reason}" if reason else ""
