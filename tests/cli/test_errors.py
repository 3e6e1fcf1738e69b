"""Bad input from the command line: one line on stderr, exit code 2, nothing on stdout, nothing written."""

import os
from pathlib import Path

import pytest

from rillbed.cli import main

HEAD = "entry,at,kind,author,supersedes,field,value,unit,low,high\n"
ONE, TWO = "11111111-1111-4111-8111-111111111111", "22222222-2222-4222-8222-222222222222"


def rows(kind, at="2031-04-02T08:00:00Z", uuid=ONE, **fields):
    """One entry as rows of a log file; a pair is a value and its unit."""
    pairs = {name: value if isinstance(value, tuple) else (value, "") for name, value in fields.items()}
    return "".join(f"{uuid},{at},{kind},you,,{name},{value},{unit},,\n" for name, (value, unit) in pairs.items())


@pytest.fixture
def running(system_text):
    return system_text.replace('"fishless"', '"running"').partition("[ammonia_source]")[0]


@pytest.fixture
def folder(files, running):
    files.write_text(running)
    return files.parent


def fails(capsys, folder, *argv):
    """Run a verb that must fail; give its one line."""
    before = {path: path.read_bytes() for path in folder.iterdir() if path.is_file() and os.access(path, os.R_OK)}
    try:
        code = main([str(part) for part in argv])
    except SystemExit as end:
        code = end.code
    said = capsys.readouterr()
    assert (code, said.out) == (2, "")
    assert said.err.startswith("rillbed: ")
    assert len(said.err.splitlines()) == 1
    assert before == {path: path.read_bytes() for path in folder.iterdir() if path in before}
    assert {path.name for path in folder.iterdir() if path.is_file()} >= {path.name for path in before}
    return said.err


LOGS = {
    "impossible pH": (HEAD + rows("reading", ph="17"), ("line 2", "'17'", "pH lies between 2 and 12")),
    "unknown species": (
        HEAD + rows("fish_in", species="dragon", count="5", weight=("5", "g")),
        ("species", "'dragon'"),
    ),
    "unknown crop": (HEAD + rows("planted", crop="moon_cabbage", count="5", bed="bed"), ("crop", "'moon_cabbage'")),
    "negative volume": (HEAD + rows("topped_up", volume=("-5", "L")), ("volume", "'-5 L'", "more than 0")),
    "wrong unit": (HEAD + rows("reading", tan=("1", "furlong")), ("unit", "'furlong'", "mg/L")),
    "picked before it was planted": (
        HEAD
        + rows("planted", "2031-04-04T08:00:00Z", crop="basil", count="5", bed="bed", planting="row")
        + rows("picked", "2031-04-03T08:00:00Z", TWO, planting="row"),
        ("picked", "'row'", "2031-04-03"),
    ),
    "lived before it was started": (
        HEAD + rows("feeding", "2031-03-02T08:00:00Z", feed="pellet_32", amount=("5", "g")),
        ("2031-03-02", "before the loop's start", "2031-04-01"),
    ),
    "no such date": (HEAD + rows("note", "2031-14-02T08:00:00Z", text="x"), ("at", "2031-14-02")),
    "uuid used twice": (
        HEAD + rows("note", text="a") + rows("note", uuid=TWO, text="b") + rows("note", text="c"),
        ("line 4", ONE, "line 2"),
    ),
    "cut short": (HEAD + f"{ONE},2031-04-02T08:00:00Z,reading,you,,p", ("line 2", "cut short")),
    "unknown kind": (HEAD + rows("teleported", text="x"), ("kind", "'teleported'")),
    "empty": ("", ("columns",)),
    "no text": (b"\xff\xfe\x00", ("UTF-8",)),
}


@pytest.mark.parametrize("case", LOGS)
@pytest.mark.parametrize("verb", ["today", "room", "forecast"])
def test_a_bad_log_is_named_by_line_field_and_value(capsys, folder, case, verb):
    text, named = LOGS[case]
    log = folder / "log.csv"
    log.write_bytes(text if isinstance(text, bytes) else text.encode())
    said = fails(capsys, folder, verb, folder / "system.toml", "--log", log, "--on", "2031-04-05", "--members", 50)
    assert "log.csv" in said or "picked" in said
    for part in named:
        assert part in said


@pytest.mark.parametrize(
    ("text", "named"), [('{"format": 99}\n', "up to format 1"), ('{"format": 1}\n{"uuid":"x', "line 2")]
)
def test_json_lines_of_a_newer_format_or_cut_short(capsys, folder, text, named):
    log = folder / "log.jsonl"
    log.write_text(text)
    assert named in fails(capsys, folder, "today", folder / "system.toml", "--log", log, "--on", "2031-04-05")


@pytest.mark.parametrize(
    ("old", "new", "named"),
    [
        ("volume_l = 900", "volume_l = -9", "volume_l"),
        ("format = 1", "format = 99", "up to format 1"),
        ("latitude_deg = -34.0", 'latitude_deg = "south"', "latitude_deg"),
        ('place = "greenhouse"', 'place = "moon"', "place"),
        ("started_on = 2031-04-01", "started_on = 2031-13-01", "at line 6"),
        ("area_m2 = 2.0", "area_m2 = 2.0\ncolour = 3", "colour"),
    ],
)
def test_a_bad_system_is_named_by_field(capsys, folder, running, old, new, named):
    assert old in running
    (folder / "system.toml").write_text(running.replace(old, new))
    assert named in fails(capsys, folder, "today", folder / "system.toml", "--on", "2031-04-05")


