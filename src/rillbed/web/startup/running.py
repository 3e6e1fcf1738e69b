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
from rillbed.tongue import later, many, tr
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
    begun = _day(first.started_on)
    weeks = (state.on - first.started_on).days // 7
    return Running(
        verdict=(words.say("This loop runs since {day}.", day=begun), tr("There is nothing to start.")),
        story=_story(first, log, weeks),
        carried=_carried(carried, state),
        mark=words.amount(CLEAR_MG_L, later("mg/L as N")),
        why=origin("carried", state),
        again=_again(state),
        care=tr(
            "A bed that dried out, chlorine or medicine can kill the bacteria. "
            "Ammonia rises then, and the test sees it before the fish show it."
        ),
    )


def _story(first: System, log: Sequence[LogEntry], weeks: int) -> tuple[tuple[str, str], ...]:
    path = next(
        (one.title for one in PATHS if one.key == first.startup_path), later("It ran already when this log began")
    )
    out = [
        (tr("How it began"), words.say("{path}, {weeks} ago", path=tr(path), weeks=words.amount(weeks, later("weeks"))))
    ]
    litres = 1000.0 * first.total_volume_m3
    given = [one for one in additions(first, log, litres) if not _fed(log, one.on, first)]
    if given:
        grams = sum(one.mg_l for one in given) * litres / 1000.0
        text = tr("once, {grams} g of nitrogen, {first}")
        if (n := len(given)) > 1:
            text = many(
                "{n} time, {grams} g of nitrogen, {first} to {last}",
                "{n} times, {grams} g of nitrogen, {first} to {last}",
                n,
            )
        days = {"first": words.day(given[0].on), "last": words.day(given[-1].on)}
        out.append((tr("Ammonia put in"), text.format(n=n, grams=short(grams), **days)))
    for quantity, name in (("tan", tr("Ammonia, highest test")), ("no2", tr("Nitrite, highest test"))):
        if top := _highest(readings(first, log, quantity)):
            out.append((name, f"{_read(top)} {tr('mg/L as N')}, {_day(top.on)}"))
    if challenge_passed(first, log, additions(first, log, litres)):
        out.append((tr("Proved"), tr("a full day’s ammonia was gone in a day, two days running")))
    if low := _low_since(first, log):
        out.append((tr("Both low, two tests running"), words.say("from {day} on", day=_day(low))))
    for kind, name in ((FishIn, tr("First fish")), (Planted, tr("First plants"))):
        if day := next((first.day_of(one.at) for one in log if isinstance(one.payload, kind)), None):
            out.append((name, _day(day)))
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
        return words.say("{least} or more", least=short(one.worst_low))
    return span(one.low or 0.0, one.high)


def _carried(found: Carried | None, state: LoopState) -> tuple[tuple[str, str], ...]:
    if found is None:
        return ()
    feed = words.say(
        "{span} g a day, at {protein} % protein",
        span=span(found.feed_g_day.low, found.feed_g_day.high, 0), protein=short(found.protein_pct),
    )  # fmt: skip
    load = words.say("{span} g nitrogen a day", span=words.between(found.load_g_n_day.low, found.load_g_n_day.high))
    out = [(tr("Feed they can carry"), feed), (tr("Ammonia they can carry"), load)]
    if last := max(state.fed_g_by_day, default=None):
        fed = words.amount(state.fed_g_by_day[last], "g")
        out.append((tr("Last fed"), words.say("{fed} on {day}", fed=fed, day=words.day(last))))
    return tuple(out)


def _again(state: LoopState) -> tuple[str, ...]:
    share = facts.value("start.first_fish_share")
    part = tr("Two low tests running: feed {n} g of each 100 g of the ration, and more as the tests stay low.")
    whole = tr("Two low tests running: feed all of the ration, and more as the tests stay low.")
    test = tr("Test ammonia and nitrite today and each day. Both must read {mark} or less.")
    return (
        tr("Stop feeding.") if state.fish_count else tr("Put no fish in."),
        tr("Take out the cause: no chlorine, no medicine, water moving through every bed."),
        test.format(mark=words.amount(CLEAR_MG_L, "mg/L")),
        part.format(n=short(100 * share)) if share < 1 else whole,
        tr("If they do not fall, choose a start in the set-up; this page then leads through it."),
    )


def _day(on: date) -> str:
    return words.day(on, year=True)
