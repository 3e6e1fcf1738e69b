"""Hours of oxygen in words: how long each tank lasts, what to do when, warm days, and a card to print and pin up."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterable

from rillbed import facts, words
from rillbed.plan.advice import Reason
from rillbed.plan.outage import Act, Lasts, Minutes, Outlook, TankLife, WarmDay
from rillbed.tongue import later, tr
from rillbed.words.cautions import caution as caution
from rillbed.words.numbers import amount, filled, number, say
from rillbed.words.outage_phrases import ACTS, REASONS

HOUR, DAY = 60.0, 1440.0
CARD_WIDTH = 66
LONG = later("more than a day")


def minutes(value: float) -> str:
    r"""Time as a person reads it: minutes up to two hours, then hours; beyond a day just that.

    Examples
    --------
    >>> minutes(17.4), minutes(200.0), minutes(float("inf"))
    ('17\xa0min', '3.3\xa0h', 'more than a day')
    """
    if math.isinf(value) or value > DAY:
        return tr(LONG)
    return amount(math.floor(value), "min") if value < 2.0 * HOUR else amount(value / HOUR, "h")


def span(value: Minutes) -> str:
    """Cautious end first, then up to where the hopeful end lies."""
    low, high = minutes(value.cautious), minutes(value.hopeful)
    return low if low == high else say("{low}, at best {high}", low=low, high=high)


def fish(species: str) -> str:
    """Name of a kind inside a sentence."""
    return tr(facts.species()[species].common_name)


def tank(item: TankLife) -> str:
    """Put one tank into a line."""
    if not item.lasts:
        return say("{tank}: no fish.", tank=item.name)
    return say(
        "{tank} ({density}, {warmth}): {minutes} at worst.",
        tank=item.name,
        density=amount(item.density_kg_m3, "kg/m³"),
        warmth=amount(item.temp_c, "°C", 3),
        minutes=minutes(item.first_minutes),
    )


def lasts(item: Lasts) -> str:
    """Put one case of one kind into a line."""
    return say(
        "{fish}, {when}, {fed}: suffer after {stress}; fail after {critical}",
        fish=fish(item.species),
        when=tr("by day") if item.case == "day" else tr("at night"),
        fed=tr("just fed") if item.fed else tr("not fed"),
        stress=span(item.stress),
        critical=span(item.critical),
    )


def air(item: TankLife) -> str:
    """Put battery air for a tank into a line."""
    a = item.air
    return say(
        "Battery air: {air} through fine stones, a pump of about {watts}, {battery} for {hours}.",
        air=amount(a.air_l_min, "L/min"),
        watts=amount(a.watts, "W"),
        battery=amount(a.battery_ah, "Ah"),
        hours=amount(a.hours, "h"),
    )


def act(item: Act) -> str:
    """Put one act into a sentence with its amount."""
    text = filled(ACTS[item.code], {"tank": item.tank or tr("the tank")})
    return f"{text}: {amount(item.amount, item.unit)}." if item.amount is not None else f"{text}."


def by(item: Act) -> str:
    """Say by when an act is due."""
    if item.by_minutes < 1.0:
        return tr("At once")
    return tr("Later") if item.by_minutes >= DAY else say("Within {time}", time=minutes(item.by_minutes))


def reasons(items: Iterable[Reason]) -> tuple[str, ...]:
    """Put reasons into words, in their order."""
    return tuple(reason(item) for item in items)


def reason(item: Reason) -> str:
    """Put one reason into words."""
    values = dict(item.values)
    if isinstance(values.get("species"), str):
        values["species"] = fish(str(values["species"]))
    if isinstance(values.get("share"), float):
        values["tenths"] = number(float(max(1, round(10.0 * float(str(values["share"]))))))
    if isinstance(values.get("minutes"), float):
        values["minutes"] = number(float(math.floor(min(float(str(values["minutes"])), DAY))))
    return filled(REASONS[item.code], values)


def warm_day(item: WarmDay) -> str:
    """Put one day ahead into a line."""
    name = tr("Today") if item.day == 0 else tr("Tomorrow") if item.day == 1 else say("In {days} days", days=item.day)
    low, high = number(item.air_low_c, 3), number(item.air_high_c, 3)
    same = item.air_low_c == item.air_high_c
    return say(
        "{day}: air {air}, water up to {peak}, where it holds at most {most} of oxygen; as low as {least} with fed "
        "fish.",
        day=name,
        air=f"{low}°C" if same else say("{first} to {last}", first=low, last=f"{high}°C"),
        peak=amount(item.water_peak_c, "°C", 3),
        most=amount(item.saturation_mg_l, "mg/L"),
        least=amount(item.o2_low_mg_l, "mg/L"),
    )


def card(found: Outlook, width: int = CARD_WIDTH) -> str:
    """Text for a card to print and pin up beside the tanks: who fails first, and what to do in order.

    Lines are broken at `width` signs; with 0 they are left to whatever shows them.
    """
    day = words.day(found.on, year=True)
    lines = [tr("WHEN THE AIR STOPS"), say("{loop}, worked out on {day}", loop=found.system, day=day), ""]
    lines += [f"{place}. {tank(item)}" for place, item in enumerate(found.tanks, start=1) if item.lasts]
    lines.append("")
    done: set[str] = set()
    for item in found.acts:
        if item.code == "alarm":
            continue
        lines += _wrapped(f"[ ] {by(item)}: {act(item)}", "    ", width)
        for code in item.cautions:
            if code not in done:
                lines += _wrapped(f"    ! {caution(code)}", "      ", width)
                done.add(code)
    lines += ["", tr("Rules of your place and the vet, the electrician and the authority go first."), ""]
    return "\n".join(lines)


def _wrapped(text: str, indent: str, width: int) -> list[str]:
    return textwrap.wrap(text, width, subsequent_indent=indent, break_on_hyphens=False) if width else [text]
