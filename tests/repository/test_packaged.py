import tomllib
from fnmatch import fnmatch
from pathlib import Path

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "rillbed"


def test_every_file_a_page_or_the_model_reads_is_part_of_the_wheel():
    named = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["setuptools"]["package-data"]["rillbed"]
    files = [path for path in PACKAGE.rglob("*") if path.is_file() and "__pycache__" not in path.parts]
    data = [path for path in files if path.suffix not in (".py", ".md")]
    left_out = [path.name for path in data if not any(fnmatch(path.name, name.split("/")[-1]) for name in named)]
    assert data
    assert left_out == []


def test_every_folder_with_modules_is_a_package():
    folders = {path.parent for path in PACKAGE.rglob("*.py")}
    assert [str(folder) for folder in folders if not (folder / "__init__.py").exists()] == []
