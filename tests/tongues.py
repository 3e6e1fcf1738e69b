"""A made-up translation that marks each text it met, and what a page shows that it did not meet."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

from babel.messages.catalog import Catalog
from tools import messages

TAG = "en-XA"
OPEN, SHUT = "\u27e6", "\u27e7"
# What a translation leaves as it is: fields, tags and entities.
KEPT = re.compile(r"(\{[^{}]*(?:\{[^{}]*\}[^{}]*)*\}|%\([A-Za-z_0-9]+\)s|%%|<[^<>]+>|&[a-z]+;)")
ACCENTS = str.maketrans("aeioucnszyAEIOUCNSZ", "áéíóúçñšžýÁÉÍÓÚÇÑŠŽ")
# Units and signs are written alike everywhere.
SIGNS = re.compile(
    r"\b(m²|m³|ft²|mg|g|kg|oz|lb|t|L|mL|ml|m|cm|mm|km|h|min|s|d|W|kW|kWh|Wh|V|A|Ah|mS|dS|µS|meq|mmol|mol|eq|dKH|dH|ppm|kPa|hPa|atm|uatm|mol|DM|"
    r"pH|pKa|EC|KH|GH|TAN|NH|NO|PO|CO|CaCO|CaO|MgO|SO3?|P₂O₅|K₂O|SO₃|HCO|DIC|DIN|UTC|CSV|TOML|ZIP|JSON|API|URL|UUID|HTML|SVG|OpenAPI|"
    r"N|P|K|Ca|Mg|S|Fe|Mn|B|Zn|Cu|Mo|Na|Cl|O|C|Si|Rillbed|https?)\b"
)
SPOKEN_ATTRIBUTES = ("aria-label", "title", "placeholder", "alt", "aria-description")
SILENT = {"script", "style", "template", "code", "pre", "kbd", "samp", "textarea"}
EMPTY = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}


def pseudo(folder: Path) -> None:
    """Compile the made-up translation of everything that can be translated."""
    told = Catalog(locale="en")
    for message in messages.catalogue():
        if message.id:
            both = isinstance(message.id, tuple | list)
            told.add(message.id, tuple(marked(one) for one in message.id) if both else marked(message.id))
    messages.save(told, folder, "en_XA")


def marked(text: str) -> str:
    """Mark a text, and leave its fields as they are.

    >>> marked("Feed {x:g} <b>now</b>")
    '⟦Fééd {x:g} <b>ñów</b>⟧'
    """
    parts = KEPT.split(text)
    return OPEN + "".join(one if n % 2 else one.translate(ACCENTS) for n, one in enumerate(parts)) + SHUT


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.said: list[str] = []
        self.apart: list[str] = []
        self.silent: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        held = dict(attrs)
        if self.silent or tag in SILENT or held.get("translate") == "no":
            if tag not in EMPTY:
                self.silent.append(tag)
            return
        self.apart += [held[name] or "" for name in SPOKEN_ATTRIBUTES if name in held]
        if tag == "input" and held.get("type") in ("submit", "button"):
            self.apart.append(held.get("value") or "")

    def handle_endtag(self, tag: str) -> None:
        if self.silent and tag == self.silent[-1]:
            self.silent.pop()

    def handle_data(self, data: str) -> None:
        if not self.silent:
            self.said.append(data)


def unspoken(html: str, names: set[str]) -> list[str]:
    """Words a page shows that no translation met; ``names`` were given by people."""
    reader = _Reader()
    reader.feed(html)
    out = []
    for text in ("\n".join(part for part in reader.said if part.strip()), *reader.apart):
        out += _left(text, names)
    return out


def _left(text: str, names: set[str]) -> list[str]:
    depth, outside = 0, []
    for sign in text:
        depth += (sign == OPEN) - (sign == SHUT)
        outside.append(sign if depth == 0 and sign != SHUT else "\n" if sign in OPEN + SHUT else "")
    rest = "".join(outside)
    for name in sorted(names, key=len, reverse=True):
        rest = rest.replace(name, "")
    lines = (" ".join(line.split()) for line in rest.split("\n"))
    return [line for line in lines if re.search(r"[^\W\d_]{2,}", DATES.sub("", SIGNS.sub("", line)))]


DATES = re.compile(
    r"\b(Mon|Tue|Wed|Thu|Fri|Sat|Sun)(day|sday|nesday|rsday|urday)?\b|"
    r"\b(Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Sept|Oct|Nov|Dec)\b|"
    r"\b(January|February|March|April|June|July|August|September|October|November|December)\b"
)
