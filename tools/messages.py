"""Gather every text that people read into a gettext template, and make translations of it.

    python tools/messages.py pot FILE           every text, as a template for translators
    python tools/messages.py mo LANGUAGE FILE   compile a translation into the package

Texts are gathered from calls of ``say``, ``tr``, ``many`` and ``later``, from templates, from the tables of
phrases in ``rillbed.words`` and from the names in ``rillbed.facts``.
"""

from __future__ import annotations

import ast
import importlib
import io
import os
import pkgutil
import re
import sys
from collections.abc import Iterator
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

SOURCE = Path(__file__).parents[1] / "src" / "rillbed"
CALLS = {
    "say": (1,), "tr": (1,), "later": (1,), "many": (1, 2), "gettext": (1,), "ngettext": (1, 2), "amount": (2,),
    "whole": (2,),
}  # fmt: skip
COUNTED = re.compile(r"\{[a-z_0-9]+:(?:count|word) ([^{}]+)\}")
UNITS = re.compile(r"\{[a-z_0-9]+:(?!(?:day|chance|futures|one in|count .*|word .*)\})([^{}.\d][^{}]*)\}")
CODE = re.compile(r"[a-z_]+\.[a-z_]+")
Text = str | tuple[str, str]


def catalogue() -> Catalog:
    """Every text of the program."""
    found = Catalog(project="Rillbed", charset="utf-8")
    for text, where in texts():
        found.add(text, locations=[where])
        for word in COUNTED.findall(text if isinstance(text, str) else text[0]):
            found.add((word, f"{word}s"), locations=[where])
        for unit in UNITS.findall(text if isinstance(text, str) else text[0]):
            found.add(unit, locations=[where])
    return found


def texts() -> Iterator[tuple[Text, tuple[str, int]]]:
    """Every text and where it stands."""
    import django
    from django.utils.translation.template import templatize

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "rillbed.web.settings")
    django.setup()
    for path in sorted(SOURCE.rglob("*.py")):
        yield from _calls(path)
    for path in sorted(SOURCE.rglob("*.html")):
        code = templatize(path.read_text(encoding="utf-8"), origin=str(path)).encode()
        for line, found, _, _ in extract("python", io.BytesIO(code), CALLS):
            if found:
                yield found, (str(path.relative_to(SOURCE)), line)
    yield from _tables()
    yield from _names()
    yield from _figures()


def _calls(path: Path) -> Iterator[tuple[Text, tuple[str, int]]]:
    """Texts that calls name, also inside of an f-string, where babel does not look."""
    for node in ast.walk(ast.parse(path.read_bytes())):
        if isinstance(node, ast.Call) and (called := getattr(node.func, "id", getattr(node.func, "attr", ""))) in CALLS:
            where = (str(path.relative_to(SOURCE)), node.lineno)
            told = [_either(node.args[place - 1]) for place in CALLS[called] if len(node.args) >= place]
            if len(told) == 2 and all(told):
                yield (told[0][0], told[1][0]), where
            elif len(told) == 1:
                yield from ((text, where) for text in told[0] if text)


def _either(node: ast.expr) -> list[str]:
    if isinstance(node, ast.IfExp):
        return _either(node.body) + _either(node.orelse)
    return [node.value] if isinstance(node, ast.Constant) and isinstance(node.value, str) else []


def _tables() -> Iterator[tuple[str, tuple[str, int]]]:
    """Values of the tables of phrases: a table is a mapping from strings to strings at the top of a module."""
    import rillbed.words

    for _, name, _ in pkgutil.iter_modules(rillbed.words.__path__, "rillbed.words."):
        module = importlib.import_module(name)
        for title, table in list(vars(module).items()):
            if isinstance(table, dict) and not title.startswith("__"):
                for text in table.values():
                    for one in text if isinstance(text, tuple | list) else (text,):
                        if isinstance(one, str) and one and not CODE.fullmatch(one):
                            yield one, (name, 1)


