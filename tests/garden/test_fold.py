from __future__ import annotations

from datetime import date, timedelta

import pytest

from rillbed.garden import fold
from rillbed.garden.errors import GardenError

ON = date(2026, 4, 1)


def test_groups_count_and_weigh(loop, make):
    entries = [
        make("fish_in", 1, species="goldfish", count=30, weight="5 g", group="reds"),
        make("fish_died", 4, group="reds", count=2),
        make("fish_weighed", 9, group="reds", count=4, total="36 g"),
        make("fish_out", 12, group="reds", count=8, total="0.08 kg"),
    ]
    state = fold.state_at(loop, entries, ON)
    group = state.groups["reds"]
    assert (group.count, group.weight_g, group.died, group.taken_out) == (20, 9.0, 2, 8)
    assert state.biomass_g == pytest.approx(180.0)
    assert fold.state_at(loop, entries, date(2026, 3, 5)).groups["reds"].weight_g == 5.0
    assert fold.state_at(loop, entries, date(2026, 3, 1)).groups == {}


def test_a_log_that_is_kept_says_the_same_and_is_worked_out_once(loop, make):
    entries = [
        make("note", 3, text="later"),
        make("fish_in", 1, species="goldfish", count=30, weight="5 g", group="reds"),
        make("fish_died", 4, group="reds", count=2),
    ]
    told = fold.Told([*entries, make("fish_died", 4, group="reds", count=3, supersedes=entries[2].uuid)])
    assert fold.effective(told) == fold.effective(list(told))
    assert fold.effective(told)[1] is entries[0]
    for on in (ON, date(2026, 3, 2), ON):
        assert fold.state_at(loop, told, on) == fold.state_at(loop, list(told), on)
    assert fold.state_at(loop, told, ON) is fold.state_at(loop, told, ON)
    moved = loop.model_copy(update={"name": "another"})
    assert fold.state_at(moved, told, ON).system == moved


def test_fish_joining_a_group_share_its_mean_weight(loop, make):
    entries = [
        make("fish_in", day, species="goldfish", count=10, weight=f"{w} g", group="g") for day, w in ((1, 10), (2, 20))
    ]
    group = fold.state_at(loop, entries, ON).groups["g"]
    assert (group.count, group.weight_g) == (20, 15.0)


def test_trays_empty_into_beds_and_plantings_end(loop, make):
    entries = [
        make("planted", 1, crop="lettuce_loose", count=24, tray="tray 1", stage="seed"),
        make("planted", 20, crop="lettuce_loose", count=18, bed="north", from_tray="tray 1", planting="first"),
        make("picked", 27, planting="first", amount="120 g"),
        make("picked", 28, planting="first", amount="0.3 kg", count=3, finished=True),
    ]
    state = fold.state_at(loop, entries, ON)
    (tray,) = state.trays.values()
    first = state.plantings["first"]
    assert tray.count == 6
    assert (first.count, first.picked_g, first.pickings, first.planted_count) == (15, pytest.approx(420.0), 2, 18)
    cleared = fold.state_at(loop, [*entries, make("removed", 29, planting="first")], ON)
    assert not cleared.plantings["first"].standing
    assert cleared.plantings["first"].removed_at is not None


def test_feed_doses_equipment_and_readings(loop, make, feed, supply):
    entries = [
        make("feeding", 3, feed=feed, amount="4 g"),
        make("feeding", 3.2, feed=feed, amount="0.003 kg"),
        make("dosed", 3, substance=supply, amount="12 g"),
        make("equipment_stopped", 3, equipment="pump"),
        make("equipment_started", 3.1, equipment="pump"),
        make("equipment_stopped", 3.3, equipment="air"),
        make("reading", 2, quantity="ph", unit="", value=7.4, low=7.2, high=7.6),
        make("reading", 3, quantity="ph", unit="", value=7.0, low=6.8, high=7.2),
        make("temperature", 3, value=21.5, unit="degC"),
    ]
    state = fold.state_at(loop, entries, date(2026, 3, 4))
    assert state.fed_g_today == pytest.approx(7.0)
    assert state.meals_today == 2
    assert state.doses[0].dose.grams == pytest.approx(12.0)
    assert list(state.stopped) == [("air", "")]
    assert state.last_reading("ph").reading.interval == (6.8, 7.2)
    assert state.temperatures[-1][1] == pytest.approx(21.5)
    assert state.last_of("dosed").payload.substance == supply
    assert state.last_of("outage") is None


