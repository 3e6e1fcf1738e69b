from __future__ import annotations

import json

import pytest

from rillbed.garden import files, log
from rillbed.garden.errors import FileError, GardenError
from rillbed.garden.kits import Kit
from rillbed.garden.log import LogEntry
from rillbed.garden.readings import Reading
from rillbed.garden.system import System

HEAD = "entry,at,kind,author,supersedes,field,value,unit,low,high\n"
AT = "2026-03-01T08:00:00+00:00"


def one_line(error) -> str:
    text = str(error.value)
    assert "\n" not in text
    assert isinstance(error.value, GardenError)
    return text


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"source_water": {"ph": 71}}, "source_water.ph: '71' is not allowed; must be 12 or less"),
        (
            {"tanks": [{"name": "t", "volume_l": -800}]},
            "tanks.0.volume_l: '-800' is not allowed; must be more than 0",
        ),
        ({"planned_fish": [{"species": "goldfsh", "count": 3, "weight_g": 5}]}, "did you mean goldfish"),
        (
            {"planned_fish": [{"species": "goldfish", "count": 3, "weight_g": 5, "on": "2025-01-01"}]},
            "planned_fish.on: '2025-01-01' is not allowed; must not be before started_on, 2026-03-01",
        ),
        ({"format": 2}, "format: '2' is not allowed"),
        ({"heaterset": 20}, "heaterset: '20' is not allowed; there is no such field"),
        ({"latitude_deg": None}, "latitude_deg: 'None' is not allowed; "),
        ({"place": "shed"}, "place: 'shed' is not allowed; must be one of 'indoors', 'greenhouse' or 'outdoors'"),
        ({"water_temp_c": [20.0] * 11}, "water_temp_c: '11' is not allowed; needs twelve values"),
        ({"time_zone": "Mars/Olympus"}, "time_zone: 'Mars/Olympus'"),
        ({"shelf": ["moon_dust"]}, "shelf.0.supply: 'moon_dust' is not allowed; not a known supply"),
        ({"tanks": [{"name": "s", "volume_l": 5, "kind": "sump"}]}, "at least one tank must be of kind fish"),
        ({"beds": [{"name": "a", "kind": "nft", "area_m2": 1}] * 2}, "beds.name: 'a'"),
    ],
)
def test_a_system_is_refused_in_one_line(loop, change, said):
    with pytest.raises(GardenError) as error:
        System.make(loop.model_dump() | change)
    assert said in one_line(error)


@pytest.mark.parametrize(
    ("kind", "payload", "said"),
    [
        (
            "reading",
            {"quantity": "ph", "unit": "", "value": 71},
            "payload.value: '71' is not allowed; pH lies between 2 and 12",
        ),
        (
            "reading",
            {"quantity": "tan", "unit": "g", "value": 1},
            "payload.unit: 'g' is not allowed; ammonia is measured in mg/L",
        ),
        ("reading", {"quantity": "tan", "unit": "mg/L", "value": -1}, "payload.value: '-1 mg/L'"),
        ("reading", {"quantity": "tan", "unit": "mg/L"}, "a reading needs low, high or value"),
        ("reading", {"quantity": "tan", "unit": "mg/L", "low": 2, "high": 1}, "must not be below low, 2"),
        ("reading", {"quantity": "tan", "unit": "mg/L", "value": float("nan")}, "must be a finite number"),
        ("planted", {"crop": "chrad", "count": 3, "bed": "north"}, "payload.crop: 'chrad'"),
        ("planted", {"crop": "chrad", "count": 3, "bed": "north"}, "did you mean chard"),
        ("planted", {"crop": "chard", "count": 3}, "exactly one of bed and tray"),
        ("fish_in", {"species": "unicorn", "count": 3, "weight": "5 g"}, "payload.species: 'unicorn'"),
        ("topped_up", {"volume": "-20 L"}, "payload.volume: '-20 L' is not allowed; must be more than 0"),
        ("topped_up", {"volume": "20 g"}, "payload.volume.unit: 'g' is not allowed; needs a unit that converts to L"),
        ("outage", {"until": "2026-02-28T08:00:00+00:00"}, "must not be before the start"),
        ("feding", {}, "kind: 'feding' is not allowed; not a known kind of entry; did you mean feeding"),
        ("note", {}, "payload.text: 'nothing' is not allowed; it is required"),
        ("temperature", {"value": 310, "unit": "degC"}, "water lies between -2 and 50 degC"),
    ],
)
def test_an_entry_is_refused_in_one_line(kind, payload, said):
    with pytest.raises(GardenError) as error:
        LogEntry.make({"uuid": "00000000-0000-0000-0000-000000000001", "at": AT, "kind": kind, "payload": payload})
    assert said in one_line(error)


