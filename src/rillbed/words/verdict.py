"""A verdict on the water in words: what stands where, why, and what to read or ask next."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from rillbed import facts, units, words
from rillbed.plan.advice import Reason
from rillbed.plan.verdict import LEVELS as LADDER
from rillbed.plan.verdict import Band, Verdict
from rillbed.words.numbers import amount, filled, listed, number
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
            f"Does your test of {inside(item)} count the element or the whole ion? Until then both are reckoned with."
            for item in found.unknown_basis
        ),
        missing=f"Not read lately: {listed(inside(item) for item in found.missing)}." if found.missing else "",
    )


def band(found: Band) -> BandWords:
    """Put one band into words."""
    return BandWords(
        name=NAMES[found.code],
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
    text = filled(template, _named(item))
    return text if text.startswith("pH") else text[:1].upper() + text[1:]


def inside(quantity: str) -> str:
    """Name of a quantity as it stands inside a sentence."""
    return INSIDE.get(quantity) or words.quantity(quantity)


def figure(value: float, unit: str) -> str:
    """Value with its unit; alkalinity and hardness also as CaCO3."""
    shown = amount(value, SHOWN.get(unit, unit))
    if unit == "meq/L":
        return f"{shown} ({amount(units.convert(value, 'meq/L', 'ppm_CaCO3'), 'mg/L')} as CaCO3)"
    return shown


def _headline(found: Verdict) -> str:
    """Say what is worst among what was read; what was not read is only ever asked for."""
    shown = [item for item in found.bands if item.applies]
    if not shown:
        return "Nothing is known of the water yet."
    read = [item for item in shown if item.basis != MODEL]
    out = [item for item in read if item.level != "safe"]
    guessed = [NAMES[item.code] for item in shown if item.basis == MODEL and item.chance("act") >= LIKELY]
    unread = f" Not read, and perhaps out of place: {listed(guessed)}." if guessed else ""
    if not out:
        return ("Nothing read so far is out of place." if read else "Nothing was read lately.") + unread
    first = max(out, key=lambda item: ORDER_OF[item.level])
    others = sum(item.level == first.level for item in out) - 1
    also = "" if others < 1 else f", and {others} more"
    return f"{NAMES[first.code]}: {LEVELS[first.level]}{also}.{unread}"


def _level(found: Band) -> str:
    """Say where it stands; of what was not read only how likely it is out of place."""
    if found.basis != MODEL or found.level == "safe":
        return LEVELS[found.level]
    share = found.chance(found.level)
    if share < LIKELY:
        return "not read; probably fine"
    return f"not read; {words.chance(share)} {LEVELS[found.level]}"


def _reading(found: Band) -> str:
    low, high, unit = found.low, found.high, found.unit
    if math.isinf(high):
        return f"{figure(low, unit)} or more, beyond the last step of the kit"
    if number(low) == number(high):
        return figure(high, unit)
    return f"{number(low)} to {figure(high, unit)}"


def _limit(found: Band) -> str:
    """Return the line of the level it stands at; of a safe one the first line there is."""
    level = found.level if found.level in found.limits else next(iter(found.limits), None)
    if level is None:
        return ""
    low, high = found.limits[level]
    ends = []
    if low is not None:
        ends.append(f"below {figure(low, found.unit)}")
    if high is not None:
        ends.append(f"above {figure(high, found.unit)}")
    whom = WHOM.get(found.binding) or species(found.binding)
    return f"{LEVELS[level]} {listed(ends, 'or')}; the strictest line is that of {whom}"


def _chance(found: Band) -> str:
    worse = "watch" if found.level == "safe" else found.level
    return f"{words.chance(found.chance(worse))} to be there or worse"


def species(name: str) -> str:
    """Name of a species as it stands inside a sentence."""
    row = facts.species().get(name)
    if row is None:
        return name
    kept = row.common_name.split()[0] in words.PLACES
    return row.common_name if kept else row.common_name[:1].lower() + row.common_name[1:]


def _named(item: Reason) -> dict[str, object]:
    out: dict[str, object] = dict(item.values)
    for key in ("quantity", "element"):
        if isinstance(out.get(key), str):
            out[key] = inside(str(out[key]))
    if isinstance(out.get("species"), str):
        out["species"] = species(str(out["species"]))
    if isinstance(out.get("whom"), str):
        out["whom"] = WHOM.get(str(out["whom"])) or species(str(out["whom"]))
    if isinstance(out.get("supply"), str):
        out["supply"] = words.supply(str(out["supply"]))
    if isinstance(out.get("kind"), str):
        out["event"] = EVENTS[str(out["kind"])]
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
        return f"{ends[0]} or more"
    return ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"
