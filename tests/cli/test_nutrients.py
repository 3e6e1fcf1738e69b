import json

import pytest

from rillbed.cli import main

ON = ("--on", "2031-05-01", "--members", "50", "--quick")


def test_an_empty_loop_needs_nothing(files, capsys):
    assert main(["nutrients", str(files), *ON]) == 0
    told = capsys.readouterr().out
    assert told.startswith("Add nothing")
    assert "Nothing grows in the beds" in told
    assert "Molybdenum" in told


def test_before_planting_what_is_short_is_named(files, capsys):
    assert main(["nutrients", str(files), *ON, "--before-planting", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["nutrients"]["doses"]["code"] in ("plan", "read_first")
    assert {item["element"] for item in answer["nutrients"]["short"]} == {"n", "p", "k", "ca", "mg", "fe"}
    assert len(answer["nutrients"]["ledger"]["accounts"]) == 14


def test_leaves_are_judged(files, capsys):
    assert main(["nutrients", str(files), *ON, "--leaf", "where=new", "--leaf", "pattern=between_veins"]) == 0
    told = capsys.readouterr().out
    assert told.startswith("Too little iron")
    assert "the leaf alone is no proof" in told


def test_a_spray_is_judged_without_a_run(files, capsys):
    assert main(["nutrients", str(files), *ON, "--spray", "pyrethrum", "--pest", "aphids"]) == 0
    told = capsys.readouterr().out
    assert told.startswith("Do not use it")
    assert "It kills fish in tiny amounts" in told


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--leaf", "where=left"), "seen.where = 'left': must be one of old"),
        (("--spray", " "), "substance: nothing was named"),
    ],
)
def test_bad_input_is_one_line(files, capsys, words, said):
    assert main(["nutrients", str(files), *ON, *words]) == 2
    told = capsys.readouterr().err
    assert said in told
    assert told.count("\n") == 1


def test_a_label_over_a_hundred_per_cent_is_one_line(files, system_text, capsys):
    label = '\n[[products]]\nid = "own_x"\nname = "X"\nn = 60\np = 30\nk = 30\n'
    files.write_text(system_text + label)
    assert main(["nutrients", str(files), *ON]) == 2
    assert "cannot add up to more than 100 %" in capsys.readouterr().err
