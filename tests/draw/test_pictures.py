import itertools
import math
import re
from datetime import date, timedelta
from xml.etree import ElementTree

import pytest

from rillbed.draw import (
    Chart,
    Dots,
    Event,
    Flow,
    IntervalReading,
    Limit,
    NitrogenFlow,
    Room,
    Series,
    View,
    dots,
    flow,
    line_chart,
    room,
    table,
)
from rillbed.draw.axes import plane
from rillbed.draw.flow import scale
from rillbed.draw.svg import NARROW, spread

START = date(2026, 5, 1)
NAN = math.nan


def week(values, **more):
    return Series([START + timedelta(days=i) for i in range(len(values))], values, **more)


def chart(*values, **more):
    return Chart("Nitrite, mg/L", 'Nitrite "now" <5', (week(list(values), label="a<b"),), **more)


def split(feed=3.8):
    air = (Flow("To the air", feed * 0.3, "gas", "x"), Flow("Stays", feed * 0.3, "water", "x"))
    return NitrogenFlow(
        "N",
        Flow("Feed", feed, "fish", "x"),
        (Flow("Growth", feed * 0.2, "fish", "x"),),
        Flow("Water", feed * 0.8, "water", "x"),
        air,
    )


PICTURES = {
    "ordinary": line_chart(
        chart(
            1,
            2,
            3,
            today=START + timedelta(days=1),
            limits=(Limit(2, "no", binds=True),),
            events=(Event(START, "A"), Event(START, "B")),
            readings=(
                IntervalReading(START, 1, None),
                IntervalReading(START, None, None),
                IntervalReading(START, None, 2, odd=True, label="t"),
            ),
            table="t&'<",
        )
    ),
    "empty": line_chart(Chart("x", "nothing")),
    "all zero": line_chart(chart(0, 0, 0)),
    "gaps": line_chart(chart(1, NAN, 2, NAN, NAN)),
    "only nan": line_chart(chart(NAN, NAN, limits=(Limit(NAN, "x"),))),
    "infinite": line_chart(chart(1, math.inf, -math.inf)),
    "one point": line_chart(chart(7, today=START)),
    "huge": line_chart(chart(1e12, 1e-12)),
    "negative": line_chart(chart(-3, 4, lowest=None)),
    "band of one day": line_chart(Chart("x", "x", (week([1.0], low80=[0.5], high80=[2.0]),))),
    "flow": flow(split()),
    "flow zero": flow(split(0.0)),
    "flow nan": flow(split(NAN)),
    "flow wide": flow(split(500)),
    "dots": dots(Dots("s", "t", tuple(START + timedelta(days=i) for i in range(20)), START)),
    "dots never": dots(Dots("s", "t", (None,) * 20)),
    "dots one": dots(Dots("s", "t", (START,))),
    "room": room(
        Room(
            "s",
            "places",
            (View("a", 1, 2, "1–2"), View("b", NAN, NAN, "not known"), View("c", 3, math.inf, "3 or more")),
            2.0,
            "now",
        )
    ),
    "room empty": room(Room("s", "places", ())),
    "room zero": room(Room("s", "places", (View("a", 0, 0, "0"),))),
}


def parse(svg):
    return ElementTree.fromstring(f"<html>{svg}</html>")


@pytest.mark.parametrize("svg", PICTURES.values(), ids=PICTURES.keys())
def test_is_well_formed_and_carries_classes_only(svg):
    root = parse(svg)
    assert [e.get("class") for e in root] == ["chart c-wide", "chart c-narrow"]
    for picture in root:
        assert picture.get("role") == "img"
        assert picture.get("aria-label")
    for element in root.iter():
        assert element.tag != "script"
        assert not {"style", "id"} & set(element.keys())
        assert not any(key.startswith("on") for key in element.attrib)


@pytest.mark.parametrize("svg", PICTURES.values(), ids=PICTURES.keys())
def test_never_writes_a_number_that_is_none(svg):
    geometry = [v for e in parse(svg).iter() for k, v in e.items() if k not in ("aria-label", "class")]
    assert not [v for v in geometry if re.search(r"\b(nan|inf)\b", v)]


