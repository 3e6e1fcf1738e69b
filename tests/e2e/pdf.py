"""Just enough of PDF to read what a browser printed: how many pages, and which words stand on them."""

from __future__ import annotations

import re
import zlib

SHOWN = re.compile(rb"/(F\d+) [\d.]+ Tf|<([0-9A-Fa-f]+)>(?=[^<>]*?T[jJ])|\b(ET)\b", re.DOTALL)


def _objects(data: bytes) -> dict[int, bytes]:
    return {int(found[1]): found[2] for found in re.finditer(rb"(\d+) 0 obj\s(.*?)\sendobj", data, re.DOTALL)}


def _stream(body: bytes) -> bytes:
    head, _, rest = body.partition(b"stream\n")
    packed = rest.rpartition(b"\nendstream")[0]
    return zlib.decompress(packed) if b"/FlateDecode" in head else packed


def _letters(table: bytes) -> dict[int, str]:
    """Read which letters the signs of a font stand for (the ToUnicode table of the format)."""
    out: dict[int, str] = {}
    for block in re.findall(rb"beginbfchar(.*?)endbfchar", table, re.DOTALL):
        for sign, letter in re.findall(rb"<(\w+)> <(\w+)>", block):
            out[int(sign, 16)] = bytes.fromhex(letter.decode()).decode("utf-16-be")
    for block in re.findall(rb"beginbfrange(.*?)endbfrange", table, re.DOTALL):
        for first, last, letter in re.findall(rb"<(\w+)> <(\w+)> <(\w+)>", block):
            begin = int(first, 16)
            out |= {n: chr(int(letter, 16) + n - begin) for n in range(begin, int(last, 16) + 1)}
    return out


def pages(data: bytes) -> list[str]:
    """Give the words of each page, blanks and line ends as single blanks."""
    held = _objects(data)
    fonts = {
        f"F{number}".encode(): _letters(_stream(held[int(named[1])]))
        for number, body in held.items()
        if (named := re.search(rb"/ToUnicode (\d+) 0 R", body))
    }
    return [_words(body, held, fonts) for body in held.values() if re.search(rb"/Type /Page\b", body)]


def _words(page: bytes, held: dict[int, bytes], fonts: dict[bytes, dict[int, str]]) -> str:
    drawn = _stream(held[int(re.search(rb"/Contents (\d+) 0 R", page)[1])])
    text, font = "", {}
    for chosen, signs, end in SHOWN.findall(drawn):
        if chosen:
            font = fonts.get(chosen, {})
        text += "".join(font.get(int(signs[at : at + 4], 16), "") for at in range(0, len(signs), 4))
        text += " " if end else ""
    return " ".join(text.split())
