"""A loop that runs: how it was started by its log, what its bacteria carry now, and how to start it again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rillbed import facts, words
from rillbed.draw.table import short, span
from rillbed.garden.log import LogEntry
from rillbed.garden.payloads import FishIn, Planted
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.carry import Carried
from rillbed.plan.cycling import challenge_passed
from rillbed.plan.ledger import additions
from rillbed.plan.look import readings
from rillbed.plan.rules import CLEAR_MG_L, Interval
from rillbed.web.origins import origin
from rillbed.web.startup.stages import PATHS
from rillbed.web.today.why import Why

TWO = 2  # tests in a row, so that one slip of the eye is no start


@dataclass(frozen=True)
class Running:
    """Everything the page of a running loop shows."""

    verdict: tuple[str, ...]
    story: tuple[tuple[str, str], ...]
    carried: tuple[tuple[str, str], ...]
    mark: str
    why: Why
    again: tuple[str, ...]
    care: str


def running(first: System, log: Sequence[LogEntry], state: LoopState, carried: Carried | None) -> Running:
    """Put the page together; `first` is the loop as first set up, `log` what counts, oldest first."""
    begun = words.day(first.started_on) + f" {first.started_on.year}"
    weeks = (state.on - first.started_on).days // 7
    return Running(
        verdict=(f"This loop runs since {begun}.", "There is nothing to start."),
        story=_story(first, log, weeks),
        carried=_carried(carried, state),
        mark=words.amount(CLEAR_MG_L, "mg/L as N"),
        why=origin("carried", state),
        again=_again(state),
        care="A bed that dried out, chlorine or medicine can kill the bacteria. "
        "Ammonia rises then, and the test sees it before the fish show it.",
    )


def _story(first: System, log: Sequence[LogEntry], weeks: int) -> tuple[tuple[str, str], ...]:
    path = next((one.title for one in PATHS if one.key == first.startup_path), "It ran already when this log began")
    out = [("How it began", f"{path}, {words.amount(weeks, 'weeks')} ago")]
    litres = 1000.0 * first.total_volume_m3
    given = [one for one in additions(first, log, litres) if not _fed(log, one.on, first)]
    if given:
        grams = sum(one.mg_l for one in given) * litres / 1000.0
        when = f"{words.day(given[0].on)} to {words.day(given[-1].on)}" if len(given) > 1 else words.day(given[0].on)
        times = "once" if len(given) == 1 else f"{len(given)} times"
        out.append(("Ammonia put in", f"{times}, {short(grams)} g of nitrogen, {when}"))
    for quantity, name in (("tan", "Ammonia"), ("no2", "Nitrite")):
        if top := _highest(readings(first, log, quantity)):
            out.append((f"{name}, highest test", f"{_read(top)} mg/L as N, {words.day(top.on)} {top.on.year}"))
    if challenge_passed(first, log, additions(first, log, litres)):
        out.append(("Proved", "a full day’s ammonia was gone in a day, two days running"))
    if low := _low_since(first, log):
        out.append(("Both low, two tests running", f"from {words.day(low)} {low.year} on"))
    for kind, name in ((FishIn, "First fish"), (Planted, "First plants")):
        if day := next((first.day_of(one.at) for one in log if isinstance(one.payload, kind)), None):
            out.append((name, f"{words.day(day)} {day.year}"))
    return tuple(out)


def _fed(log: Sequence[LogEntry], on: date, system: System) -> bool:
    """Whether the nitrogen of a day came with meals: once there are fish, feed starts nothing."""
    arrived = next((system.day_of(one.at) for one in log if isinstance(one.payload, FishIn)), None)
    return arrived is not None and on >= arrived


def _highest(found: Sequence[Interval]) -> Interval | None:
    return max(found, key=lambda one: (one.worst_low, one.worst_high), default=None)


def _low_since(system: System, log: Sequence[LogEntry]) -> date | None:
    """Day from which ammonia and nitrite first read low on two tests running."""
    days = []
    for quantity in ("tan", "no2"):
        row = 0
        for one in readings(system, log, quantity):
            row = row + 1 if one.worst_high <= CLEAR_MG_L else 0
            if row == TWO:
                days.append(one.on)
                break
    return max(days) if len(days) == TWO else None


def _read(one: Interval) -> str:
    if one.high is None:
        return f"{short(one.worst_low)} or more"
    return span(one.low or 0.0, one.high)


def _carried(found: Carried | None, state: LoopState) -> tuple[tuple[str, str], ...]:
    if found is None:
        return ()
    feed = f"{span(found.feed_g_day.low, found.feed_g_day.high, 0)} g a day, at {short(found.protein_pct)} % protein"
    load = f"{words.between(found.load_g_n_day.low, found.load_g_n_day.high)} g nitrogen a day"
    last = max(state.fed_g_by_day, default=None)
    fed = (("Last fed", f"{words.amount(state.fed_g_by_day[last], 'g')} on {words.day(last)}"),) if last else ()
    return (("Feed they can carry", feed), ("Ammonia they can carry", load), *fed)


def _again(state: LoopState) -> tuple[str, ...]:
    share = facts.value("start.first_fish_share")
    part = f"{short(100 * share)} g of each 100 g" if share < 1 else "all"
    first = "Stop feeding." if state.fish_count else "Put no fish in."
    return (
        first,
        "Take out the cause: no chlorine, no medicine, water moving through every bed.",
        f"Test ammonia and nitrite today and each day. Both must read {words.amount(CLEAR_MG_L, 'mg/L')} or less.",
        f"Two low tests running: feed {part} of the ration, and more as the tests stay low.",
        "If they do not fall, choose a start in the set-up; this page then leads through it.",
    )
