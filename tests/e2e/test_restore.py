"""The disk is lost: what was logged in the browser comes back from the last copy, the way the docs tell it."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.e2e
LOOP = str(Path(__file__).with_name("stocked_loop.py"))
DOCS = Path(__file__).parents[2] / "docs" / "data.md"
PHRASE = "four plain words here"
NOTES = ("net torn, mended", "heron seen")


def rillbed(data: Path, *command: str) -> str:
    """Run a command on the data and give what it printed."""
    env = os.environ | {"RILLBED_DATA": str(data)}
    done = subprocess.run([sys.executable, "-m", "rillbed", *command], env=env, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def write(person, base: str, text: str) -> None:
    """Log a note on its page."""
    person.page.goto(f"{base}/log/add/note")
    person.page.get_by_label("In your words").fill(text)
    person.tap(person.page.get_by_role("button", name="Save"))
    person.page.get_by_text("Saved:").first.wait_for()


def entries(person, base: str) -> list[str]:
    """Everything that the page of the log lists."""
    person.page.goto(f"{base}/log")
    return person.page.locator("#entries > li").all_inner_texts()


def test_everything_logged_is_there_after_a_loss(start, window, tmp_path) -> None:
    data, elsewhere = tmp_path / "data", tmp_path / "elsewhere"
    docs = DOCS.read_text(encoding="utf-8")
    backup = re.search(r"^    rillbed (backup .+)$", docs, re.MULTILINE)[1].split()
    restore = re.search(r"^    rillbed (restore) backups/NAME.zip$", docs, re.MULTILINE)[1]
    before = window()
    with start(LOOP, "0", data=data) as link:
        base = link.split("/enter")[0]
        before.sign_in(base, "keeper", PHRASE)
        for text in NOTES:
            write(before, base, text)
        told = entries(before, base)
        assert [any(text in line for line in told) for text in NOTES] == [True, True]
        made = Path(rillbed(data, *backup).split()[-1])  # while the server runs
        write(before, base, "after the copy")

    # The copy was taken to another machine; of the data nothing is left.
    elsewhere.mkdir()
    shutil.copy(made, elsewhere)
    shutil.rmtree(data)
    assert rillbed(data, restore, str(elsewhere / made.name)).startswith("Restored: data of ")

    after = window()
    with start(LOOP, "0", data=data) as link:
        base = link.split("/enter")[0]
        after.sign_in(base, "keeper", PHRASE)
        assert entries(after, base) == told
        write(after, base, "and it goes on")
        assert len(entries(after, base)) == len(told) + 1
        assert after.complaints == []
