"""A change is a file of its own: clear about what may differ, and turned into entries that have not happened."""

from datetime import date

import pytest

from rillbed.garden.change import parse_change
from rillbed.garden.errors import FileError, GardenError
from rillbed.garden.files import parse_system

TODAY = date(2026, 3, 1)
LOOP = parse_system("""
name = "Loop"
latitude_deg = 48
place = "greenhouse"
started_on = 2026-01-01
heater_set_c = 20
tanks = [{ name = "Tank", volume_l = 1000 }]
beds = [{ name = "Raft", kind = "raft", area_m2 = 2, water_depth_cm = 25 }]
""")


def test_equipment_and_beds_become_one_set_up():
    change = parse_change("""
        system = { heater_set_c = 24 }
        remove_beds = ["Raft"]
        [[add_beds]]
        name = "Gravel"
        kind = "media"
        area_m2 = 3
    """)
    (entry,) = change.entries(LOOP, TODAY)
    assert entry.kind == "set_up"
    assert entry.at.date() == date(2026, 3, 2)
    assert entry.payload.system.heater_set_c == 24
    assert [bed.name for bed in entry.payload.system.beds] == ["Gravel"]
    assert entry.payload.system.tanks == LOOP.tanks


def test_things_to_come_become_entries_of_their_day():
    change = parse_change("""
        [[log]]
        on = 2026-04-01
        kind = "fish_in"
        payload = { species = "nile_tilapia", count = 10, weight = "20 g" }
    """)
    (entry,) = change.entries(LOOP, TODAY)
    assert (entry.kind, entry.at.date(), entry.payload.count) == ("fish_in", date(2026, 4, 1), 10)


@pytest.mark.parametrize(
    ("text", "field", "allowed"),
    [
        ("format = 9", "format", "up to format 1"),
        ("system = { started_on = 2026-01-01 }", "system.started_on", "heater_set_c"),
        ("system = { shoe_size = 43 }", "system.shoe_size", "cannot be changed"),
        ('[[log]]\non = 2026-04-01\nkind = "reading"', "log.0.log.kind", "fish_in"),
        ("[[away]]\nfirst = 2026-05-02\nlast = 2026-05-01", "away.last", "2026-05-02"),
        ("feed_share = -1", "feed_share", "0"),
        ("name =", "toml", "TOML"),
    ],
)
def test_what_cannot_be_is_refused_by_name(text, field, allowed):
    with pytest.raises(FileError, match=allowed) as error:
        parse_change(text)
    assert error.value.field.endswith(field.removeprefix("log.0."))


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("on = 2026-03-01\nsystem = { heater_set_c = 24 }", "on"),
        ('remove_beds = ["Tub"]', "remove_beds"),
        ("system = { heater_set_c = 99 }", "heater_set_c"),
        (
            '[[log]]\non = 2026-02-01\nkind = "fish_in"\npayload = { species = "goldfish", count = 1, weight = "5 g" }',
            "on",
        ),
        (
            '[[log]]\non = 2026-04-01\nkind = "fish_in"\npayload = { species = "unicorn", count = 1, weight = "5 g" }',
            "species",
        ),
    ],
)
def test_what_does_not_fit_this_loop_is_refused_by_name(text, field):
    with pytest.raises(GardenError) as error:
        parse_change(text).entries(LOOP, TODAY)
    assert error.value.field.endswith(field)
