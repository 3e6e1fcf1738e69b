"""Where the data of this installation lives, its secret key, and the names it answers to."""

from __future__ import annotations

import os
import secrets
import sys
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit


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


@dataclass(frozen=True)
class Address:
    """Where people find the pages: ``RILLBED_ADDRESS``, such as ``https://example.org/loop``; empty at home."""

    origin: str = ""
    host: str = ""
    path: str | None = None
    https: bool = False


def address(text: str | None = None) -> Address:
    """Read the public address of this server, from ``RILLBED_ADDRESS`` unless one is given.

    Raises
    ------
    ValueError
        If it is no http or https address, or holds more than host, port and path.

    Examples
    --------
    >>> address("https://example.org/loop/")
    Address(origin='https://example.org', host='example.org', path='/loop', https=True)
    """
    text = os.environ.get("RILLBED_ADDRESS", "") if text is None else text
    if not text:
        return Address()
    found = urlsplit(text)
    more = found.query or found.fragment or found.username
    if found.scheme not in ("http", "https") or not found.hostname or more:
        raise ValueError(f"RILLBED_ADDRESS = {text!r}: needs an address such as https://example.org or .../loop")
    path = found.path.rstrip("/") or None
    return Address(f"{found.scheme}://{found.netloc}", found.hostname, path, found.scheme == "https")


def hosts(public: str = "") -> list[str]:
    """Return the names under which the pages answer: this machine's, the public one, and those in ``RILLBED_HOSTS``."""
    more = [public, *os.environ.get("RILLBED_HOSTS", "").split(",")]
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
