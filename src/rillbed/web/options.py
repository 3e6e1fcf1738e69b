"""Where the data of this installation lives, and its secret key."""

from __future__ import annotations

import os
import secrets
from pathlib import Path


def data_folder() -> Path:
    """Return the folder named by ``RILLBED_DATA`` (default ``rillbed-data`` below the current one), made if missing."""
    folder = Path(os.environ.get("RILLBED_DATA", "rillbed-data")).resolve()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return folder


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