def test_a_file_that_is_missing_a_folder_or_not_to_be_read(capsys, folder, running, monkeypatch):
    nowhere = folder / "nowhere.toml"
    told = "there is no such file; check its name, and the folder it is in"
    assert fails(capsys, folder, "today", nowhere) == f"rillbed: {nowhere}: {told}\n"
    assert "this is a folder; name a file in it" in fails(capsys, folder, "today", folder)
    assert "nowhere.csv" in fails(capsys, folder, "today", folder / "system.toml", "--log", folder / "nowhere.csv")
    locked = folder / "locked.toml"
    locked.write_text(running)
    locked.chmod(0)
    if os.access(locked, os.R_OK):
        # Whoever may read everything needs the refusal made up.
        monkeypatch.setattr("rillbed.garden.texts.Path", Locked)
    assert "you may not open it; give yourself the right to" in fails(capsys, folder, "today", locked)


class Locked(type(Path())):
    def read_bytes(self):
        raise PermissionError(13, "Permission denied", str(self))


@pytest.mark.parametrize("verb", ["today", "room", "forecast"])
@pytest.mark.parametrize(
    ("day", "named"), [("2031-03-31", "allowed from 2031-04-01"), ("2091-01-01", "allowed to 2081")]
)
def test_a_day_outside_the_life_of_the_loop(capsys, folder, verb, day, named):
    assert named in fails(capsys, folder, verb, folder / "system.toml", "--on", day)


@pytest.mark.parametrize(
    ("argv", "named"),
    [
        (["today", "SYSTEM", "--on", "2031-13-40"], "'2031-13-40'"),
        (["today", "SYSTEM", "--members", "3"], "50 to 5000"),
        (["today"], "SYSTEM"),
        (["bogus"], "'bogus'"),
        (["room", "SYSTEM", "--confidence", "2"], "0.5 to 0.95"),
        (["room", "SYSTEM", "--on", "2031-04-05", "--members", "50", "--crop", "moon"], "'moon'"),
        (["forecast", "SYSTEM", "--every", "0"], "'0'"),
        (["serve", "--port", "99999"], "0 to 65535"),
        (["demo", "--port", "-1"], "0 to 65535"),
        (["forecast", "SYSTEM", "--every", "99999999999"], "1 to 36500"),
        (["room", "SYSTEM", "--picked", "9" * 30], "1 to 36500"),
        (["room", "SYSTEM", "--weeks", "--band", "leaves"], "'leaves'"),
        (["today", "SYSTEM", "--seed", "x"], "at most 18 digits"),
        (["today", "SYSTEM", "--seed", "²"], "at most 18 digits"),
        (["oxygen", "SYSTEM", "--temp", "27,5"], "a point for decimals"),
        (["oxygen", "SYSTEM", "--temp", "nan"], "'nan'"),
        (["oxygen", "SYSTEM", "--ahead", "22-34"], "'22-34'"),
        (["plan", "SYSTEM", "--lock", "basil:attic:2031-05-22:6"], "'attic'"),
        (["plan", "SYSTEM", "--eat", "moon=3"], "'moon'"),
        (["size", "--species", "nile_tilapia"], "name a --town"),
        (["dose", "SYSTEM", "--log", "log.csv"], "--goal"),
        (["dose", "SYSTEM", "--goal", "dilute", "--quantity", "moon"], "tan, no2, no3, na"),
        (["dose", "SYSTEM"], "names no ammonia source"),
        (["dose", "SYSTEM", "--source", "moonshine"], "'moonshine'"),
        (["dose", "SYSTEM", "--source", "urea", "--rise", "-1"], "'-1'"),
        (["dose", "SYSTEM", "--source", "urea", "--rise", "nan"], "'nan'"),
        (["dose", "SYSTEM", "--source", "urea", "--litres", "0"], "'0'"),
        (["dose", "SYSTEM", "--source", "ammonia_solution"], "strength"),
        (["dose", "SYSTEM", "--source", "ammonia_solution", "--strength", "300"], "'300.0'"),
    ],
)
def test_a_wrong_argument_is_named(capsys, folder, argv, named):
    assert named in fails(capsys, folder, *(folder / "system.toml" if part == "SYSTEM" else part for part in argv))


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("a = " + "[" * 3000 + "]" * 3000, "nested too deep"),
        ("a = 1" + "0" * 5000, "too many digits"),
        ("dear sir", "must be a TOML file"),
        ("", "name: 'nothing' is not allowed; it is required"),
    ],
)
def test_a_file_that_is_no_system(capsys, folder, text, named):
    path = folder / "odd.toml"
    path.write_text(text)
    said = fails(capsys, folder, "today", path)
    assert str(path) in said
    assert named in said


@pytest.mark.parametrize("text", ['{"a":' + "[" * 99_999, '{"a": 1' + "0" * 5000 + "}"])
def test_a_log_without_end(capsys, folder, text):
    log = folder / "log.jsonl"
    log.write_text(text)
    said = fails(capsys, folder, "today", folder / "system.toml", "--log", log)
    assert "must be one JSON object" in said
