import ast
import inspect
from datetime import UTC, datetime
from uuid import UUID

import pytest

from rillbed import plan
from rillbed.garden.log import LogEntry
from rillbed.words.formulas import FORMULAS, formula
from rillbed.words.happened import happened

AT = datetime(2031, 5, 1, 8, tzinfo=UTC)


@pytest.mark.parametrize(
    ("kind", "payload", "line"),
    [
        (
            "reading",
            {"quantity": "no3", "unit": "mg/L", "basis": "n", "low": 7.5, "high": 15},
            "Nitrate 7.5–15 mg/L as N",
        ),
        ("reading", {"quantity": "no2", "unit": "mg/L", "basis": "ion", "low": 5}, "Nitrite 5 or more mg/L as NO2"),
        ("reading", {"quantity": "ph", "unit": "", "high": 6.25}, "pH 6.25 or less"),
        ("reading", {"quantity": "k", "unit": "mg/L", "value": 12}, "Potassium 12 mg/L"),
        ("temperature", {"value": 21.5}, "Water temperature 21.5 °C"),
        ("water_changed", {"volume": "60 L"}, "Changed 60 L of water"),
        (
            "topped_up",
            {"volume": "5 gal_us", "treated": False},
            "Topped up 5 gal_us of source water, chlorine not removed",
        ),
        ("fish_out", {"group": "trout", "count": 2, "total": "1.2 kg"}, "Harvested 2 of trout, 1.2 kg together"),
        ("fish_died", {"group": "trout", "count": 1, "removed": False}, "1 of trout died, not found"),
        ("fish_weighed", {"group": "trout", "count": 4, "total": "400 g"}, "Weighed 4 of trout: 400 g, 100 g each"),
        ("picked", {"planting": "chard", "amount": "350 g"}, "Picked chard, 350 g"),
        ("removed", {"planting": "chard", "count": 2, "reason": "bolted"}, "Took out 2 of chard: bolted"),
        ("cleaned", {"what": "screen", "fraction": 0.5}, "Cleaned screen, 5 parts in 10"),
        ("equipment_stopped", {"equipment": "pump"}, "Pump stopped"),
        ("equipment_started", {"equipment": "air", "name": "stone 2"}, "Air, stone 2 runs again"),
        ("outage", {}, "Power away, still"),
        ("spray", {"substance": "soap", "bed": "raft"}, "Sprayed soap on raft"),
        ("observation", {"what": "yellow leaves", "text": "old ones"}, "Seen: yellow leaves. old ones"),
        ("note", {"text": "hums"}, "hums"),
    ],
)
def test_every_kind_has_its_line(kind: str, payload: dict[str, object], line: str) -> None:
    entry = LogEntry.make({"uuid": UUID(int=1), "at": AT, "kind": kind, "payload": payload})
    assert happened(entry).replace("\N{WORD JOINER}", "").replace("\u00a0", " ") == line


def test_every_formula_that_a_plan_names_is_in_words() -> None:
    from pathlib import Path

    folder = Path(inspect.getfile(plan)).parent
    named = {
        word.value.value
        for path in folder.glob("*.py")
        for call in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(call, ast.Call)
        for word in call.keywords
        if word.arg == "formula" and isinstance(word.value, ast.Constant)
    }
    assert named == set(FORMULAS)
    assert formula("") == ()
