"""What is installed must be what is in the tree: facts, templates, styles and the invented loop included."""

import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_wheel_holds_every_file_of_the_package(tmp_path: Path) -> None:
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, tmp_path / name)
    shutil.copytree(ROOT / "src", tmp_path / "src", ignore=shutil.ignore_patterns("__pycache__", "*.egg-info", "*.pyc"))
    command = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(tmp_path / "dist"), "."]
    subprocess.run(command, cwd=tmp_path, check=True, capture_output=True)
    (wheel,) = (tmp_path / "dist").glob("*.whl")
    packed = {name for name in zipfile.ZipFile(wheel).namelist() if name.startswith("rillbed/")}
    there = {
        path.relative_to(tmp_path / "src").as_posix()
        for path in (tmp_path / "src/rillbed").rglob("*")
        if path.is_file()
    }
    assert packed == there
