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
shelf = ["potassium_bicarbonate", "calcium_chloride", "iron_dtpa"]

[[tanks]]
name = "Tank"
volume_l = 1000

[source_water]
free_chlorine_mg_l = 0.5
chloramine_mg_l = 0
"""
LOG = """entry,at,kind,author,supersedes,field,value,unit,low,high
1,2031-04-01T08:00:00+00:00,fish_in,you,,species,goldfish,,,
1,,,,,count,20,,,
1,,,,,weight,20,g,,
2,2031-04-04T08:00:00+00:00,reading,you,,ph,6.4,,6.2,6.6
3,2031-04-04T08:00:00+00:00,reading,you,,alkalinity,0.4,meq/L,0.3,0.5
4,2031-04-04T08:00:00+00:00,reading,you,,tan,0,mg/L,0,0.2
4,,,,,basis,n,,,
"""
DOSED = """5,2031-04-04T10:00:00+00:00,dosed,you,,substance,potassium_bicarbonate,,,
5,,,,,amount,12,g,,
"""
READ = ["--read", "ph=6.4", "--read", "alkalinity=20:ppm_CaCO3", "--read", "tan=0..0.25"]


@pytest.fixture
def system(tmp_path):
    path = tmp_path / "system.toml"
    path.write_text(SYSTEM)
    return path


def ask(capsys, *argv):
    try:
        code = main([str(item) for item in argv])
    except SystemExit as stop:
        code = stop.code
    out = capsys.readouterr()
    return code, out.out, out.err


GOALS = {
    "raise_ph": [*READ, "--target", "6.7"],
    "raise_alkalinity": [*READ, "--target", "0.8"],
    "lower_ph": ["--read", "ph=7.6", "--read", "alkalinity=2.5", "--target", "7.4"],
    "protect_nitrite": ["--read", "no2=5:ion", "--read", "cl=10", "--fish", "goldfish"],
    "dechlorinate": ["--litres", "200"],
    "iron": ["--read", "ph=6.6"],
    "dilute": [*READ, "--read", "no3=300:ion", "--quantity", "no3", "--target", "40", "--fresh", "ph=6.5",
               "--fresh", "alkalinity=0.5"],
    "carbonate_media": [*READ, "--target", "1"],
    "supplement": [*READ, "--need", "k=10", "--need", "fe=1"],
}  # fmt: skip


@pytest.mark.parametrize("goal", GOALS)
def test_every_goal_has_a_plan_in_words_and_for_programs(system, capsys, goal):
    code, out, err = ask(capsys, "dose", system, "--goal", goal, *GOALS[goal], "--json")
    assert (code, err) == (0, "")
    answer = json.loads(out)
    assert answer["answer"] == "plan"
    assert all(step["amount"] > 0 for step in answer["plan"]["steps"])
    code, out, _ = ask(capsys, "dose", system, "--goal", goal, *GOALS[goal])
    assert code == 0
    assert "Today" in out or "Tomorrow" in out or "Day" in out


def test_ion_and_ppm_are_turned_into_the_canonical_units(system, capsys):
    _, out, _ = ask(capsys, "dose", system, "--goal", "protect_nitrite", "--read", "no2=5:ion", "--json")
    reasons = {item["code"]: item["values"] for item in json.loads(out)["plan"]["reasons"]}
    assert reasons["salt.target"]["nitrite"] == pytest.approx(5.0 / 3.2844, rel=1e-3)


def test_a_log_gives_readings_and_how_long_it_lasts(system, capsys, tmp_path):
    log = tmp_path / "log.csv"
    log.write_text(LOG)
    code, out, err = ask(
        capsys, "dose", system, "--goal", "raise_ph", "--target", "6.7", "--log", log, "--on", "2031-04-05",
        "--members", "50", "--json",
    )  # fmt: skip
    assert (code, err) == (0, "")
    answer = json.loads(out)
    assert answer["answer"] == "plan"
    assert answer["plan"]["again_days"]["middle"] is None or answer["plan"]["again_days"]["middle"] > 0
    assert answer["plan"]["harm"] <= 0.01


def test_what_went_in_since_the_reading_is_named_before_more_is_given(system, capsys, tmp_path):
    log = tmp_path / "log.csv"
    log.write_text(LOG + DOSED)
    argv = ("dose", system, "--goal", "raise_ph", "--target", "6.7", "--log", log, "--on", "2031-04-05",
            "--members", "50", "--json")  # fmt: skip
    _, out, _ = ask(capsys, *argv)
    assert "potassium bicarbonate" in json.loads(out)["unread"]
    _, out, _ = ask(capsys, *argv, "--read", "ph=6.4")
    assert json.loads(out)["unread"] == ""


def test_refusals_and_what_is_missing(system, capsys):
    code, out, _ = ask(capsys, "dose", system, "--goal", "raise_ph", "--with", "vinegar", "--json")
    assert code == 0
    assert json.loads(out)["plan"]["code"] == "refuse.organic_acid"
    _, out, _ = ask(capsys, "dose", system, "--goal", "raise_ph", "--json")
    assert json.loads(out)["plan"]["ask"] == "ph"
    _, out, _ = ask(capsys, "dose", system, "--goal", "raise_ph", *READ, "--read", "tan=3..")
    assert "at the top of your kit" in out


@pytest.mark.parametrize(
    ("argv", "message"),
    [
        (["--goal", "cure"], "--goal"),
        (["--goal", "iron", "--read", "ph=21"], "21 is outside 2 to 12"),
        (["--goal", "iron", "--read", "mood=1"], "'mood=1'"),
        (["--goal", "iron", "--read", "ph=7..6"], "the low end is above the high end"),
        (["--goal", "iron", "--read", "ph=6", "--with", "gypsum"], "substance = 'gypsum'"),
        (["--goal", "dilute", "--read", "tan=2", "--fish", "unicorn"], "species = 'unicorn'"),
        (["--goal", "supplement", *READ, "--need", "gold=1"], "needs"),
        (["--goal", "iron", "--read", "alkalinity=2:gallons"], "'alkalinity=2:gallons'"),
    ],
)
def test_bad_input_is_one_line_with_what_is_allowed(system, capsys, argv, message):
    code, out, err = ask(capsys, "dose", system, *argv)
    assert (code, out) == (2, "")
    assert message in err
    assert err.count("\n") == 1
