"""A number that was measured, agreed or chosen is written in facts and nowhere else."""

import ast
from pathlib import Path

import pytest

import rillbed.science

MODULES = sorted(Path(rillbed.science.__file__).parent.glob("*.py"))
# Counting, powers, scales of units and time, and what shields a division.
FREE = {0, 0.1, 0.5, 1, 2, 3, 4, 8, 10, 20, 24, 60, 100, 200, 365, 1e3, 1e6, 3600.0, 273.15, 3.6,
        1e-3, 1e-6, 1e-9, 1e-12, 1e-300}  # fmt: skip
# Where a number is no figure: what an argument may be, how a solver goes on, the exponent that is the formula.
OWN = {
    "carbonate": {12.5, 50},
    "polish": {1e-4},
    "equilibria": {1.5},
    "growth": {1.5, 1000.0},
    "uptake": {60},
}


def figures(path):
    """Yield the numbers of the code; what may be asked of a relation is no figure and stands in its decorator."""
    tree = ast.parse(path.read_text("utf-8"))
    asked = {id(n) for f in ast.walk(tree) for d in getattr(f, "decorator_list", ()) for n in ast.walk(d)}
    asked |= {id(n) for f in ast.walk(tree) if is_range(f) for n in ast.walk(f)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and type(node.value) in (int, float) and id(node) not in asked:
            yield node.value, node.lineno


def is_range(node):
    return isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Range"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.stem)
def test_the_sciences_hold_no_figures_of_their_own(path):
    own = FREE | OWN.get(path.stem, set())
    assert [(number, line) for number, line in figures(path) if number not in own] == []
