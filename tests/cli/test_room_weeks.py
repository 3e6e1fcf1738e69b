import json

import pytest

from rillbed.cli import main

RUNNING = 'startup_path = "fishless"'


def loop(tmp_path, system_text):
    file = tmp_path / "system.toml"
    file.write_text(system_text.replace(RUNNING, 'startup_path = "running"'), encoding="utf-8")
    return file


def test_room_by_week_shows_both_views_and_what_binds(tmp_path, system_text, capsys):
    file = loop(tmp_path, system_text)
    args = ["room", str(file), "--on", "2031-05-01", "--weeks", "--members", "50", "--quick"]
    assert main([*args, "--json"]) == 0
    weeks = json.loads(capsys.readouterr().out)
    assert len(weeks) > 6
    assert {"start", "next_m2", "steady_m2", "rule_m2", "binding"} <= weeks[0].keys()
    with pytest.raises(SystemExit) as end:
        main([*args, "--band", "moon"])
    assert end.value.code == 2
    assert "moon" in capsys.readouterr().err


def test_what_was_picked_is_summed(tmp_path, system_text, capsys):
    file, log = loop(tmp_path, system_text), tmp_path / "log.jsonl"
    told = [
        {"uuid": "00000000-0000-0000-0000-000000000001", "at": "2031-04-02T08:00:00Z", "kind": "planted",
         "payload": {"crop": "lettuce_loose", "count": 10, "bed": "bed", "planting": "first"}},
        {"uuid": "00000000-0000-0000-0000-000000000002", "at": "2031-05-01T08:00:00Z", "kind": "picked",
         "payload": {"planting": "first", "amount": {"value": 1.5, "unit": "kg"}, "finished": True}},
    ]  # fmt: skip
    lines = [json.dumps(one) for one in told]
    log.write_text("\n".join([*lines, json.dumps({"entries": len(lines)})]) + "\n", encoding="utf-8")
    args = ["room", str(file), "--log", str(log), "--on", "2031-05-02", "--picked", "7"]
    assert main([*args, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["picked_g"] == 1500.0
    assert found["g_m2"] == 750.0
    assert main(args) == 0
    assert "loose-leaf lettuce" in capsys.readouterr().out