def test_set_up_is_valid_from_its_moment(loop, make):
    bigger = loop.model_copy(update={"name": "bigger"})
    entries = [make("set_up", 5, system=bigger.model_dump())]
    assert fold.system_at(loop, entries, date(2026, 3, 5)).name == "invented loop"
    assert fold.system_at(loop, entries, date(2026, 3, 6)).name == "bigger"
    assert fold.state_at(loop, entries, ON).system.name == "bigger"


def test_the_day_of_an_entry_is_the_day_where_the_loop_stands(loop, make, feed):
    there = loop.model_copy(update={"time_zone": "Pacific/Auckland"})
    late = make("feeding", 0.6, feed=feed, amount="4 g")  # 22:24 UTC is the next morning there
    assert fold.state_at(there, [late], date(2026, 3, 2)).fed_g_today == pytest.approx(4.0)
    assert fold.state_at(loop, [late], date(2026, 3, 1)).fed_g_today == pytest.approx(4.0)


def test_last_recorded_correction_wins_and_withdrawn_takes_back(loop, make):
    first = make("fish_in", 1, species="goldfish", count=30, weight="5 g", group="reds")
    fixed = make(
        "fish_in", 1, stored=3, supersedes=first.uuid, species="goldfish", count=20, weight="5 g", group="reds"
    )
    again = make(
        "fish_in", 1, stored=4, supersedes=first.uuid, species="goldfish", count=25, weight="5 g", group="reds"
    )
    gone = make("withdrawn", 6, supersedes=again.uuid)
    assert fold.state_at(loop, [again, fixed, first], ON).fish_count == 25
    assert fold.effective([first, fixed, again, gone]) == []
    assert fold.effective([again, first, fixed])[0].uuid == first.uuid


def test_a_correction_may_move_an_entry_back_in_time(make):
    first = make("note", 9, text="late")
    fixed = make("note", 2, supersedes=first.uuid, text="early")  # stored time unknown: taken from `at`
    assert [entry.payload.text for entry in fold.effective([first, fixed])] == ["early"]


@pytest.mark.parametrize(
    ("entries", "said"),
    [
        (lambda make: [make("fish_died", 1, group="reds", count=1)], "group"),
        (
            lambda make: [
                make("fish_in", 1, species="goldfish", count=3, weight="5 g", group="reds"),
                make("fish_died", 2, group="reds", count=4),
            ],
            "3 fish are in reds",
        ),
        (
            lambda make: [
                make("planted", 4, crop="chard", count=3, bed="north", planting="p"),
                make("picked", 2, planting="p", amount="5 g"),
            ],
            "not a known planting on 2026-03-03",
        ),
        (lambda make: [make("planted", 4, crop="chard", count=3, bed="nort")], "did you mean north"),
        (lambda make: [make("planted", 4, crop="chard", count=3, bed="north", from_tray="t")], "0 plants of chard"),
    ],
)
def test_contradictions_name_the_entry(loop, make, entries, said):
    log = entries(make)
    with pytest.raises(GardenError) as refused:
        fold.check(loop, log)
    assert said in str(refused.value)
    assert "entry 00000000" in str(refused.value)
    assert "\n" not in str(refused.value)


def test_bad_chains_are_refused(make):
    note = make("note", 1, text="a")
    other = make("note", 1, text="b", supersedes=note.uuid)
    loose = note.model_copy(update={"supersedes": other.uuid})
    with pytest.raises(GardenError, match="circle"):
        fold.effective([loose, other])
    with pytest.raises(GardenError, match="no entry of this log"):
        fold.effective([other])
    with pytest.raises(GardenError, match="must be note"):
        fold.effective([note, make("observation", 2, what="x", supersedes=note.uuid)])
    with pytest.raises(GardenError, match="occurs twice"):
        fold.effective([note, note])
    with pytest.raises(GardenError, match="needs the entry it takes back"):
        make("withdrawn", 2)


def test_sending_again_is_harmless_but_a_uuid_never_means_two_things(make):
    note = make("note", 1, text="a")
    resent = note.model_copy(update={"recorded_at": note.recorded_at + timedelta(hours=1)})
    assert fold.merge([note], [resent]) == [note]
    with pytest.raises(GardenError, match="another entry already has it"):
        fold.merge([note], [note.model_copy(update={"author": "helper"})])
