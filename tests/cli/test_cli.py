import json

import pytest

from rillbed.cli import main

SYSTEM = """
format = 1
name = "Made-up loop"
latitude_deg = -34.0
place = "greenhouse"
started_on = 2031-04-01
startup_path = "fishless"

[[tanks]]
name = "tank"
volume_l = 900

[[beds]]
name = "bed"
kind = "raft"
area_m2 = 2.0
water_depth_cm = 5

[ammonia_source]
source = "ammonium_chloride"
"""


@pytest.fixture
def files(tmp_path):
    path = tmp_path / "system.toml"
    path.write_text(SYSTEM)
    return path


def ask(capsys, *argv):
    code = main([str(item) for item in argv])
    out = capsys.readouterr()
    return code, out.out, out.err


@pytest.mark.parametrize("verb", ["today", "forecast", "room"])
def test_json_is_the_same_every_time(files, capsys, verb):
    argv = (verb, files, "--on", "2031-04-03", "--members", "60", "--json")
    code, first, _ = ask(capsys, *argv)
    assert code == 0
    assert json.loads(first)["on"] == "2031-04-03"
    assert ask(capsys, *argv)[1] == first


def test_today_of_a_new_fishless_loop_asks_for_the_first_dose(files, capsys):
    code, out, _ = ask(capsys, "today", files, "--on", "2031-04-03", "--members", "60")
    assert code == 0
    assert "ammonium chloride" in out
    assert "bleach" in out
    assert "not fitted to your log" in " ".join(out.split())


def test_dose_prints_grams_for_the_volume_asked(files, capsys):
    code, out, _ = ask(capsys, "dose", files, "--rise", "1", "--litres", "1000", "--json")
    assert code == 0
    assert json.loads(out)["amount"] == pytest.approx(3.82, abs=0.006)


@pytest.mark.parametrize(
    ("change", "named"),
    [(("volume_l = 900", "volume_l = -9"), "volume_l"), (("format = 1", "format = 99"), "format")],
)
def test_a_bad_system_is_one_line_on_stderr_and_exit_2(files, capsys, change, named):
    files.write_text(SYSTEM.replace(*change))
    code, out, err = ask(capsys, "today", files, "--on", "2031-04-03")
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert named in err


def test_a_missing_file_and_an_unknown_source_are_named(files, capsys):
    code, _, err = ask(capsys, "today", files.with_name("nowhere.toml"))
    assert code == 2
    assert "nowhere.toml" in err
    code, _, err = ask(capsys, "dose", files, "--source", "moonshine")
    assert code == 2
    assert "moonshine" in err


def test_a_wrong_date_or_confidence_ends_with_2(files, capsys):
    for argv in (["today", str(files), "--on", "2031-13-40"], ["room", str(files), "--confidence", "2"]):
        with pytest.raises(SystemExit) as end:
            main(argv)
        assert end.value.code == 2
    assert "confidence" in capsys.readouterr().err
