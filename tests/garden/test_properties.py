from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from itertools import pairwise
from uuid import UUID

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rillbed import facts
from rillbed.garden import files, fold
from rillbed.garden.kits import Kit
from rillbed.garden.log import LogEntry
from rillbed.garden.quantities import QUANTITIES
from rillbed.garden.system import System

quick = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])

words = st.text(st.characters(exclude_categories=("Cs",)), max_size=30)
names = words.map(str.strip).filter(bool)
moments = st.builds(
    lambda seconds, offset: (datetime(2026, 1, 1, tzinfo=UTC) + timedelta(seconds=seconds)).astimezone(
        timezone(timedelta(minutes=15 * offset))
    ),
    st.integers(0, 40_000_000),
    st.integers(-48, 56),
)
grams = st.builds(
    lambda value, unit: {"value": value, "unit": unit}, st.floats(0.001, 900), st.sampled_from(["g", "kg"])
)


@st.composite
def readings(draw):
    quantity = draw(st.sampled_from(["tan", "no2", "no3", "k", "fe", "oxygen"]))
    top = QUANTITIES[quantity].high
    low, value, high = sorted(draw(st.lists(st.floats(0, top), min_size=3, max_size=3)))
    ends = draw(st.sampled_from([{"low": low, "high": high}, {"low": low}, {"high": high}, {}]))
    more = {"dilution": draw(st.sampled_from([1.0, 2.0, 10.0])), "source_water": draw(st.booleans())}
    return {"quantity": quantity, "unit": "mg/L", "value": value, **ends, **more}


@st.composite
def payload(draw):
    kind = draw(
        st.sampled_from(["reading", "feeding", "dosed", "note", "temperature", "fish_in", "observation", "cleaned"])
    )
    fields = {
        "reading": readings(),
        "feeding": st.fixed_dictionaries({"feed": st.sampled_from(sorted(facts.feeds())), "amount": grams}),
        "dosed": st.fixed_dictionaries({"substance": st.sampled_from(sorted(facts.supplements())), "amount": grams}),
        "note": st.fixed_dictionaries({"text": words}),
        "temperature": st.fixed_dictionaries({"value": st.floats(0, 40), "where": st.sampled_from(["water", "air"])}),
        "fish_in": st.fixed_dictionaries(
            {"species": st.sampled_from(sorted(facts.species())), "count": st.integers(1, 500), "weight": grams}
        ),
        "observation": st.fixed_dictionaries({"what": names, "text": words}),
        "cleaned": st.fixed_dictionaries({"what": names, "fraction": st.floats(0.01, 1)}),
    }
    return kind, draw(fields[kind])


@st.composite
def entries(draw, uuids):
    kind, fields = draw(payload())
    at, stored = draw(moments), draw(st.timedeltas(timedelta(0), timedelta(days=40)))
    return LogEntry.make(
        {
            "uuid": draw(uuids),
            "at": at,
            "recorded_at": at + stored,
            "author": draw(words),
            "kind": kind,
            "payload": fields,
        }
    )


logs = st.lists(entries(st.uuids()), max_size=8, unique_by=lambda entry: entry.uuid)


@st.composite
def corrected(draw):
    """Draw (log, the same log with each entry first written wrong, some withdrawn ones besides)."""
    right = draw(logs)
    told = []
    for number, entry in enumerate(right):
        wrong = entry.model_copy(update={"at": draw(moments), "author": "in haste"})
        fix = UUID(int=number + 1)
        fixed = entry.model_copy(
            update={"uuid": fix, "supersedes": entry.uuid, "recorded_at": wrong.recorded_at + timedelta(days=90)}
        )
        told += draw(st.sampled_from([[entry], [wrong, fixed]]))
    if draw(st.booleans()):
        mistake = draw(entries(st.just(UUID(int=10_000))))
        back = {"uuid": UUID(int=10_001), "at": mistake.at, "recorded_at": mistake.recorded_at + timedelta(hours=1)}
        told += [mistake, LogEntry.make(back | {"kind": "withdrawn", "supersedes": mistake.uuid})]
    return right, told


def heard(log):
    """What counts in a log, without when it was stored."""
    return [entry.model_dump(exclude={"recorded_at"}) for entry in fold.effective(log)]


