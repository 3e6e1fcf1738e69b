"""A verdict on the water in words: what stands where, why, and what to read or ask next."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from rillbed import facts, units, words
from rillbed.plan.advice import Reason
from rillbed.plan.verdict import LEVELS as LADDER
from rillbed.plan.verdict import Band, Verdict
from rillbed.tongue import tr
from rillbed.words.numbers import amount, capital, filled, listed, number, say
from rillbed.words.verdict_phrases import BEYOND, INSIDE, LEVELS, NAMES, REASONS, WHOM

ORDER_OF = {level: place for place, level in enumerate(LADDER)}
MODEL = "model"  # nobody read or said it: the members alone speak
LIKELY = 0.1  # less is not worth a sentence: nobody read it, and it is asked for anyway
SHOWN = {"degC": "°C", "1/day": "a day"}
EVENTS = {"acid": "acid", "change": "a water change"}


@dataclass(frozen=True)
class BandWords:
    """One band in words: what it is, how it stands, the reading, the line, the chance, and why."""

    name: str
    level: str
    reading: str
    limit: str
    chance: str
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class VerdictWords:
    """A verdict in words: the headline, bands in the order of safety, contradictions, and what to ask or read."""

    headline: str
    bands: tuple[BandWords, ...]
    contradictions: tuple[str, ...]
    questions: tuple[str, ...]
    missing: str


def verdict(found: Verdict) -> VerdictWords:
    """Put a whole verdict into words."""
    return VerdictWords(
        headline=_headline(found),
        bands=tuple(band(item) for item in found.bands if item.applies),
        contradictions=reasons(found.contradictions),
        questions=tuple(
            say(
                "Does your test of {quantity} count the element or the whole ion? Until then both are reckoned with.",
                quantity=inside(item),
            )
            for item in found.unknown_basis
        ),
        missing=say("Not read lately: {quantities}.", quantities=listed(inside(item) for item in found.missing))
        if found.missing
        else "",
    )


def band(found: Band) -> BandWords:
    """Put one band into words."""
    return BandWords(
        name=tr(NAMES[found.code]),
        level=_level(found),
        reading=_reading(found),
        limit=_limit(found),
        chance=_chance(found),
        reasons=reasons(found.reasons),
    )


def reasons(items: Iterable[Reason]) -> tuple[str, ...]:
    """Put reasons into words, in their order."""
    return tuple(reason(item) for item in items)


def reason(item: Reason) -> str:
    """One reason as a sentence.

    Raises
    ------
    KeyError
        If a code has no sentence; every code has one, and a test holds this.
    """
    open_end = any(isinstance(value, float) and math.isinf(value) for value in item.values.values())
    template = BEYOND[item.code] if open_end else REASONS[item.code]
    return capital(filled(template, _named(item)))


def inside(quantity: str) -> str:
    """Name of a quantity as it stands inside a sentence."""
    return tr(INSIDE[quantity]) if INSIDE.get(quantity) else words.quantity(quantity)


def figure(value: float, unit: str) -> str:
    """Value with its unit; alkalinity and hardness also as CaCO₃."""
    shown = amount(value, SHOWN.get(unit, unit))
    if unit == "meq/L":
        carbonate = amount(units.convert(value, "meq/L", "ppm_CaCO3"), "mg/L")
        return say("{amount} ({carbonate} as CaCO₃)", amount=shown, carbonate=carbonate)
    return shown


def _headline(found: Verdict) -> str:
    """Say what is worst among what was read; what was not read is only ever asked for."""
    shown = [item for item in found.bands if item.applies]
    if not shown:
        return tr("Nothing is known of the water yet.")
    read = [item for item in shown if item.basis != MODEL]
    out = [item for item in read if item.level != "safe"]
    guessed = [tr(NAMES[item.code]) for item in shown if item.basis == MODEL and item.chance("act") >= LIKELY]
    unread = [say("Not read, and perhaps out of place: {names}.", names=listed(guessed))] if guessed else []
    if not out:
        known = tr("Nothing read so far is out of place.") if read else tr("Nothing was read lately.")
        return " ".join([known, *unread])
    first = max(out, key=lambda item: ORDER_OF[item.level])
    others = sum(item.level == first.level for item in out) - 1
    told = {"name": tr(NAMES[first.code]), "level": tr(LEVELS[first.level]), "others": others}
    head = say("{name}: {level}.", **told) if others < 1 else say("{name}: {level}, and {others} more.", **told)
    return " ".join([head, *unread])


def _level(found: Band) -> str:
    """Say where it stands; of what was not read only how likely it is out of place."""
    if found.basis != MODEL or found.level == "safe":
        return tr(LEVELS[found.level])
    share = found.chance(found.level)
    if share < LIKELY:
        return tr("not read; probably fine")
    return say("not read; {chance} {level}", chance=words.chance(share), level=tr(LEVELS[found.level]))


def _reading(found: Band) -> str:
    low, high, unit = found.low, found.high, found.unit
    if math.isinf(high):
        return say("{least} or more, beyond the last step of the kit", least=figure(low, unit))
    if number(low) == number(high):
        return figure(high, unit)
    return say("{first} to {last}", first=number(low), last=figure(high, unit))


def _limit(found: Band) -> str:
    """Return the line of the level it stands at; of a safe one the first line there is."""
    level = found.level if found.level in found.limits else next(iter(found.limits), None)
    if level is None:
        return ""
    low, high = found.limits[level]
    ends = []
    if low is not None:
        ends.append(say("below {least}", least=figure(low, found.unit)))
    if high is not None:
        ends.append(say("above {most}", most=figure(high, found.unit)))
    return say(
        "{level} {ends}; the strictest line is that of {whom}",
        level=tr(LEVELS[level]),
        ends=listed(ends, "or"),
        whom=_whom(found.binding),
    )


def _chance(found: Band) -> str:
    worse = "watch" if found.level == "safe" else found.level
    return say("{chance} to be there or worse", chance=words.chance(found.chance(worse)))


def species(name: str) -> str:
    """Name of a species as it stands inside a sentence."""
    row = facts.species().get(name)
    if row is None:
        return name
    kept = row.common_name.split()[0] in words.PLACES
    return tr(row.common_name if kept else row.common_name[:1].lower() + row.common_name[1:])


def _whom(code: str) -> str:
    return tr(WHOM[code]) if WHOM.get(code) else species(code)


def _named(item: Reason) -> dict[str, object]:
    out: dict[str, object] = dict(item.values)
    for key in ("quantity", "element"):
        if isinstance(out.get(key), str):
            out[key] = inside(str(out[key]))
    if isinstance(out.get("species"), str):
        out["species"] = species(str(out["species"]))
    if isinstance(out.get("whom"), str):
        out["whom"] = _whom(str(out["whom"]))
    if isinstance(out.get("supply"), str):
        out["supply"] = words.supply(str(out["supply"]))
    if isinstance(out.get("kind"), str):
        out["event"] = tr(EVENTS[str(out["kind"])])
    unit = out.get("unit")
    if isinstance(unit, str) and isinstance(out.get("limit"), int | float):
        out["limit"] = figure(float(str(out["limit"])), unit)
    if item.code == "contradiction.twice":
        out["first"] = _span(item.values["low"], item.values["high"])
        out["then"] = _span(item.values["then_low"], item.values["then_high"])
    return out


def _span(low: object, high: object) -> str:
    ends = [number(float(str(value))) for value in (low, high) if value is not None]
    if high is None:
        return say("{least} or more", least=ends[0])
    return ends[0] if ends[0] == ends[1] else say("{first} to {last}", first=ends[0], last=ends[1])
