"""The page of the fish, put together from the last answer and the log."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from django.utils.safestring import mark_safe

from rillbed import draw, facts, words
from rillbed.garden.log import LogEntry
from rillbed.garden.state import FishGroup, LoopState
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.fish import Fish, Shoal
from rillbed.plan.outlook import Outlook
from rillbed.tongue import tr
from rillbed.web.charts import Figure
from rillbed.web.forecasts.store import Answer
from rillbed.web.origins import origin
from rillbed.web.today.jobs import Job, to_do
from rillbed.web.today.why import Why
from rillbed.words.numbers import amount, between, day, number

BINDS = ("shoal.room_left", "shoal.over_oxygen", "shoal.over_density")


@dataclass(frozen=True)
class ShoalShown:
    """One group: its name, what is known of it, and what to mind about its kind."""

    name: str
    given: bool  # by people, so in no language
    facts: tuple[tuple[str, str], ...]
    cares: tuple[str, ...]


@dataclass(frozen=True)
class Page:
    """Everything the template shows."""

    title: str
    verdict: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    jobs: tuple[Job, ...]
    shoals: tuple[ShoalShown, ...]
    days: tuple[tuple[str, ...], ...]
    growth: Figure | None
    kilograms: Figure | None
    limits: tuple[str, ...]
    worked_out: bool


def page(system: System, log: Sequence[LogEntry], state: LoopState, answer: Answer, on: date) -> Page:
    """Lay out the fish of a loop on a day."""
    told = answer.fish
    swimming = sum(group.count for group in state.groups.values())
    if told is None or answer.today is None or answer.outlook is None:
        return Page(_title(state), (tr("Being worked out."),), (), (), (), (), None, None, (), worked_out=False)
    if not swimming or not told.shoals:
        none = words.reason(Reason("shoal.none", {}))
        return Page(tr("Fish"), (none,), (), (), (), (), None, None, (), worked_out=True)
    jobs = to_do(answer.today, state, answer.mark, frozenset(entry.uuid for entry in log))
    wanted = {words.sentence(item).title for item in answer.today.advice if item.code.startswith("feed.")}
    mine = [job for job in jobs if job.title in wanted]
    first = next((n for n, job in enumerate(mine) if job.button), None)
    return Page(
        title=_title(state),
        verdict=_verdict(told),
        facts=_facts(told),
        jobs=tuple(replace(job, main=n == first) for n, job in enumerate(mine)),
        shoals=tuple(_shoal(item) for item in told.shoals),
        days=tuple(
            (
                words.day(row.on), between(row.temp_c.low, row.temp_c.high), amount(row.feed_g, "g"),
                " ".join(map(words.reason, row.notes)),
            )
            for row in told.days
        ),
        growth=_growth(told, answer.outlook, state, on),
        kilograms=_kilograms(told, state, on),
        limits=_limits(told),
        worked_out=True,
    )  # fmt: skip


def _verdict(told: Fish) -> tuple[str, ...]:
    """Give what stands out; a limit that is far off stays with its chart."""
    *before, last = told.verdict
    shown = told.verdict if not before or last.code not in BINDS else before
    return tuple(words.reason(item) for item in shown)


def _title(state: LoopState) -> str:
    groups = [group for group in state.groups.values() if group.count > 0]
    if len(groups) == 1:
        return words.say("{n} {kind}", n=groups[0].count, kind=words.shoal("0" * 32, groups[0].species))
    if not groups:
        return tr("Fish")
    return words.say("Fish, {n} in {groups} groups", n=sum(group.count for group in groups), groups=len(groups))


def _facts(told: Fish) -> tuple[tuple[str, str], ...]:
    mass = told.kilograms[0].fish_kg if told.kilograms else None
    out = []
    if mass is not None:
        out.append((tr("All together"), f"{between(mass.low, mass.high)} kg"))
    if told.days:
        out.append((tr("Feed today"), amount(told.days[0].feed_g, "g")))
    return tuple(out)


def _shoal(item: Shoal) -> ShoalShown:
    row = facts.species()[item.species]
    weight, gain = item.weight_g, item.gain_g_day
    shown = [
        (tr("Fish"), f"{item.count}"),
        (tr("One weighs"), f"{between(weight.low, weight.high)} g"),
        (tr("Gain of one"), words.say("{span} g a day", span=between(max(0.0, gain.low), max(0.0, gain.high)))),
        (tr("Last weighed"), day(item.weighed_on)),
    ]
    if item.conversion is not None:
        shown.append((tr("Feed for a gram gained"), words.say("{n} g, as logged", n=number(item.conversion))))
    if item.died:
        shown.append((tr("Died"), f"{item.died}"))
    if item.taken_out:
        shown.append((tr("Taken out"), f"{item.taken_out}"))
    name = words.shoal(item.group, item.species)
    cares = tuple(tr(text) for text in (row.care_note, row.legal_caution) if text)
    return ShoalShown(words.capital(name), name == item.group, tuple(shown), cares)


def _growth(told: Fish, ahead: Outlook, state: LoopState, on: date) -> Figure | None:
    """Draw the mean weight of all fish, with the weighings of a single group on it."""
    rows = [row for row in ahead.rows if row.bands["fish_weight_g"].high > 0]
    if not rows:
        return None
    bands = [row.bands["fish_weight_g"] for row in rows]
    one = told.shoals[0] if len(told.shoals) == 1 else None
    readings, limits = [], []
    if one is not None:
        readings = _weighings(state.groups[one.group], state, rows[0].on)
        if one.harvest_g < 1.5 * max(band.high for band in bands):
            limits.append(draw.Limit(one.harvest_g, tr("eating size"), forbidden="below"))
    answer = " ".join(words.reason(item) for item in told.verdict if item.code not in BINDS)
    series = draw.Series(
        [row.on for row in rows], [band.middle for band in bands], [band.low for band in bands],
        [band.high for band in bands], stream="fish",
    )  # fmt: skip
    chart = draw.Chart(
        unit=tr("One fish, g"), series=(series,),
        summary=words.say("Weight of one fish over the year ahead. {answer}", answer=answer),
        readings=tuple(readings), limits=tuple(limits), today=on, table="t-growth",
    )  # fmt: skip
    return _figure("growth", tr("Growth"), answer, chart, origin("fish_weight_g", state))


def _weighings(group: FishGroup, state: LoopState, since: date) -> list[draw.IntervalReading]:
    days = [(state.system.day_of(item.at), item.weight_g) for item in group.weighings]
    return [draw.IntervalReading(on, weight, weight) for on, weight in days if on >= since]


def _kilograms(told: Fish, state: LoopState, on: date) -> Figure | None:
    if not told.kilograms:
        return None
    days = [week.on for week in told.kilograms]
    mass = draw.Series(
        days, [w.fish_kg.middle for w in told.kilograms], [w.fish_kg.low for w in told.kilograms],
        [w.fish_kg.high for w in told.kilograms], stream="fish", label=tr("fish"),
    )  # fmt: skip
    top = 2.0 * max(max(w.fish_kg.high for w in told.kilograms), told.guide_kg[1] if told.guide_kg else 0.0)
    air = draw.Series(
        days, [min(w.oxygen_kg, top) for w in told.kilograms], stream="water", label=tr("oxygen carries"), other=True
    )  # fmt: skip
    limits = () if told.guide_kg is None else (draw.Limit(told.guide_kg[1], tr("most for the tanks")),)
    binds = [item for item in told.verdict if item.code in BINDS]
    answer = " ".join(map(words.reason, binds))
    chart = draw.Chart(
        unit=tr("All fish, kg"), series=(mass, air),
        summary=words.say("Kilograms of fish against what binds them. {answer}", answer=answer),
        limits=limits, today=on, table="t-kg",
    )  # fmt: skip
    return _figure("kg", tr("Kilograms against limits"), answer, chart, origin("o2_min_mg_l", state))


def _figure(key: str, title: str, answer: str, chart: draw.Chart, why: Why) -> Figure:
    table = draw.table(
        chart, day_header=tr("Day"), reading_header=tr("weighed"),
        open_high=lambda text: words.say("{least} or more", least=text),
        open_low=lambda text: words.say("{most} or less", most=text), every=4, digits=1,
    )  # fmt: skip
    named = draw.Table(
        tuple(tr("8 futures in 10") if head == chart.unit else head for head in table.headers), table.rows
    )
    # Built by `draw` from numbers and escaped words only.
    return Figure(key, title, answer, mark_safe(draw.line_chart(chart, half=True)), named, why)


def _limits(told: Fish) -> tuple[str, ...]:
    out = []
    if told.guide_kg is not None:
        low, high = (number(value) for value in told.guide_kg)
        out.append(
            words.say(
                "By density the fish tanks hold {low} kg for a beginner and {high} kg at most.", low=low, high=high
            )
        )
    if told.kilograms:
        least = min(told.kilograms, key=lambda week: week.oxygen_kg)
        out.append(
            words.say(
                "Oxygen at the worst hour carries least in the week of {day}: {kg} kg, and more in 8 futures of 10.",
                day=day(least.on),
                kg=number(least.oxygen_kg),
            )
        )
    return tuple(out)