@quick
@given(corrected(), st.randoms(use_true_random=False))
def test_order_of_writing_changes_nothing(log, shuffler):
    _, told = log
    mixed = list(told)
    shuffler.shuffle(mixed)
    assert fold.effective(mixed) == fold.effective(told)
    assert fold.digest(mixed) == fold.digest(told)


@quick
@given(corrected())
def test_correcting_equals_never_having_made_the_mistake(log):
    right, told = log
    assert heard(told) == heard(right)
    assert fold.digest(told) == fold.digest(right)


def test_the_state_after_a_correction_equals_that_of_a_log_without_the_mistake(loop, make):
    wrong = make("fish_in", 1, species=sorted(facts.species())[0], count=30, weight="5 g")
    right = wrong.model_copy(update={"payload": wrong.payload.model_copy(update={"count": 3})})
    fixed = right.model_copy(update={"uuid": UUID(int=99), "supersedes": wrong.uuid})
    died = make("fish_died", 2, group=str(wrong.uuid), count=1)
    on = died.at.date()
    told, plain = fold.state_at(loop, [died, fixed, wrong], on), fold.state_at(loop, [right, died], on)
    assert told == plain
    assert told.fish_count == 2


@quick
@given(logs)
def test_csv_gives_back_the_same_entries(log):
    again = files.log_from_csv(files.log_to_csv(log))
    assert again == log
    assert [entry.model_dump_json() for entry in again] == [entry.model_dump_json() for entry in log]


@quick
@given(logs)
def test_json_lines_give_back_the_same_entries(log):
    again = files.log_from_jsonl(files.log_to_jsonl(log))
    assert again == log
    assert [entry.model_dump_json() for entry in again] == [entry.model_dump_json() for entry in log]


@st.composite
def systems(draw):
    labels = st.lists(names, min_size=1, max_size=3, unique=True)
    size = st.floats(0.1, 9000)
    kit = {
        "quantity": "no3",
        "basis": draw(st.sampled_from(["n", "ion", None])),
        "unit": "mg/L",
        "steps": [0, 1, 2, 5, 10],
    }
    water = draw(st.fixed_dictionaries({}, optional={"ph": st.floats(5, 9), "ca_mg_l": st.floats(0, 200)}))
    data = {
        "name": draw(names),
        "latitude_deg": draw(st.floats(-90, 90)),
        "place": draw(st.sampled_from(["indoors", "greenhouse", "outdoors"])),
        "tanks": [{"name": name, "volume_l": draw(size)} for name in draw(labels)],
        "beds": [{"name": name, "kind": "nft", "area_m2": draw(size)} for name in draw(labels)],
        "source_water": water,
        "water_temp_c": draw(st.none() | st.lists(st.floats(0, 40), min_size=12, max_size=12)),
        "kits": [{"name": name, **kit} for name in draw(labels)],
        "shelf": draw(st.lists(st.sampled_from(sorted(facts.supplements())), max_size=3)),
        "ammonia_source": draw(
            st.none() | st.fixed_dictionaries({"source": st.sampled_from(sorted(facts.ammonia_sources()))})
        ),
        "started_on": draw(st.dates()),
    }
    return System.make(data)


@quick
@given(systems())
def test_system_toml_gives_back_the_same_system(system):
    assert files.parse_system(files.system_to_toml(system)) == system


@quick
@given(systems())
def test_set_up_entries_carry_a_whole_system_through_both_files(system):
    at = datetime(2026, 5, 1, tzinfo=UTC)
    entry = LogEntry.make({"uuid": UUID(int=1), "at": at, "kind": "set_up", "payload": {"system": system}})
    assert files.log_from_csv(files.log_to_csv([entry])) == [entry]
    assert files.log_from_jsonl(files.log_to_jsonl([entry])) == [entry]


@quick
@given(st.lists(st.floats(0, 500), min_size=2, max_size=9, unique=True).map(sorted))
def test_kit_steps_tile_the_scale(steps):
    kit = Kit.make({"name": "k", "quantity": "no3", "unit": "mg/L", "steps": [0.0, *(s for s in steps if s > 0)]})
    intervals = [kit.interval(step) for step in kit.steps]
    assert intervals[0][0] == 0
    assert intervals[-1][1] is None
    for (_, high), (low, _) in pairwise(intervals):
        assert high == pytest.approx(low)
