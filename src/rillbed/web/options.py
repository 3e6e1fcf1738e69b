"""Where the data of this installation lives, its secret key, and the names it answers to."""

from __future__ import annotations

import os
import secrets
import sys
from pathlib import Path


def user_folder(platform: str = sys.platform) -> Path:
    """Return the folder in which this platform keeps one user's data of this program; it is not made.

    Examples
    --------
    >>> user_folder("darwin").parts[-2:]
    ('Application Support', 'Rillbed')
    """
    home = Path.home()
    if platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local") / "Rillbed"
    if platform == "darwin":
        return home / "Library" / "Application Support" / "Rillbed"
    # A relative XDG path must be ignored, says the XDG base directory specification.
    named = Path(os.environ.get("XDG_DATA_HOME", ""))
    return (named if named.is_absolute() else home / ".local" / "share") / "rillbed"


def data_folder() -> Path:
    """Return the folder named by ``RILLBED_DATA`` (default: the user's own data folder), made if missing."""
    named = os.environ.get("RILLBED_DATA")
    folder = Path(named).resolve() if named else user_folder()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return folder


def hosts() -> list[str]:
    """Return the names under which the pages answer: this machine's, and those in ``RILLBED_HOSTS`` (by commas)."""
    more = os.environ.get("RILLBED_HOSTS", "").split(",")
    return ["localhost", "127.0.0.1", "[::1]", *(name.strip() for name in more if name.strip())]


def secret_key(folder: Path) -> str:
    """Return the key kept in `folder`, made on first use and readable by its owner only."""
    path = folder / "secret-key"
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return path.read_text(encoding="ascii")
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(secrets.token_urlsafe(48))
    return path.read_text(encoding="ascii")
