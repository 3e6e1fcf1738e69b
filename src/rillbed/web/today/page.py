"""The page of today, put together from an answer of the plans and the log."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from rillbed import words
from rillbed.draw.table import span
from rillbed.garden.chains import effective
from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.answers import Today
from rillbed.tongue import later, tr
from rillbed.web import clock
from rillbed.web.away.page import Notice, notices
from rillbed.web.charts import Figure, figures
from rillbed.web.forecasts.store import Answer
from rillbed.web.origins import origin
from rillbed.web.today import jobs
from rillbed.web.today.odd import Asked, asked
from rillbed.web.today.pictures import Picture, pictures
from rillbed.web.today.why import Why
from rillbed.words import learned

# Column of the glance -> name, unit, decimals.
GLANCE = {
    "temp_c": (later("Water"), "°C", 1),
    "o2_min_mg_l": (later("Oxygen at dawn"), "mg/L", 1),
    "tan_mg_l": (later("Ammonia"), later("mg/L as N"), 2),
    "no2_mg_l": (later("Nitrite"), later("mg/L as N"), 2),
    "ph": (later("pH"), "", 1),
    "alkalinity_meq_l": (later("Alkalinity"), "meq/L", 1),
    "no3_mg_l": (later("Nitrate"), later("mg/L as N"), 1),
    "k_mg_l": (later("Potassium"), "mg/L", 0),
    "ca_mg_l": (later("Calcium"), "mg/L", 0),
    "fe_mg_l": (later("Iron"), "mg/L", 2),
    "fish_weight_g": (later("One fish"), "g", 0),
    "fish_biomass_g": (later("All fish"), "g", 0),
    "feed_g_day": (later("Feed"), later("g a day"), 1),
    "plant_area_m2": (later("Planted"), "m²", 1),
}
# What stands at the top, and how it is counted.
COUNTED = {
    "Water, expected": later(
        "Water: the first line of the list called “The loop tonight” opens to how it is worked out."
    ),
    "Fed today": later(
        "Fed today: all feedings of this day in the log, of the ration advised; the ration opens at its job."
    ),
    "Fish": later("Fish: put in, less died and taken out, by the log."),
    "Last test": later("Last test: the latest reading of the water in the log."),
    "Day of the start": later("Day of the start: counted from the day in the set-up."),
}


@dataclass(frozen=True)
class Page:
    """Everything the template shows."""

    day: str
    verdict: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    done: list[jobs.Done]
    alarm: list[jobs.Job]
    jobs: list[jobs.Job]
    soon: tuple[str, ...]
    pictures: list[Picture]
    charts: list[Figure]
    glance: tuple[tuple[str, str, Why], ...]
    counted: tuple[str, ...]
    notes: tuple[str, ...]
    age: str
    members: int
    stop: str
    digest: str
    questions: tuple[Asked, ...]
    wanted: tuple[str, ...]
    taught: tuple[str, ...]
    trust: str
    away: tuple[Notice, ...]


def page(system: System, first: System, log: Sequence[LogEntry], answer: Answer, now: datetime) -> Page:
    """Put the page together; `first` is the loop before any change of its set-up."""
    on = system.day_of(now)
    state = state_at(first, log, on)
    told = answer.today
    todo = jobs.to_do(told, state, answer.mark, frozenset(entry.uuid for entry in log)) if told else []
    assert told is not None
    assert answer.outlook is not None
    facts = _facts(system, state, told, on)
    about = told.known.questions if told.known else ()
    standing = frozenset(str(one.uuid) for one in effective(log)) if about else frozenset()
    return Page(
        day=f"{words.weekday(on)}, {words.day(on)}",
        verdict=_sentences(words.reason(told.verdict)),
        facts=tuple((tr(name), value) for name, value in facts),
        done=jobs.done(system, log, on),
        alarm=[job for job in todo if job.alarm],
        jobs=[job for job in todo if not job.alarm],
        soon=tuple(words.reason(item) for item in told.coming_up),
        pictures=pictures(told, state),
        charts=figures(answer.outlook, state, on),
        glance=tuple(
            (tr(name), f"{span(band.low, band.high, digits)} {tr(unit)}".strip(), origin(key, state))
            for key, (name, unit, digits) in GLANCE.items()
            if (band := told.glance.get(key)) is not None
        ),
        counted=tuple(tr(COUNTED[name]) for name, _ in facts if name in COUNTED),
        notes=tuple(words.reason(item) for item in told.notes),
        age=_age(system, answer, now),
        members=answer.outlook.members,
        stop=words.reason(Reason("note.stop", {"why": told.stop})),
        digest=told.digest[:12],
        questions=asked(told.known, standing),
        wanted=learned.wanted(told.known) if told.known else (),
        taught=tuple(learned.taught(one) for one in told.known.taught) if told.known else (),
        trust=learned.score(told.known.trust) if told.known else "",
        away=notices(log, on),
    )


def _sentences(text: str) -> tuple[str, ...]:
    """Split into sentences, so that lines break between them first."""
    parts = text.replace(". ", ".\n").replace(": ", ":\n").split("\n")
    return tuple(part for part in parts if part)


def _facts(system: System, state: LoopState, told: Today, on: date) -> tuple[tuple[str, str], ...]:
    out = []
    if (water := told.glance.get("temp_c")) is not None:
        out.append((later("Water, expected"), f"{span(water.low, water.high, 1)}\u00a0°C"))
    if state.fish_count:
        day = words.amount(sum(item.per_day_g for item in told.rations), "g")
        out.append((later("Fed today"), words.say("{fed} of {day}", fed=words.number(state.fed_g_today), day=day)))
        out.append((later("Fish"), f"{state.fish_count}"))
    tests = [timed.at for readings in state.readings.values() for timed in readings]
    out.append((later("Last test"), words.day(system.day_of(max(tests))) if tests else tr("none yet")))
    if not state.fish_count:
        out.append((later("Day of the start"), f"{(on - system.started_on).days + 1}"))
    return tuple(out[:4])


def _age(system: System, answer: Answer, now: datetime) -> str:
    assert answer.made_at is not None
    made = clock.local(system, answer.made_at)
    at = words.clock(made)
    if system.day_of(made) != system.day_of(now):
        at = f"{words.day(made.date())}, {at}"
    if answer.problem:
        return words.say("Forecast of {at}. A newer one could not be made: {why}.", at=at, why=answer.problem)
    if answer.quick:
        return words.say(
            "First answer of {at}; it knows every entry of the log. The full answer is being worked out.", at=at
        )
    if not answer.fresh:
        return words.say("Forecast of {at}, older than your last entry. A new one is being worked out.", at=at)
    return words.say("Forecast of {at}; it knows every entry of the log.", at=at)
