"""Spoil a file that is taken in: cut it, change its bytes, or change the text of a table in it."""

from __future__ import annotations

import io
import random
import zipfile


def opened(data: bytes) -> dict[str, bytes]:
    """Give the files of a zip."""
    with zipfile.ZipFile(io.BytesIO(data)) as found:
        return {name: found.read(name) for name in found.namelist()}


def zipped(files: dict[str, bytes]) -> bytes:
    """Make a zip of files."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for name, data in files.items():
            made.writestr(name, data)
    return out.getvalue()


def spoiled(data: bytes, dice: random.Random) -> bytes:
    """Spoil a file: cut it, change bytes of it, or change the text of a table in it."""
    if dice.random() < 0.4:
        out = bytearray(data)
        for _ in range(dice.randint(1, 30)):
            out[dice.randrange(len(out))] = dice.randrange(256)
        return bytes(out[: dice.randint(1, len(out))]) if dice.random() < 0.3 else bytes(out)
    files = opened(data)
    name = dice.choice(sorted(files))
    text = bytearray(files[name])
    for _ in range(dice.randint(1, 8)):
        place = dice.randrange(len(text) + 1)
        new = dice.choice([b"", b"\xff", b"\x00", b'"', b",", b"\r\n", b"-", b"9" * 400, b"{", b"=", b"nan", b"2031"])
        text[place : place + dice.randint(0, 5)] = new
    return zipped(files | {name: bytes(text)})
