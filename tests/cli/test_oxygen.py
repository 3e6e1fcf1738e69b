import json

import pytest

from rillbed.cli import main

SYSTEM = """
format = 1
name = "Made-up loop"
latitude_deg = -34.0
place = "greenhouse"
started_on = 2031-04-01
startup_path = "running"

[[tanks]]
name = "Left"
volume_l = 900

[[tanks]]
name = "Right"
volume_l = 900
"""
LOG = """entry,at,kind,author,supersedes,field,value,unit,low,high
1,2031-04-01T08:00:00+00:00,fish_in,you,,species,goldfish,,,
1,,,,,count,200,,,
1,,,,,weight,20,g,,
1,,,,,group,Left,,,
2,2031-04-01T08:10:00+00:00,fish_in,you,,species,goldfish,,,
2,,,,,count,5,,,
2,,,,,weight,20,g,,
2,,,,,group,Right,,,
"""


@pytest.fixture
def files(tmp_path):
    system, log = tmp_path / "system.toml", tmp_path / "log.csv"
    system.write_text(SYSTEM)
    log.write_text(LOG)
    return [str(system), "--log", str(log), "--on", "2031-04-05", "--members", "50"]


def test_tanks_by_name_come_in_the_order_they_fail(files, capsys):
    assert main(["oxygen", *files, "--temp", "26", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert [tank["name"] for tank in answer["tanks"]] == ["Left", "Right"]
    worst = [min(item["critical"]["cautious"] or 1e9 for item in tank["lasts"]) for tank in answer["tanks"]]
    assert worst[0] < worst[1]
    assert answer["acts"][0]["code"] == "stop_feed"
    assert answer["tanks"][0]["temp_c"] == 26


def test_words_and_card(files, capsys):
    assert main(["oxygen", *files, "--ahead", "20:36,30"]) == 0
    out = capsys.readouterr().out
    assert "When the air stops" in out
    assert "The days ahead" in out
    assert main(["oxygen", *files, "--card"]) == 0
    assert capsys.readouterr().out.startswith("WHEN THE AIR STOPS")


@pytest.mark.parametrize(
    ("more", "message"),
    [(["--temp", "70"], "temp_c = 70"), (["--ahead", "30:20"], "air of day 1"), (["--ahead", "hot"], "'hot'")],
)
def test_bad_input_is_one_line(files, capsys, more, message):
    try:
        code = main(["oxygen", *files, *more])
    except SystemExit as stop:
        code = stop.code
    assert code == 2
    err = capsys.readouterr().err
    assert message in err
    assert err.count("\n") == 1
