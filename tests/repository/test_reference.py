"""The reference says what the code and its tables say today."""

import pytest
from tools import reference

PAGES = reference.pages()


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_what_the_code_says(name) -> None:
    written = (reference.FOLDER / name).read_text(encoding="utf-8")
    assert written == PAGES[name], f"docs/reference/{name} is old: run python tools/reference.py"


def test_no_page_is_left_over() -> None:
    assert {path.name for path in reference.FOLDER.iterdir()} == set(PAGES)


def test_every_relation_says_what_it_rests_on() -> None:
    parts = PAGES["relations.md"].split("\n### ")[1:]
    assert [part.split("(")[0] for part in parts if not any(w in part for w in ("Source", "Derived", "Practice"))] == []
