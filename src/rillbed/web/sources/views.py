"""Every figure with source and grade, filtered by the address alone."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import mark_safe

from rillbed import facts
from rillbed.facts.records import Source
from rillbed.tongue import current, tr
from rillbed.web.sources.figures import GRADES, Entry, Pair, entries, searched, tables, title
from rillbed.web.sources.mix import frames
from rillbed.web.today.why import figure
from rillbed.words import capital, say

A_PAGE = 20


@dataclass(frozen=True)
class Grade:
    """One grade as offered in the filter: how it is framed, how many there are, whether it is pressed."""

    key: str
    style: str
    name: str
    about: str
    count: int
    pressed: bool


@dataclass(frozen=True)
class Line:
    """One entry with its grade in words and the works it stands on."""

    entry: Entry
    title: str
    figures: tuple[Pair, ...]
    style: str
    grade: str
    works: tuple[Source, ...]
    at: str
    valid: str
    note: str


def sources(request: HttpRequest) -> HttpResponse:
    """Show the mix of grades, a filter, the entries that pass it and the works they come from."""
    asked = request.GET
    find, about = asked.get("find", "").strip(), asked.get("about", "")
    pressed = [grade for grade in GRADES if grade in asked.getlist("grade")]
    kept = [one for one in entries() if _passes(one, find, about, pressed)]
    sheet = Paginator(kept, A_PAGE).get_page(asked.get("sheet"))
    plain = asked.copy()
    plain.pop("sheet", None)
    counts = Counter(one.grade for one in entries())
    parts = ", ".join(f"{counts[key]} {tr(name)}" for key, (_, name, _) in GRADES.items())
    summary = say("{total} entries: {parts}.", total=len(entries()), parts=parts)
    context = {
        "grades": [
            Grade(k, style, tr(name), tr(text), counts[k], k in pressed) for k, (style, name, text) in GRADES.items()
        ],
        "mix": mark_safe(frames(counts, summary)),  # built from escaped words
        "find": find,
        "about": about,
        "tables": [(key, tr(title(key))) for key in tables()],
        "total": len(entries()),
        "memory": counts["memory"],
        "found": len(kept),
        "sheet": sheet,
        "lines": [_line(one) for one in sheet],
        "query": plain.urlencode(),
        "works": sorted(facts.sources().values(), key=lambda work: (work.author.lower(), work.year or 0)),
    }
    return render(request, "sources/sources.html", context)


def _passes(one: Entry, wanted: str, about: str, pressed: list[str]) -> bool:
    return (not pressed or one.grade in pressed) and (not about or one.table == about) and _fits(one, wanted)


def _fits(one: Entry, wanted: str) -> bool:
    if one.fits(wanted) or current().language.startswith("en"):
        return one.fits(wanted)
    said = searched(" ".join(map(tr, filter(None, (one.title, one.part_title, *(pair.name for pair in one.figures))))))
    return all(f" {word}" in said for word in searched(wanted).split())


def _line(one: Entry) -> Line:
    style, name, _ = GRADES[one.grade]
    known = facts.sources()
    named = capital(tr(one.title))
    return Line(
        entry=one,
        title=f"{named}: {tr(one.part_title)}" if one.part else named,
        figures=tuple(Pair(tr(pair.name), figure(pair.value), tr(pair.unit)) for pair in one.figures),
        style=style,
        grade=tr(name),
        works=tuple(known[key] for key in one.sources if key in known),
        at=tr(one.at),
        valid=tr(one.valid),
        note=_sentence(tr(one.note)),
    )


def _sentence(note: str) -> str:
    return f"{capital(note).rstrip('.')}." if note else ""