def test_a_time_without_offset_is_refused():
    with pytest.raises(GardenError, match="needs its offset"):
        LogEntry.make(
            {"uuid": "00000000-0000-0000-0000-000000000001", "at": "2026-03-01T08:00", "kind": "note"}
            | {"payload": {"text": ""}}
        )


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        (
            f"a,{AT},note,you,,text,hello,,,\nb,{AT},note,you,,text,x,,,\na,{AT},note,you,,text,y,,,\n",
            "line 4: entry: 'a'",
        ),
        (f"a,{AT},note,you,,text,hello,,,\nb,{AT},note,yo", "line 3: row: '4 columns' is not allowed; each row has 10"),
        (f'a,{AT},note,you,,text,"hel', "the file is cut short"),
        (f"format,,,,,,1,,,\na,{AT},note,you,,text,hello,,,\n", "the file is cut short: its last row is missing"),
        (f"format,,,,,,1,,,\na,{AT},note,you,,text,hello,,,\nend,,,,,,2,,,\n", "was written with 2 entries"),
        ("format,,,,,,2,,,\n", "line 2: format: '2' is not allowed; this program reads log files up to format 1"),
        (
            f"a,{AT},note,you,,text,hello,,,\na,,,,,version,9,,,\n",
            "version: '9' is not allowed; this program reads note up to",
        ),
        (f"a,{AT},reading,you,,tan,1,mg/L,,\na,,,,,no2,1,mg/L,,\n", "one entry holds one reading"),
        (f"a,{AT},reading,you,,tan,1,,,\n", "unit: '' is not allowed; ammonia is measured in mg/L"),
        (f"a,{AT},feeding,you,,amount,lots,g,,\na,,,,,feed,x,,,\n", "line 2: "),
        (f"a,{AT},note,you,,text,a,,,\na,{AT},note,helper,,colour,b,,,\n", "rows of one entry must agree"),
        (f",{AT},note,you,,text,a,,,\n", "each row needs the uuid or label"),
    ],
)
def test_a_csv_log_is_refused_in_one_line(rows, said):
    with pytest.raises(FileError) as error:
        files.log_from_csv(HEAD + rows, "log.csv")
    assert said in one_line(error)
    assert str(error.value).startswith("log.csv")


def test_columns_must_be_the_ten():
    with pytest.raises(FileError, match="columns: 'entry,at' is not allowed; must be entry,at,kind"):
        files.log_from_csv("entry,at\n")
    with pytest.raises(FileError, match="columns: 'nothing'"):
        files.log_from_csv("")


def test_json_lines_refuse_damage_and_what_is_newer(make):
    text = files.log_to_jsonl([make("note", 1, text="a"), make("note", 2, text="b")])
    lines = text.splitlines()
    for broken, said in [
        ("\n".join(lines[:-1]), "its last line is missing"),
        (text[:-30], "cut short or damaged"),
        ("\n".join([lines[0], lines[1], lines[3]]), "was written with 2 entries"),
        ("\n".join([lines[0], lines[1], lines[1]]), "line 3: uuid"),
        (json.dumps({"format": 2}), "up to format 1"),
        ("[1]", "must be one JSON object"),
    ]:
        with pytest.raises(FileError) as error:
            files.log_from_jsonl(broken)
        assert said in one_line(error)


def test_a_newer_system_file_is_refused_before_its_unknown_fields(loop):
    text = files.system_to_toml(loop).replace("format = 1", 'format = 2\nnovelty = "x"')
    with pytest.raises(FileError) as error:
        files.parse_system(text, "system.toml")
    assert one_line(error).startswith("system.toml: format: '2' is not allowed; this program reads system files up to")


def test_damaged_toml_and_missing_files(tmp_path):
    with pytest.raises(FileError, match="must be a TOML file"):
        files.parse_system("name = ")
    for reader in (files.read_system, files.read_log):
        with pytest.raises(FileError) as error:
            reader(tmp_path / "none")
        assert one_line(error) == f"{tmp_path / 'none'}: there is no such file; check its name, and the folder it is in"


def test_an_old_entry_is_lifted_and_a_newer_one_refused(monkeypatch):
    monkeypatch.setitem(log.VERSIONS, "note", 3)
    monkeypatch.setitem(log.UP_CASTERS, ("note", 1), lambda old: {"words": old["say"]})
    monkeypatch.setitem(log.UP_CASTERS, ("note", 2), lambda old: {"text": old["words"] + "!"})
    data = {"uuid": "00000000-0000-0000-0000-000000000001", "at": AT, "kind": "note", "version": 1}
    lifted = LogEntry.make(data | {"payload": {"say": "hello"}})
    assert (lifted.version, lifted.payload.text) == (3, "hello!")
    with pytest.raises(GardenError, match="up to version 3; a newer one wrote it"):
        LogEntry.make(data | {"version": 4, "payload": {"text": "x"}})
    monkeypatch.delitem(log.UP_CASTERS, ("note", 2))
    with pytest.raises(GardenError, match="no way is known to read version 2"):
        LogEntry.make(data | {"payload": {"say": "hello"}})


def test_a_kit_refuses_falling_steps_and_a_step_it_does_not_have():
    with pytest.raises(GardenError, match="steps must rise"):
        Kit.make({"name": "k", "quantity": "no3", "unit": "mg/L", "steps": [0, 5, 2]})
    kit = Kit.make({"name": "k", "quantity": "no3", "unit": "mg/L", "steps": [0, 5, 10], "basis": "ion"})
    with pytest.raises(GardenError, match="this kit has the steps 0, 5, 10"):
        Reading.of_step(kit, 7)
