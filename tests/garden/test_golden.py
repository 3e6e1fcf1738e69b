from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from rillbed.garden import files, fold

GOLDEN = Path(__file__).parent / "golden"


def test_both_forms_of_format_1_tell_the_same_story():
    system = files.read_system(GOLDEN / "system-1.toml")
    rows, lines = files.read_log(GOLDEN / "log-1.csv"), files.read_log(GOLDEN / "log-1.jsonl")
    assert rows == lines
    state = fold.state_at(system, rows, date(2026, 2, 10))
    assert state.readings == {}
    assert state.groups["reds"].biomass_g == pytest.approx(126.0)


def test_a_system_of_format_1_means_what_it_meant():
    system = files.read_system(GOLDEN / "system-1.toml")
    assert system.total_volume_m3 == pytest.approx(0.640 + 1.2 * 0.20 * 0.4)
    assert system.kits[0].interval(5) == (3.5, 7.5)
    assert system.kits[0].interval(50) == (35.0, None)
    assert system.source_water.ca_mg_l is None
