"""Rules about the repository itself that a reader would otherwise have to trust."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
CORE = ["units", "facts", "science", "garden", "engine", "fit", "plan", "words", "draw"]


@pytest.mark.parametrize("lock", ["dev.lock", "runtime.lock"])
def test_lock_is_hashed_and_names_no_index(lock: str) -> None:
    text = (ROOT / "requirements" / lock).read_text()
    assert not re.search(r"--(extra-)?index-url|--find-links|https?://", text)
    pins = re.findall(r"^[a-z0-9_.-]+==\S+.*\\$", text, re.M)
    assert len(pins) > 10
    assert len(re.findall(r"^[a-z0-9_.-]+==", text, re.M)) == len(pins), "every pin is followed by its hashes"


def test_runtime_lock_agrees_with_the_tested_versions() -> None:
    def pins(name: str) -> set[str]:
        return set(re.findall(r"^([a-z0-9_.-]+==[^\s;]+)", (ROOT / "requirements" / name).read_text(), re.M))

    assert pins("runtime.lock") <= pins("dev.lock")


def test_core_does_not_load_the_web() -> None:
    imports = "; ".join(f"import rillbed.{name}" for name in CORE)
    code = f"import sys; {imports}; sys.exit('django' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_ci_runs_the_same_command_as_a_person() -> None:
    assert (ROOT / ".ci" / "run").read_text().rstrip().endswith("make test")