def _names() -> Iterator[tuple[str, tuple[str, int]]]:
    """Names in the facts, as they stand alone and inside a sentence."""
    from rillbed import facts, words
    from rillbed.facts import remedies, traces, trouble
    from rillbed.garden.quantities import QUANTITIES
    from rillbed.plan.doses.limits import FORBIDDEN
    from rillbed.plan.elements.symptoms import SIGNS

    for one in QUANTITIES.values():
        yield one.name, ("garden.quantities", 1)
    for load in (facts.species, facts.crops):
        for row in load().values():
            yield row.common_name, (f"facts.{load.__name__}", 1)
            yield words.inside(row.common_name), (f"facts.{load.__name__}", 1)
    for row in facts.species().values():
        for text in (row.care_note, row.legal_caution):
            if text:
                yield text, ("facts.species", 1)
    for town in facts.towns().values():
        yield town.name, ("facts.towns", 1)
        yield town.country, ("facts.towns", 1)
    for key, fact in facts.facts().items():
        if key.startswith("size."):
            for text in (key.removeprefix("size.").replace("_", " "), fact.unit, fact.grade, fact.note or fact.how):
                if text:
                    yield text, ("facts.facts", 1)
    for job in facts.upkeep().values():
        yield job.name, ("facts.upkeep", 1)
        yield job.short, ("facts.upkeep", 1)
        if job.part:
            yield job.part, ("facts.upkeep", 1)
    for load in (
        remedies.sprays,
        remedies.symptoms,
        traces.trace_elements,
        facts.media,
        facts.kits,
        facts.feed_rate_bands,
        facts.supplements,
        facts.ammonia_sources,
        facts.feeds,
    ):
        for row in load().values():
            yield row.name, (f"facts.{load.__name__}", 1)
            yield row.name[:1].lower() + row.name[1:], (f"facts.{load.__name__}", 1)
    # As a line of the log says them, and what leaves show.
    for load in (facts.species, facts.crops, facts.feeds, facts.supplements, facts.ammonia_sources):
        for key in load():
            yield key.replace("_", " "), (f"facts.{load.__name__}", 1)
    for substance in FORBIDDEN:
        yield substance.replace("_", " "), ("plan.doses.limits", 1)
    for spray in remedies.sprays().values():
        for pest in spray.against:
            yield pest.replace("_", " "), ("facts.sprays", 1)
    for code in ("dying", "gasping", "eating", "source"):
        for text in (code, *trouble.clues()[code].answers):
            yield text, ("facts.trouble", 1)
    for sign, answers in SIGNS.items():
        for text in (sign, *answers):
            yield text.replace("_", " "), ("plan.elements.symptoms", 1)


def _figures() -> Iterator[tuple[str, tuple[str, int]]]:
    """Names, units and worded values of the figures behind the answers: made of the field names of the facts."""
    from rillbed.web.sources.figures import GRADES, entries, tables, title
    from rillbed.web.today.why import worded

    where = ("facts", 1)
    for table in tables():
        yield title(table), where
    for _, grade, about in GRADES.values():
        yield grade, where
        yield about, where
    for one in entries():
        yield one.title, where
        yield from ((text, where) for text in (one.note, one.at, one.valid, one.part and one.part_title) if text)
        for pair in one.figures:
            for text in (pair.name, pair.unit, pair.value if worded(pair.value) else ""):
                if text:
                    yield text, where


def main(told: list[str]) -> int:
    """Do what the first word says."""
    match told:
        case ["pot", target]:
            with Path(target).open("wb") as file:
                write_po(file, catalogue(), width=110)
        case ["mo", language, source]:
            with Path(source).open("rb") as file:
                translated = read_po(file, locale=language)
            save(translated, SOURCE / "tongue" / "locale", language)
        case _:
            print(__doc__)
            return 2
    return 0


def save(translated: Catalog, folder: Path, language: str) -> Path:
    """Compile a catalogue where the program looks for it."""
    path = folder / language / "LC_MESSAGES" / "django.mo"
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as file:
        write_mo(file, translated)
    return path


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
