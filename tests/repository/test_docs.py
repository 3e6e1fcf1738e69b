"""What the documentation shows must work as it stands there."""

import re
from datetime import date
from pathlib import Path

import pytest

from rillbed.cli import main
from rillbed.garden.change import parse_change
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


def test_change_example_is_read_and_can_be_made() -> None:
    change = parse_change(PAGE.split("## Change (TOML)")[1].split("```toml\n")[1].split("```")[0])
    kinds = [entry.kind for entry in change.entries(parse_system(block("toml")), date(2026, 2, 20))]
    assert sorted(kinds) == ["fish_in", "outage", "set_up"]
    assert len(change.away) == 1


def test_every_kind_is_listed() -> None:
    listed = set(re.findall(r"[a-z_]+", PAGE.split("## Kinds of entry")[1]))
    assert set(PAYLOADS) == listed


@pytest.mark.parametrize("page", [p.name for p in (Path(__file__).parents[2] / "docs").glob("*.md")])
def test_links_lead_somewhere(page: str) -> None:
    folder = Path(__file__).parents[2] / "docs"
    for target in re.findall(r"\]\(([^)#:]+)\)", (folder / page).read_text()):
        assert (folder / target).exists(), f"{page}: {target}"


def test_readme_python_runs() -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text()
    found = re.search(r"```python\n(.*?)```", readme, re.S)
    assert found
    space: dict[str, object] = {}
    # As it stands, but with few members fitted to the first weeks alone: it is the calls that are held here.
    short = found.group(1).replace("ahead(system, entries,", "ahead(system, entries[:80],")
    exec(short.replace("members=100", "members=50, budget='quick'"), space)
    assert space["answer"].advice  # type: ignore[attr-defined]


def test_readme_verbs_exist(capsys: pytest.CaptureFixture[str]) -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text()
    verbs = re.findall(r"^    rillbed (\w+)(.*)$", readme, re.M)
    assert len(verbs) >= 5
    for verb, rest in verbs:
        with pytest.raises(SystemExit) as stop:
            main([verb, "--help"])
        assert stop.value.code == 0
        said = capsys.readouterr().out
        for option in re.findall(r"--\w+", rest.split("#")[0]):
            assert option in said


def test_the_first_loop_is_gone_through_as_it_stands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    page = (Path(__file__).parents[2] / "docs" / "first-loop.md").read_text()
    monkeypatch.chdir(tmp_path)
    for language, name in (("toml", "loop.toml"), ("csv", "log.csv")):
        found = re.search(rf"```{language}\n(.*?)```", page, re.S)
        assert found
        Path(name).write_text(found.group(1))
    commands = re.findall(r"^    rillbed (.*)$", page, re.M)
    assert len(commands) == 5
    for command in commands:
        # Few members: it is the commands that are held here.
        few = ["--members", "50"] if not command.startswith("dose") else []
        assert main([*command.split(), *few]) == 0, command
        assert capsys.readouterr().out
