"""Only one place raises a first letter: it knows units and symbols."""

import re
from pathlib import Path

SRC = Path(__file__).parents[2] / "src" / "rillbed"
PLACE = SRC / "words" / "numbers.py"
# "fe" of the code is the symbol Fe; help of the command line begins with no unit.
ALLOWED = {"garden/products.py", "web/household/labels.py", "cli/options.py"}
RAISED = re.compile(r"\|capfirst|\.capitalize\(\)|\.upper\(\) \+")


def test_nothing_else_raises_a_first_letter() -> None:
    found = {
        path.relative_to(SRC).as_posix()
        for pattern in ("*.py", "*.html")
        for path in SRC.rglob(pattern)
        if path != PLACE and RAISED.search(path.read_text(encoding="utf-8"))
    }
    assert found == ALLOWED
