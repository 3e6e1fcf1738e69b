"""Whatever Today shows as a figure opens to how it is worked out, from facts that are there."""

from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest

from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.web.charts import KINDS
from rillbed.web.origins import ORIGINS, origin
from rillbed.web.sources.figures import GRADES, entries
from rillbed.web.today.page import COUNTED, GLANCE


def test_every_figure_has_a_formula_inputs_grade_and_source(made_up) -> None:
    begun = datetime.combine(made_up.started, datetime.min.time(), UTC)
    rows = (
        ("fish_in", {"species": "nile_tilapia", "count": 9, "weight": "40 g"}),
        ("planted", {"crop": "kale", "count": 4, "bed": "bed"}),
        ("feed_changed", {"feed": "pellet_32"}),
    )
    log = [LogEntry.make({"uuid": uuid4(), "at": begun, "kind": kind, "payload": told}) for kind, told in rows]
    state = state_at(made_up.system(), log, made_up.started + timedelta(days=1))
    assert set(GLANCE) | {kind.column for kind in KINDS} | {"flow", "room", "ready", "carried"} == set(ORIGINS)
    grades = {name for _, name, _ in GRADES.values()}
    for name in ORIGINS:
        shown = origin(name, state)
        assert shown.formula, name
        assert shown.inputs, name
        for one in shown.inputs:
            assert one.figures, (name, one.name)
            assert one.grade in grades
            assert one.works or one.grade != "published", (name, one.name)
    fish = origin("fish_weight_g", state)
    assert any("tilapia" in one.name.lower() for one in fish.inputs)
    assert any("kale" in one.name.lower() for one in origin("no3_mg_l", state).inputs)


def test_every_fact_that_is_named_exists() -> None:
    known = {key for one in entries() for key in (f"{one.table}/{one.key}", one.key, one.table)}
    for name, found in ORIGINS.items():
        assert set(found.facts) <= known, name


@pytest.mark.parametrize("name", ["Water, expected", "Fed today", "Fish", "Last test", "Day of the start"])
def test_what_stands_at_the_top_says_how_it_is_counted(name: str) -> None:
    assert COUNTED[name].startswith(name.split(",")[0])
