import json
from datetime import date

import pytest

from rillbed.cli import main
from rillbed.garden.files import write_system
from rillbed.garden.system import System

ON = "2031-06-10"


@pytest.fixture
def file(tmp_path):
    system = System.make(
        {
            "name": "made up", "latitude_deg": 43.6, "place": "indoors", "startup_path": "running", "seeding": "mature",
            "tanks": [{"name": "tank", "volume_l": 800}], "started_on": date(2031, 6, 1), "heater_set_c": 22.0,
            "beds": [{"name": "Raft", "kind": "raft", "area_m2": 1.0, "water_depth_cm": 20}],
            "source_water": {"no3_n_mg_l": 40.0, "ca_mg_l": 60.0, "mg_mg_l": 10.0, "p_mg_l": 5.0},
            "shelf": ["potassium_sulfate", "iron_dtpa"], "household": {"servings_week": {"leafy_western": 4.0}},
        }
    )  # fmt: skip
    path = tmp_path / "system.toml"
    write_system(system, path)
    return str(path)


def test_plan_prints_lines_and_json(file, capsys):
    about = ["plan", file, "--on", ON, "--members", "50", "--quick"]
    assert main(about) == 0
    out = capsys.readouterr().out
    assert "Sow " in out
    assert "servings a week" in " ".join(out.split())
    assert main([*about, "--json", "--eat", "basil=2"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert [w["name"] for w in answer["wishes"]] == ["basil"]
    assert answer["gap"] >= 0
    assert {b["crop"] for b in answer["batches"]} == {"basil"}


@pytest.mark.parametrize(
    ("extra", "text"),
    [
        (["--eat", "moonflower=3"], "moonflower"),
        (["--eat", "basil"], "basil=2"),
        (["--lock", "basil:Raft"], "crop:bed:date:count"),
        (["--confidence", "2"], "0.5 to 0.95"),
    ],
)
def test_bad_input_is_one_line_and_two(file, capsys, extra, text):
    try:
        code = main(["plan", file, "--on", ON, "--members", "50", "--quick", *extra])
    except SystemExit as stopped:
        code = stopped.code
    assert code == 2
    error = capsys.readouterr().err
    assert text in error
    assert error.count("\n") == 1
