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
from rillbed.web.dosing.page import NOTHING, Log
from rillbed.web.dosing.page import Page as Doses
from rillbed.web.dosing.page import page as dose_page
from rillbed.web.sources.figures import GRADES
from rillbed.words import elements as said

TITLES = {
    "where": "Where is it?", "pattern": "What does it look like?", "spread": "How many plants?",
    "roots": "What colour are the roots?", "insects": "Insects under the leaves?", "age": "How long do they stand?",
}  # fmt: skip
ANSWERS = {
    "where": {"old": "old leaves", "new": "young leaves", "all": "all leaves", "fruit": "fruit", "stem": "stem"},
    "pattern": {
        "even_yellow": "yellow all over", "between_veins": "yellow between the veins", "edges": "edges brown",
        "tips": "tips brown", "spots": "spots", "mottle": "mottled", "purple": "purple", "dark": "dark green",
        "curled": "curled", "wilted": "wilted", "bleached": "bleached", "brittle": "brittle", "small": "small",
        "narrow": "narrow", "soft": "soft", "stretched": "stretched", "fruit_end": "end of the fruit black",
        "holes": "holes", "powder": "white powder", "webbing": "webs", "stippled": "tiny pale dots",
        "sticky": "sticky", "mosaic": "mosaic",
    },
    "spread": {"one_plant": "one plant", "one_crop": "one crop", "one_bed": "one bed", "everywhere": "everywhere"},
    "roots": {"white": "white", "brown": "brown"},
    "insects": {"seen": "seen", "none": "none"},
    "age": {"new": "days", "old": "weeks"},
}  # fmt: skip
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
        (sign, TITLES[sign], [Press(value, ANSWERS[sign][value], seen.get(sign) == value) for value in answers])
        for sign, answers in SIGNS.items()
    ]


def crops(seen: Mapping[str, str]) -> list[tuple[str, str, bool]]:
    """Give the crops to choose from."""
    named = sorted(((key, row.common_name) for key, row in facts.crops().items()), key=lambda pair: pair[1])
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
    return style, grade, tuple(f"{known[key].author}, {known[key].title}" for key in item.sources if key in known)


def _sentence(text: str) -> str:
    text = text if text.startswith("pH") else text[:1].upper() + text[1:]
    return text if text.endswith(("?", ".")) else f"{text}."


def heading(seen: Mapping[str, str]) -> str:
    """Say what is seen."""
    told = [ANSWERS[sign][value] for sign, value in seen.items() if sign in ANSWERS]
    crop = f" on {words.crop(seen['crop'])}" if "crop" in seen else ""
    return words.listed(told).capitalize() + crop + "." if told else "What do the leaves show?"
