"""Run every published check table in this folder: one TOML file for one function and one source.

Keys: function (dotted, under rillbed.science unless it starts with rillbed), source, read; then the tolerance, one of
atol/rtol, decimals (printed decimals) or significant (printed digits), each overridable in a case. [[case]] has args
and expect (and attr where the function gives an object). [[misprint]] has args, printed and why: the function must not
agree with it.
"""

import importlib
import math
import tomllib
from pathlib import Path

import pytest

HERE = Path(__file__).parent
SLACK = 1.1  # a printed digit is worth half a unit, and a tenth more for rounding on the way


def load():
    for path in sorted(HERE.glob("*.toml")):
        table = tomllib.loads(path.read_text(encoding="utf-8"))
        for kind in ("case", "misprint"):
            for number, row in enumerate(table.get(kind, [])):
                yield pytest.param(table, kind, row, id=f"{path.stem}-{kind}-{number}")


def function(dotted):
    name = dotted if dotted.startswith("rillbed.") else f"rillbed.science.{dotted}"
    module, attribute = name.rsplit(".", 1)
    return getattr(importlib.import_module(module), attribute)


def tolerance(table, row, expect):
    settings = row if row.keys() & {"atol", "rtol", "decimals", "significant"} else table
    if "decimals" in settings:
        return 0.5 * SLACK * 10.0 ** -settings["decimals"]
    if "significant" in settings:
        return 0.5 * SLACK * 10.0 ** (math.floor(math.log10(abs(expect))) + 1 - settings["significant"])
    return settings.get("atol", 0.0) + settings.get("rtol", 0.0) * abs(expect)


def result(table, row):
    value = function(table["function"])(**row["args"])
    return float(getattr(value, row["attr"]) if "attr" in row else value)


@pytest.mark.parametrize(("table", "kind", "row"), list(load()))
def test_agrees_with_the_printed_table(table, kind, row):
    assert table["source"]
    assert table["read"]
    printed = row["expect"] if kind == "case" else row["printed"]
    allowed = tolerance(table, row, printed)
    assert allowed > 0
    off = abs(result(table, row) - printed)
    if kind == "case":
        assert off <= allowed
    else:
        assert row["why"]
        assert off > allowed
