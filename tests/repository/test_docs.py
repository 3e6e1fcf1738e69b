"""What the documentation shows must work as it stands there."""

import re
from pathlib import Path

import pytest

from rillbed.garden.files import log_from_csv, parse_system
from rillbed.garden.log import PAYLOADS

PAGE = (Path(__file__).parents[2] / "docs" / "files.md").read_text()


def block(language: str) -> str:
    found = re.search(rf"```{language}\n(.*?)```", PAGE, re.S)
    assert found
    return found.group(1)


def test_system_example_is_read() -> None:
    assert parse_system(block("toml")).beds[0].kind == "media"


def test_log_example_is_read() -> None:
    assert [entry.kind for entry in log_from_csv(block("csv"))] == ["reading", "fish_in"]


def test_every_kind_is_listed() -> None:
    listed = set(re.findall(r"[a-z_]+", PAGE.split("## Kinds of entry")[1]))
    assert set(PAYLOADS) == listed


@pytest.mark.parametrize("page", [p.name for p in (Path(__file__).parents[2] / "docs").glob("*.md")])
def test_links_lead_somewhere(page: str) -> None:
    folder = Path(__file__).parents[2] / "docs"
    for target in re.findall(r"\]\(([^)#:]+)\)", (folder / page).read_text()):
        assert (folder / target).exists(), f"{page}: {target}"
