"""Nothing is said past the reader's language: no sentence is glued in code, and none is made before it is asked for."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests import tongues
from tools import messages

import rillbed
from rillbed import tongue, words
from rillbed.garden import payloads as p
from rillbed.words import doses_phrases, numbers, phrases
from rillbed.words.cautions import CAUTIONS
from rillbed.words.happened import said

SOURCE = Path(rillbed.__file__).parent
SPOKEN = {"say", "tr", "later", "many"}
MADE = {*SPOKEN, *words.__all__, "filled"} - {"later", "Sentence"}


def calls(path: Path) -> Iterator[ast.Call]:
    return (node for node in ast.walk(ast.parse(path.read_bytes())) if isinstance(node, ast.Call))


def name(call: ast.Call) -> str:
    return str(getattr(call.func, "id", getattr(call.func, "attr", "")))


def test_what_is_translated_is_not_glued_together_first() -> None:
    glued = [
        f"{path.name}:{call.lineno}"
        for path in SOURCE.rglob("*.py")
        for call in calls(path)
        if name(call) in SPOKEN and call.args and isinstance(call.args[0], ast.JoinedStr)
    ]
    assert glued == []


def test_no_sentence_stands_in_a_text_with_fields_of_python() -> None:
    glued = []
    for path in (SOURCE / "words").glob("*.py"):
        code = ast.parse(path.read_bytes())
        faults = {id(one) for node in ast.walk(code) if isinstance(node, ast.Raise) for one in ast.walk(node)}
        for node in ast.walk(code):
            if isinstance(node, ast.JoinedStr) and id(node) not in faults:
                text = "".join(str(part.value) for part in node.values if isinstance(part, ast.Constant))
                # Codes, such as "stall.{state}", and plurals are no sentences.
                if re.search(r"[A-Za-z]{2,}[ ,:]|[ ][A-Za-z]{2,}", text):
                    glued.append(f"{path.name}:{node.lineno}: {text}")
    assert glued == []


def at_import(node: ast.AST) -> Iterator[ast.Call]:
    """Calls that run as a module is loaded."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.FunctionDef | ast.Lambda):
            continue
        if isinstance(child, ast.Call):
            yield child
        yield from at_import(child)


def test_nothing_is_translated_before_there_is_a_reader() -> None:
    early = [
        f"{path.name}:{call.lineno}: {ast.unparse(call)}"
        for path in SOURCE.rglob("*.py")
        for call in at_import(ast.parse(path.read_bytes()))
        if name(call) in MADE
    ]
    assert early == []


@pytest.fixture(scope="module")
def marks(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    folder = tmp_path_factory.mktemp("locale")
    tongues.pseudo(folder)
    was, tongue.LOCALE = tongue.LOCALE, folder
    with tongue.speaking(tongue.tongue([tongues.TAG])):
        yield
    tongue.LOCALE = was


def test_every_phrase_is_gathered() -> None:
    known = {one.id for one in messages.catalogue()}
    for table in (phrases.TITLES, phrases.REASONS, doses_phrases.REASONS, CAUTIONS):
        assert set(table.values()) <= known


@pytest.mark.usefixtures("marks")
def test_units_counts_and_lines_of_the_log_are_translated() -> None:
    shown = [
        numbers.filled(phrases.TITLES["plant.batch"], {"count": 3, "crop": words.crop("kale")}),
        numbers.filled("{gives:portions}", {"gives": 2.0}),
        words.amount(3.0, "minutes"),
        words.caution("water.lift"),
        words.supply("ammonium_chloride"),
        said(p.ToppedUp.make({"volume": "5 L", "treated": False})),
        said(p.Planted.make({"crop": "kale", "count": 3, "bed": "7"})),
        said(p.FeedChanged.make({"feed": "pellet_36"})),
    ]
    assert [text for text in shown if tongues.unspoken(text, set())] == []