def test_two_widths():
    assert [e.get("viewBox").split()[2] for e in parse(PICTURES["ordinary"])] == ["640", "340"]


def test_a_gap_breaks_the_line():
    lines = [e for e in parse(line_chart(chart(1, 2, NAN, 2, 3)))[0] if (e.get("class") or "").startswith("med")]
    assert len(lines) == 2


def test_forecast_is_dashed_from_today_on():
    names = [e.get("class") for e in parse(line_chart(chart(1, 2, 3, today=START + timedelta(days=1))))[0]]
    assert "med water" in names
    assert "med fut water" in names


def test_open_end_has_an_arrow_and_reaches_the_edge():
    closed = line_chart(chart(0, 10, readings=(IntervalReading(START, 2, 3),)))
    opened = line_chart(chart(0, 10, readings=(IntervalReading(START, 2, None),)))
    bar = [next(e.get("d") for e in parse(s)[0] if e.get("class") == "obs") for s in (closed, opened)]
    assert bar[0].count("h7") == 2
    assert bar[1].count("h7") == 1
    assert "L" in bar[1]


def test_end_labels_keep_apart():
    same = tuple(week([1.0, 5.0 + i / 100], label=f"line {i}") for i in range(4))
    for picture in parse(line_chart(Chart("u", "s", same))):
        ys = sorted(float(e.get("y")) for e in picture if (e.get("class") or "").startswith("lb hal"))
        assert len(ys) == 4
        assert min(b - a for a, b in itertools.pairwise(ys)) >= 14


def test_letters_on_one_day_keep_apart():
    for picture in parse(line_chart(chart(1, 2, 3, events=tuple(Event(START, x) for x in "ABC")))):
        xs = sorted(float(e.get("cx")) for e in picture if e.get("class") == "ev")
        assert min(b - a for a, b in itertools.pairwise(xs)) >= 20.9


def test_spread_keeps_order_and_bounds():
    assert spread([5, 5, 100], 10, 0, 100) == [5, 15, 100]
    assert spread([99, 100], 10, 0, 100) == [90, 100]


def test_stream_width_is_28_px_a_gram_until_too_wide():
    assert scale(split(3.8)) == 28
    assert scale(split(500)) * 500 == pytest.approx(150)


def test_every_chance_is_one_dot_and_the_outer_four_are_hollow():
    days = (*tuple(START + timedelta(days=i) for i in range(18)), None, None)
    for picture in parse(dots(Dots("s", "t", days, START))):
        names = [e.get("class") for e in picture if (e.get("class") or "").startswith("qd")]
        assert names.count("qd") == 16
        assert names.count("qd far") == 4


def test_table_rows_carry_days_since_the_first():
    t = table(
        chart(1, 2, 3, readings=(IntervalReading(START + timedelta(days=2), 5, None),)),
        day_header="Day",
        reading_header="read",
        open_high=lambda v: f"{v} or more",
        open_low=lambda v: f"under {v}",
    )
    assert [r.x for r in t.rows] == [0, 1, 2]
    assert t.rows[2].cells == ("3\u00a0May", "3", "5 or more")
    assert len(t.headers) == len(t.rows[0].cells)


def test_uneven_series_is_refused_by_name():
    with pytest.raises(ValueError, match="low80: 1 values"):
        Series([START, START + timedelta(days=1)], [1, 2], low80=[1])


def ends(**more):
    return plane(chart(7.42, 7.48, **more), NARROW, 0.0, 100.0).ticks


def test_a_small_change_stays_small() -> None:
    assert ends(lowest=None)[-1] - ends(lowest=None)[0] < 0.2
    low, *_, high = ends(lowest=None, least_span=1.0)
    assert high - low >= 1.0
    assert low <= 7.0
    assert high >= 7.9
    assert ends(lowest=0.0, least_span=10.0)[0] == 0.0
    assert ends(lowest=0.0, least_span=10.0)[-1] >= 10.0
