"""From a log to clues: readings into steps, what was seen, and what follows from several of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.facts import trouble
from rillbed.facts.trouble import Clue
from rillbed.garden.fold import LoopState, state_at, system_at
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import Observation
from rillbed.garden.readings import Reading
from rillbed.garden.system import System
from rillbed.plan.look import until
from rillbed.plan.trouble import stock
from rillbed.plan.trouble.hidden import Hidden, hidden
from rillbed.plan.trouble.logged import fed_g_day, logged
from rillbed.plan.verdict import LEVELS, Verdict, judge
from rillbed.plan.verdict.evidence import Evidence, gather
from rillbed.plan.verdict.who import Who, who

Weights = tuple[float, ...]
# Readings of more than one clue's worth: how much a change must be to be a course, as a share and as an amount.
COURSE = {"tan": (0.25, 0.15), "no2": (0.25, 0.05), "ph": (0.0, 0.25)}
# What went in or was done keeps its effect when something milder follows: the graver answer stays.
EXPOSURES = frozenset({"change", "medicine", "spray", "washed", "acid", "base", "iron_given", "new_fish"})
GRAVE = {"change": ("none", "treated", "unknown", "stood", "untreated")}


@dataclass(frozen=True)
class Scene:
    """All that is known on one day."""

    system: System
    log: tuple[LogEntry, ...]
    on: date
    state: LoopState
    who: Who
    verdict: Verdict
    history: Mapping[str, tuple[Evidence, ...]]
    source: Mapping[str, Evidence]
    numbers: Mapping[str, float]
    asked: tuple[str, ...]
    signs: Mapping[str, Weights]
    hidden: Hidden | None
    forecast: Forecast | None
    clashes: tuple[tuple[str, str, str], ...]

    def last(self, quantity: str) -> Evidence | None:
        """Latest reading of the loop, if it still decides."""
        items = self.history.get(quantity, ())
        return items[-1] if items else None


def scene(system: System, entries: Sequence[LogEntry], on: date, forecast: Forecast | None = None) -> Scene:
    """Gather everything known on a day; members of a forecast speak in the verdict where nobody read."""
    log = until(system, entries, on)
    system = system_at(system, log, on)
    state = state_at(system, log, on)
    seen, numbers, asked, clashes = _told(system, log, on)
    seen = {**logged(system, log, state, on), **seen}
    fed = fed_g_day(state, on)
    if fed is not None:
        numbers.setdefault("feed_g_day", fed)
    history = gather(system, log, on)
    gasping = ("gasping",) if seen.get("gasping") in ("some", "all") else ()
    verdict = judge(system, log, forecast, on=on, facts_seen=gasping)
    source = _source(system, log, on)
    found = hidden(system, log, history, source)
    signs: dict[str, Weights] = {code: one(trouble.clues()[code], answer) for code, answer in seen.items()}
    for code, clue in trouble.clues().items():
        if clue.quantity:
            item = source.get(clue.quantity) if clue.of == "source" else _last(history, clue.quantity)
            if item is not None and item.age_days <= clue.days and code not in signs:
                signs[code] = steps(clue, item)
    who_lives = who(system, state)
    signs |= _bands(verdict) | _courses(history, on) | _warmth(who_lives, history, numbers)
    if numbers.get("salt_g_l", 0.0) >= facts.value("trouble.salty_g_l") and "ec" not in signs:
        signs["ec"] = one(trouble.clues()["ec"], "salty")
    signs |= stock.signs(system, state, numbers, who_lives)
    if found is not None:
        signs["balance"] = one(trouble.clues()["balance"], "more_than_left" if found.producing else "closes")
    if "dying" not in signs and (pattern := _pattern(system, log, on, state)) is not None:
        signs["dying"] = one(trouble.clues()["dying"], pattern)
    return Scene(
        system, log, on, state, who_lives, verdict, history, source, numbers, asked, signs, found, forecast, clashes
    )


def one(clue: Clue, answer: str) -> Weights:
    """All weight on one answer."""
    return tuple(1.0 if item == answer else 0.0 for item in clue.answers)


def steps(clue: Clue, item: Evidence) -> Weights:
    """Share of a reading's interval in each step of a clue; half on either basis where nobody knows it.

    Notes
    -----
    An open upper end reaches half as far again as the kit's last step; an open pH to its usual bound.
    """
    spans = [(item.low, item.high)] if item.ion is None else [(item.low, item.high), item.ion]
    weights = [0.0] * len(clue.answers)
    for low, high in spans:
        bottom = low if low is not None else min(item.least, high if high is not None else item.least)
        top = high if high is not None else (1.5 * bottom if clue.quantity != "ph" else item.most)
        for k, part in enumerate(_parts(clue.edges, bottom, max(top, bottom))):
            weights[k] += part / len(spans)
    return tuple(weights)


def _parts(edges: tuple[float, ...], low: float, high: float) -> list[float]:
    if high - low < 1e-9:
        place = sum(1 for edge in edges if low >= edge)
        return [1.0 if k == place else 0.0 for k in range(len(edges) + 1)]
    bounds = [float("-inf"), *edges, float("inf")]
    return [max(0.0, min(high, b) - max(low, a)) / (high - low) for a, b in pairwise(bounds)]


def _last(history: Mapping[str, tuple[Evidence, ...]], quantity: str) -> Evidence | None:
    items = history.get(quantity, ())
    return items[-1] if items else None


def _told(
    system: System, log: Sequence[LogEntry], on: date
) -> tuple[dict[str, str], dict[str, float], tuple[str, ...], tuple[tuple[str, str, str], ...]]:
    """Answers to clues as last told and still true, numbers, what was asked for, and answers that clash."""
    seen: dict[str, str] = {}
    when: dict[str, object] = {}
    numbers: dict[str, float] = {}
    asked: list[str] = []
    clashes = []
    for entry in log:
        payload = entry.payload
        if not isinstance(payload, Observation):
            continue
        code, age = payload.what, (on - system.day_of(entry.at)).days
        clue = trouble.clues().get(code)
        if code == "asked":
            asked.append(payload.text.strip().lower().replace(" ", "_"))
        elif clue is not None and payload.text in clue.answers and age <= clue.days:
            if when.get(code) == entry.at and seen[code] != payload.text:
                clashes.append((code, seen[code], payload.text))
            if code in EXPOSURES and code in seen and _graver(clue, seen[code], payload.text):
                continue
            seen[code], when[code] = payload.text, entry.at
        elif clue is None:
            try:
                numbers[code] = float(payload.text)
            except ValueError:
                continue
    return seen, numbers, tuple(asked), tuple(clashes)


def _graver(clue: Clue, before: str, after: str) -> bool:
    order = GRAVE.get(clue.id, clue.answers)
    return order.index(before) > order.index(after)


def _source(system: System, log: Sequence[LogEntry], on: date) -> dict[str, Evidence]:
    """Find the readings of the source water: those logged, else what the set-up says."""
    moved = []
    for entry in log:
        if isinstance(entry.payload, Reading) and entry.payload.source_water:
            moved.append(entry.model_copy(update={"payload": entry.payload.model_copy(update={"source_water": False})}))
    found = {quantity: items[-1] for quantity, items in gather(system, moved, on).items()}
    water = system.source_water
    chlorine = [value for value in (water.free_chlorine_mg_l, water.chloramine_mg_l) if value is not None]
    told = {"chlorine": sum(chlorine) if chlorine else None, "alkalinity": water.alkalinity_meq_l, "ph": water.ph}
    start = log[0].at if log else None
    for quantity, amount in told.items():
        if amount is not None and quantity not in found and start is not None:
            found[quantity] = Evidence(quantity, amount, amount, start, on, 0)
    return found


def _bands(verdict: Verdict) -> dict[str, Weights]:
    """Chances of the levels of free ammonia and nitrite, as the verdict has them."""
    out = {}
    for clue, code, behind in (("nh3", "nh3_n", "tan"), ("nitrite", "no2_n", "no2"), ("nitrate", "no3_n", "no3")):
        band = verdict.band(code)
        if band is not None and band.basis != "model" and band.quantity == behind and band.applies:
            # Too little nitrate is the plants' matter.
            scarce = clue == "nitrate" and band.high < (facts.water_limits()["no3_watch"].low or 0.0)
            out[clue] = (1.0, 0.0, 0.0, 0.0) if scarce else tuple(band.probabilities[level] for level in LEVELS)
    return out


def _courses(history: Mapping[str, tuple[Evidence, ...]], on: date) -> dict[str, Weights]:
    """Whether a reading falls, stands or rises between the last two tests."""
    out = {}
    for quantity, (share, amount) in COURSE.items():
        items = history.get(quantity, ())
        if len(items) < 2 or items[-1].age_days > facts.value("plan.stale_days"):
            continue
        before, after = items[-2], items[-1]
        if (after.on - before.on).days > facts.value("trouble.window_days"):
            continue
        first, last = (0.5 * (item.least + _top(item)) for item in (before, after))
        margin = max(amount, share * first)
        answer = "rising" if last > first + margin else "falling" if last < first - margin else "steady"
        clue = trouble.clues()[f"{quantity}_course"]
        out[clue.id] = one(clue, answer)
    return out


def _top(item: Evidence) -> float:
    return item.most if item.high is not None else 1.25 * item.least


def _warmth(
    lives: Who, history: Mapping[str, tuple[Evidence, ...]], numbers: Mapping[str, float]
) -> dict[str, Weights]:
    """Water now, and as expected, against the range of the kinds kept: the one that suffers first decides."""
    out = {}
    item = _last(history, "temperature")
    if lives.species and item is not None and item.age_days <= trouble.clues()["warmth"].days:
        ranks = [_rank(name, item.least, item.most) for name in lives.species]
        out["warmth"] = one(trouble.clues()["warmth"], max(ranks, key=_suffers))
    ahead = numbers.get("water_ahead_c")
    if ahead is None and "air_ahead_c" in numbers and item is not None:
        # A tank in the sun comes half way to the air's peak within a few days.
        ahead = item.most + 0.5 * max(0.0, numbers["air_ahead_c"] - item.most)
    if lives.species and ahead is not None:
        ranks = [_rank(name, ahead, ahead) for name in lives.species]
        worst = max(ranks, key=_suffers)
        answer = worst if worst in ("above", "deadly") else "fits"
        out["to_come"] = one(trouble.clues()["to_come"], answer)
    return out


def _rank(species: str, low: float, high: float) -> str:
    row = facts.species()[species]
    if high >= row.temp_lethal_high_c - facts.value("verdict.lethal_margin"):
        return "deadly"
    if high > row.temp_vital_max_c:
        return "above"
    if low <= row.temp_lethal_low_c + facts.value("verdict.lethal_margin"):
        return "too_cold"
    return "below" if low < row.temp_vital_min_c or low <= row.temp_feed_stop_low_c else "fits"


def _suffers(answer: str) -> int:
    return ("fits", "below", "above", "too_cold", "deadly").index(answer)


def _pattern(system: System, log: Sequence[LogEntry], on: date, state: LoopState) -> str | None:
    """Pattern of the deaths of the last fortnight, from how many were found on which day."""
    window = facts.value("trouble.window_days")
    by_day: dict[date, float] = {}
    for entry in log:
        payload, day = entry.payload, system.day_of(entry.at)
        if isinstance(payload, Observation) and payload.what == "dead" and (on - day).days <= window:
            by_day[day] = by_day.get(day, 0.0) + float(payload.text)
        elif entry.kind == "fish_died" and (on - day).days <= window:
            count = float(getattr(payload, "count", 0))
            by_day[day] = max(by_day.get(day, 0.0), count)
    if not by_day:
        return None
    fish = state.fish_count + sum(group.died for group in state.groups.values())
    worst = max(by_day.values())
    many = worst >= max(3.0, 0.1 * fish)
    if many and len(by_day) <= 2:
        return "all_at_once" if fish and worst >= 0.5 * fish else "overnight"
    return "overnight" if many else "one_by_one"
