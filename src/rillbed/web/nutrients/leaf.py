"""The leaf guide: signs to press, and the causes they point to."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

from rillbed import facts, words
from rillbed.facts import remedies
from rillbed.plan.doses import DosePlan
from rillbed.plan.elements.supplements import Supplements
from rillbed.plan.elements.symptoms import SIGNS, Judged
from rillbed.plan.elements.symptoms import Cause as Found
from rillbed.tongue import later, tr
from rillbed.web.dosing.page import NOTHING, Log
from rillbed.web.dosing.page import Page as Doses
from rillbed.web.dosing.page import page as dose_page
from rillbed.web.sources.figures import GRADES
from rillbed.words import elements as said
from rillbed.words.numbers import say

TITLES = {
    "where": later("Where is it?"),
    "pattern": later("What does it look like?"),
    "spread": later("How many plants?"),
    "roots": later("What colour are the roots?"),
    "insects": later("Insects under the leaves?"),
    "age": later("How long do they stand?"),
}
ANSWERS = {
    "where": {
        "old": later("old leaves"),
        "new": later("young leaves"),
        "all": later("all leaves"),
        "fruit": later("fruit"),
        "stem": later("stem"),
    },
    "pattern": {
        "even_yellow": later("yellow all over"),
        "between_veins": later("yellow between the veins"),
        "edges": later("edges brown"),
        "tips": later("tips brown"),
        "spots": later("spots"),
        "mottle": later("mottled"),
        "purple": later("purple"),
        "dark": later("dark green"),
        "curled": later("curled"),
        "wilted": later("wilted"),
        "bleached": later("bleached"),
        "brittle": later("brittle"),
        "small": later("small"),
        "narrow": later("narrow"),
        "soft": later("soft"),
        "stretched": later("stretched"),
        "fruit_end": later("end of the fruit black"),
        "holes": later("holes"),
        "powder": later("white powder"),
        "webbing": later("webs"),
        "stippled": later("tiny pale dots"),
        "sticky": later("sticky"),
        "mosaic": later("mosaic"),
    },
    "spread": {
        "one_plant": later("one plant"),
        "one_crop": later("one crop"),
        "one_bed": later("one bed"),
        "everywhere": later("everywhere"),
    },
    "roots": {"white": later("white"), "brown": later("brown")},
    "insects": {"seen": later("seen"), "none": later("none")},
    "age": {"new": later("days"), "old": later("weeks")},
}
MOST = 5


@dataclass(frozen=True)
class Press:
    """One answer as a button."""

    value: str
    label: str
    pressed: bool


@dataclass(frozen=True)
class Cause:
    """One cause with evidence, checks and remedy."""

    title: str
    evidence: tuple[str, ...]
    against: tuple[str, ...]
    checks: tuple[str, ...]
    remedy: tuple[str, ...]
    doses: Doses | None
    trace: str
    style: str
    grade: str
    works: tuple[str, ...]


@dataclass(frozen=True)
class Leaf:
    """What leaves point to."""

    causes: tuple[Cause, ...]
    ask: str


def asked(seen: Mapping[str, str]) -> list[tuple[str, str, list[Press]]]:
    """Give every sign with its answers."""
    return [
        (sign, tr(TITLES[sign]), [Press(value, tr(ANSWERS[sign][value]), seen.get(sign) == value) for value in answers])
        for sign, answers in SIGNS.items()
    ]


def crops(seen: Mapping[str, str]) -> list[tuple[str, str, bool]]:
    """Give the crops to choose from."""
    named = sorted(((key, tr(row.common_name)) for key, row in facts.crops().items()), key=lambda pair: pair[1])
    return [(key, name, seen.get("crop") == key) for key, name in named]


def leaf(found: Judged, loop: int, on: date, log_of: Callable[[Supplements], Log] = lambda _: NOTHING) -> Leaf:
    """Lay out a judgement."""
    causes = []
    for item in found.causes[:MOST]:
        answer = None if item.dose is None else item.dose.answer
        doses = None
        if item.dose is not None and isinstance(answer, DosePlan):
            doses = dose_page(answer, loop, on, f"leaf {item.code}", log_of(item.dose))
        causes.append(
            Cause(
                said.cause_title(item), said.reasons(item.evidence), said.reasons(item.against),
                tuple(_sentence(said.check(code)) for code in item.check), said.reasons(item.remedy), doses,
                "" if item.trace is None else said.trace(item.trace), *_known_from(item),
            )
        )  # fmt: skip
    first = said.check(found.ask[0]) if found.ask else ""
    return Leaf(tuple(causes), _sentence(first) if first else "")


def _known_from(item: Found) -> tuple[str, str, tuple[str, ...]]:
    """Frame and name of the grade of a cause, and the works it stands on."""
    style, grade, _ = GRADES[remedies.symptoms()[item.code].grade]
    known = facts.sources()
    return style, tr(grade), tuple(f"{known[key].author}, {known[key].title}" for key in item.sources if key in known)


def _sentence(text: str) -> str:
    text = words.capital(text)
    return text if text.endswith(("?", ".")) else f"{text}."


def heading(seen: Mapping[str, str]) -> str:
    """Say what is seen."""
    told = [tr(ANSWERS[sign][value]) for sign, value in seen.items() if sign in ANSWERS]
    if not told:
        return tr("What do the leaves show?")
    signs = words.capital(words.listed(told))
    if "crop" in seen:
        return say("{signs} on {crop}.", signs=signs, crop=words.crop(seen["crop"]))
    return f"{signs}."
