"""The way through trouble on the command line: a case by hand, a system with --see, JSON, and refusals of bad input."""

import json
import re
from pathlib import Path

import pytest

from rillbed.cli import main

CASE = """
[system]
litres = 1200
species = "trout"
count = 30
weight_g = 200
temp_c = 14
basis = "n"

[[log]]
day = 0
tan = ">=4"
no2 = 0
ph = 7.6

[[see]]
code = "eating"
value = "no"
"""


@pytest.fixture
def case(tmp_path):
    path = tmp_path / "case.toml"
    path.write_text(CASE)
    return path


def ask(capsys, *argv):
    code = main([str(item) for item in argv])
    out = capsys.readouterr()
    return code, out.out, out.err


def test_json_has_every_part_with_its_sentence(case, capsys):
    code, out, _ = ask(capsys, "check", case, "--json")
    data = json.loads(out)
    assert code == 0
    assert {"findings", "actions", "refusals", "question", "next_tests", "cautions", "contradictions"} <= data.keys()
    for key in ("findings", "actions", "refusals", "next_tests", "cautions"):
        assert data[key]
        assert all(row["text"] and row.get("code", row.get("quantity")) for row in data[key])
    assert data["question"]["text"]
    assert ask(capsys, "check", case, "--json")[1] == out


def test_words_name_the_first_action_and_its_amount(case, capsys):
    code, out, _ = ask(capsys, "check", case)
    assert code == 0
    assert out.startswith("1. ")
    assert "Find out next" in out
    assert " L" in " ".join(out.split())


def test_a_minimal_case_is_enough(tmp_path, capsys):
    path = tmp_path / "small.toml"
    path.write_text('[system]\nlitres = 300\nspecies = "goldfish"\n[see]\ngasping = true\n')
    code, out, _ = ask(capsys, "check", path, "--json")
    data = json.loads(out)
    assert code == 0
    assert data["actions"][0]["code"] == "air.add"
    assert data["findings"][0]["code"] == "suffocation"


def test_a_system_file_with_what_is_seen(files, capsys):
    code, out, _ = ask(capsys, "check", files, "--see", "leaf=old", "--see", "pattern=even_yellow", "--see", "no3=0",
                       "--on", "2031-05-02", "--json")  # fmt: skip
    assert code == 0
    assert json.loads(out)["findings"][0]["code"] == "nitrogen_short"


def test_the_sheet_has_the_eight_facts_and_the_series(case, capsys):
    code, out, _ = ask(capsys, "check", case, "--sheet", "--json")
    data = json.loads(out)
    assert code == 0
    assert len(data["intake"]) == 8
    assert {"tan", "no2", "ph", "temperature"} <= data["series"].keys()
    assert data["series"]["tan"][0]["shown"] == ">=4"


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ('[system]\nspecies = "tilapia"\n', "system.litres"),
        ("[system]\nlitres = -5\n", "system.litres"),
        ('[system]\nlitres = 100\nspecies = "shark"\n', "system.species"),
        ("[system]\nlitres = 100\n[[log]]\nph = 15\n", "log.0.ph"),
        ("[system]\nlitres = 100\n[[log]]\ntemp_c = 80\n", "log.0.temp_c"),
        ('[system]\nlitres = 100\n[[log]]\ntan = "lots"\n', "log.0.tan"),
        ("[system]\nlitres = 100\n[[log]]\namonia = 1\n", "ammonia"),
        ('[system]\nlitres = 100\n[see]\ngasping = "purple"\n', "gasping"),
        ('[system]\nlitres = 100\n[[log]]\nevent = "meteor"\n', "log.0.event"),
        ("[system]\nlitres = 100\n[weather]\nrain = 1\n", "weather"),
        ('[system]\nlitres = 100\n[[log]]\ntan = 1\nbasis = "mass"\n', "log.0.basis"),
    ],
)
def test_bad_input_is_one_line_that_names_the_field(tmp_path, capsys, text, named):
    path = tmp_path / "bad.toml"
    path.write_text(text)
    code, out, err = ask(capsys, "check", path)
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert named in err


def test_what_cannot_both_be_is_shown(tmp_path, capsys):
    path = tmp_path / "odd.toml"
    path.write_text('[system]\nlitres = 300\nspecies = "goldfish"\n[see]\npower = "off"\npump = "running"\n')
    data = json.loads(ask(capsys, "check", path, "--json")[1])
    assert [row["code"] for row in data["contradictions"]] == ["clash.pair"]


def test_an_unknown_basis_is_named_and_both_are_carried(tmp_path, capsys):
    path = tmp_path / "basis.toml"
    path.write_text('[system]\nlitres = 300\nspecies = "goldfish"\n[[log]]\nno2 = 2\n')
    data = json.loads(ask(capsys, "check", path, "--json")[1])
    assert data["unknown_basis"] == ["no2"]
    known = path.read_text() + 'basis = "n"\n'
    path.write_text(known)
    assert json.loads(ask(capsys, "check", path, "--json")[1])["unknown_basis"] == []


def test_the_example_of_the_manual_is_answered(tmp_path, capsys):
    manual = (Path(__file__).parents[2] / "docs" / "check.md").read_text("utf-8")
    found = re.search(r"```toml\n(.*?)```", manual, re.S)
    assert found
    path = tmp_path / "example.toml"
    path.write_text(found.group(1), encoding="utf-8")
    code, out, _ = ask(capsys, "check", path, "--json")
    data = json.loads(out)
    assert code == 0
    assert data["refusals"][0]["asked"]
    assert data["findings"]
