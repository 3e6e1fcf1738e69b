"""A log of ten years is answered from, the same in any order of its lines."""

import json
import random

import pytest
from tests.fit.conftest import loop
from tests.fit.test_answers import FINE
from tests.fit.test_window import ON, ten_years

from rillbed.cli import main
from rillbed.fit import refit
from rillbed.garden.files import write_system
from rillbed.garden.logfile import write_log


@pytest.fixture
def ask(tmp_path, capsys, monkeypatch):
    """Ask `rillbed today` of a loop with a log."""
    monkeypatch.setitem(refit.EFFORTS, "full", refit.EFFORTS["quick"])  # the tests are of the age, not of the fit

    def told(log):
        write_system(loop(kits=(FINE,)), tmp_path / "system.toml")
        write_log(log, tmp_path / "log.jsonl")
        where = ("--log", str(tmp_path / "log.jsonl"), "--on", ON.isoformat(), "--members", "50", "--json")
        assert main(["today", str(tmp_path / "system.toml"), *where]) == 0
        return json.loads(capsys.readouterr().out)

    return told


def test_today_answers_from_ten_years_of_log(ask):
    log = ten_years()
    answer = ask(log)
    assert answer["on"] == ON.isoformat()
    assert 0.0 < answer["glance"]["no3_mg_l"]["low"] < answer["glance"]["no3_mg_l"]["high"]
    assert ask(random.Random(4).sample(log, len(log))) == answer
