import json

import pytest

from rillbed.cli import main
from rillbed.garden.files import read_system

ASK = ["size", "--greens", "14", "--floor", "7.5", "--species", "nile_tilapia", "--town", "brisbane",
       "--on", "2031-03-01", "--place", "greenhouse", "--heater", "22"]  # fmt: skip


def test_it_prints_loops_limits_stages_and_cautions(capsys):
    assert main(ASK) == 0
    out = capsys.readouterr().out
    for word in ("Small", "Middle", "Large", "Floor space", "In stages", "Caution: Weight.", "Nile tilapia:"):
        assert word in out


def test_json_and_words_agree_and_a_system_file_can_be_written(capsys, tmp_path):
    file = tmp_path / "new.toml"
    assert main([*ASK, "--json", "--write", str(file)]) == 0
    told = json.loads(capsys.readouterr().out)
    system = read_system(file)
    assert system.tanks[0].volume_l == told["options"][1]["tank_l"]
    assert sum(bed.area_m2 for bed in system.beds) == pytest.approx(told["options"][1]["bed_m2"], abs=0.01)
    assert main([*ASK, "--write", str(file)]) == 2  # never over a file that is there


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["--species", "nile_tilapia", "--town", "brisbane"], "greens_week"),
        (["--species", "nile_tilapia", "--town", "atlantis", "--greens", "4"], "town: 'atlantis'"),
        (["--species", "nile_tilapia", "--greens", "4"], "--latitude"),
        (["--species", "whale", "--town", "brisbane", "--greens", "4"], "species: 'whale'"),
        (["--species", "nile_tilapia", "--town", "london", "--greens", "4"], "rainbow_trout"),
    ],
)
def test_bad_input_is_one_line_that_names_it(capsys, args, said):
    assert main(["size", *args]) == 2
    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1
