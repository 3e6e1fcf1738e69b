"""The text of a file that somebody named, and TOML as plain data; what cannot be read is said in one plain sentence."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from rillbed.garden.errors import FileError
from rillbed.tongue import tr


class Unreadable(FileError):
    """A file that cannot be read at all; the sentence says what to do about it."""

    def __init__(self, path: Path, sentence: str) -> None:
        super().__init__(str(path), "file", path.name, sentence)

    def line(self) -> str:
        """Return the path and the sentence."""
        return f"{self.where}: {self.allowed}"


def text_of(path: Path | str) -> str:
    """Read a text file, as it is to the last line end.

    Raises
    ------
    Unreadable
        If there is none, or it is no text in UTF-8.
    """
    path = Path(path)
    try:
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError:
        told = tr("it is not text in UTF-8; save it as UTF-8, or name another file")
    except (OSError, ValueError) as error:
        told = in_words(error)
    raise Unreadable(path, told)


def in_words(error: Exception) -> str:
    """Say why a file cannot be opened, and what to do."""
    if isinstance(error, FileNotFoundError):
        return tr("there is no such file; check its name, and the folder it is in")
    if isinstance(error, IsADirectoryError):
        return tr("this is a folder; name a file in it")
    if isinstance(error, PermissionError):
        return tr("you may not open it; give yourself the right to")
    return tr("it cannot be opened ({why})").format(why=getattr(error, "strerror", None) or error)


def toml_of(text: str, where: str) -> dict[str, Any]:
    """Return the data of a TOML text; `where` names the text in errors.

    Raises
    ------
    FileError
        If it is none.
    """
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        why = str(error)
    except RecursionError:
        why = tr("it is nested too deep")
    except ValueError:
        why = tr("a number has too many digits")
    raise FileError(
        where, "toml", "this text", tr("must be a TOML file; {fault}").format(fault=why[:1].lower() + why[1:])
    )
