"""Every code of a verdict has a sentence, and the sentences read well."""

import math
import re
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from string import Formatter
from uuid import UUID

import pytest

from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan import verdict
from rillbed.plan.advice import Reason
from rillbed.plan.verdict import LEVELS, ORDER, source
from rillbed.words import verdict as said
from rillbed.words import verdict_phrases as phrases

ON = date(2031, 4, 21)
CODE = re.compile(r'Reason\(\s*(?:f)?"([a-z0-9_.{}]+)"')
# Codes that are put together from parts, and the parts each can have.
PARTS = {
    "{code}_now": ["budget.floor_now", "budget.crash_now"],
    "{code}_far": ["budget.floor_far", "budget.crash_far"],
    "{code}_maybe": ["budget.floor_maybe", "budget.crash_maybe"],
    "{code}_in": ["budget.floor_in", "budget.crash_in"],
    "{kind}.untreated": ["chlorine.untreated", "chloramine.untreated"],
    "stubborn.{made.cause}": [f"stubborn.{cause}" for cause in ("media", "tap", "both", "none", "unknown")],
    "source.step_{step.binds}": [f"source.step_{binds}" for binds in ("most", "unknown", "ph", "temperature")],
    "{code}_{item.quantity}": [
        f"stubborn.{what}_{quantity}" for what in ("came_back", "stayed_down") for quantity in ("ph", "alkalinity")
    ],
}
CHOSEN = [
    "nh3.epa_over", "nh3.epa_chronic", "nh3.epa_under", "ph.below_kit", "ph.above_kit", "chlorine.found",
    "budget.read", "budget.by_model", "budget.used", "budget.gains",
]  # fmt: skip


def codes():
    found = set(CHOSEN)
    for file in Path(verdict.__file__).parent.glob("*.py"):
        for code in CODE.findall(file.read_text("utf-8")):
            found |= set(PARTS[code]) if "{" in code else {code}
    return found


def test_every_code_has_words_and_every_sentence_a_code():
    assert codes() == phrases.REASONS.keys()
    assert phrases.BEYOND.keys() <= phrases.REASONS.keys()
    assert phrases.LEVELS.keys() == set(LEVELS)
    assert set(ORDER) | set(source.FIELDS) == phrases.NAMES.keys()


def test_sentences_end_and_hold_no_figures_of_their_own():
    for table in (phrases.REASONS, phrases.BEYOND):
        for code, text in table.items():
            assert text.endswith("."), code
            bare = "".join(part for part, *_ in Formatter().parse(text))
            bare = bare.replace("CaCO3", "").replace("10 %", "").replace("100 L", "")
            assert not re.search(r"\d", bare), (code, bare)


def entry(kind, number, day=20, **payload):
    at = datetime(2031, 4, 1, 9, tzinfo=UTC) + timedelta(days=day, minutes=number)
    return LogEntry.make(
        {"uuid": UUID(int=number + 1), "at": at, "author": "somebody", "kind": kind, "payload": payload}
    )


@pytest.fixture
def loop():
    fields = {
        "name": "Made-up loop", "latitude_deg": -34.0, "place": "greenhouse", "startup_path": "running",
        "tanks": [{"name": "tank", "volume_l": 900}], "started_on": date(2031, 4, 1), "heater_set_c": 25,
        "source_water": {"chloramine_mg_l": 2.0, "na_mg_l": 80},
    }  # fmt: skip
    return System.make(fields)


@pytest.fixture
def judged(loop):
    log = [
        entry("fish_in", 0, day=1, species="largemouth_bass", count=5, weight={"value": 90, "unit": "g"}),
        entry("reading", 1, quantity="tan", unit="mg/L", low=0.75, high=1.5),
        entry("reading", 2, quantity="ph", unit="", low=None, high=6.2),
        entry("reading", 3, quantity="no2", unit="mg/L", basis="n", low=5.0, high=None),
        entry("reading", 4, quantity="alkalinity", unit="meq/L", low=0.2, high=0.5),
        entry("reading", 5, quantity="no3", unit="mg/L", basis="n", low=40, high=60),
        entry("reading", 7, quantity="no3", unit="mg/L", basis="n", low=5, high=10),
        entry("water_changed", 6, volume={"value": 90, "unit": "L"}, treated=False),
        entry("temperature", 8, value=25),
    ]
    return verdict.judge(loop, log, on=ON, facts_seen=("gasping",))


def test_a_bad_day_in_words(judged):
    text = said.verdict(judged)
    assert text.headline == "Oxygen: danger: act now, and 4 more."
    by_name = {item.name: item for item in text.bands}
    nitrite = by_name["Nitrite (as N)"]
    assert nitrite.reading == "5\u00a0mg/L or more, beyond the last step of the kit"
    assert "Chloride does not protect largemouth bass." in nitrite.reasons
    assert by_name["pH"].reasons[0] == "Your kit ends at 6.2: pH may be far below it. Use a test for low pH."
    assert by_name["Alkalinity"].reading == "0.2 to 0.5\u00a0meq/L (25\u00a0mg/L as CaCO₃)"
    assert text.contradictions == ()  # water was changed since: the two nitrates may both be right
    assert text.questions[0].startswith("Does your test of ammonia count the element")
    assert text.missing == "Not read lately: oxygen and chloride."


def test_no_infinity_and_no_empty_field_is_shown(judged):
    text = said.verdict(judged)
    lines = [line for band in text.bands for line in (band.reading, band.limit, band.chance, *band.reasons)]
    for line in [*lines, *text.contradictions, *text.questions, text.missing, text.headline]:
        assert line
        assert "inf" not in line.lower().replace("information", "")
        assert "None" not in line
        assert "{" not in line


def test_a_contradiction_names_both_readings():
    values = {"quantity": "no2", "hours": 1.0, "low": 5.0, "high": None, "then_low": 1.0, "then_high": 2.0}
    text = said.reason(Reason("contradiction.twice", values))
    assert text.startswith("Nitrite read 5 or more and 1\u00a0hour later 1 to 2, and nothing was done")


def test_beyond_the_kit_no_figure_is_made_up():
    values = {"tan": math.inf, "ph": 8.0, "temp_c": 25.0, "nh3": math.inf}
    assert "dilute the sample" in said.reason(Reason("nh3.parts", values))


def test_nothing_known_says_so(loop):
    assert said.verdict(verdict.judge(loop, [], on=ON)).headline == "Nothing is known of the water yet."


def test_source_water_in_words(loop):
    found = verdict.assess(loop, [], on=ON)
    lines = said.reasons(found.reasons)
    assert "Chloramine (2\u00a0mg/L) does not leave by standing or by air." in lines
    assert said.band(found.band("na")).level == "keep an eye on it"
    assert all("{" not in line and "None" not in line for line in lines)
