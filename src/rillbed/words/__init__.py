"""Codes and numbers into sentences: the one place used by the command line, the pages and print."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from rillbed import facts
from rillbed.garden.products import OWN, is_own
from rillbed.plan.advice import Advice, Reason
from rillbed.tongue import tr
from rillbed.words.cautions import caution, cautions
from rillbed.words.learned_phrases import REASONS as LEARNED
from rillbed.words.numbers import (
    amount,
    between,
    capital,
    chance,
    clock,
    day,
    filled,
    least,
    listed,
    number,
    say,
    weekday,
)
from rillbed.words.phrases import QUANTITIES, REASONS, TITLES
from rillbed.words.stops import ended

__all__ = [
    "Sentence", "amount", "between", "capital", "caution", "cautions", "chance", "clock", "crop", "day", "inside",
    "least", "listed", "number", "quantity", "reason", "say", "sentence", "shoal", "supply", "weekday",
]  # fmt: skip

# First words of names that keep their capital letter.
PLACES = frozenset(
    {"Brussels", "Chinese", "Florence", "French", "French/runner", "Malabar", "Murray", "New", "Nile", "Swiss"}
)

# No kit and no scale tells less apart.
TRACE_MG_L = 0.01


@dataclass(frozen=True)
class Sentence:
    """An advice in words: title, the amount apart, reasons, what to expect, cautions."""

    title: str
    amount: str
    reasons: tuple[str, ...]
    expect: str
    cautions: tuple[str, ...]


def sentence(advice: Advice) -> Sentence:
    """Put one advice into words.

    Raises
    ------
    KeyError
        If a code has no phrase; every code has one, and a test holds this.
    """
    return Sentence(
        title=capital(filled(TITLES[advice.code], _named(advice.params))),
        amount="" if advice.amount is None else amount(advice.amount, advice.unit),
        reasons=tuple(reason(item) for item in advice.reasons),
        expect="" if advice.expect is None else reason(advice.expect),
        cautions=cautions(advice.cautions),
    )


def reason(item: Reason) -> str:
    """One reason, verdict or note as a sentence."""
    text = LEARNED[item.code] if item.code in LEARNED else REASONS[item.code]
    return capital(filled(text, _named(item.values)))


def quantity(code: str) -> str:
    """Plain name of a measured quantity or an element."""
    return tr(QUANTITIES[code]) if code in QUANTITIES else code.replace("_", " ")


def _named(values: object) -> dict[str, object]:
    assert hasattr(values, "items")
    out: dict[str, object] = dict(values.items())
    for key in ("quantity", "element", "limit"):
        if isinstance(out.get(key), str):
            out[key] = quantity(str(out[key]))
    elements, parts = out.get("elements"), out.get("mg_l")
    if isinstance(elements, tuple | list):
        out["elements"] = listed(quantity(str(item)) for item in elements)
        if isinstance(parts, tuple | list):
            out["brought"] = listed(_brought(str(item), part) for item, part in zip(elements, parts, strict=True))
    if isinstance(out.get("quantities"), tuple | list):
        out["tests"] = listed(quantity(str(item)) for item in out["quantities"])  # type: ignore[attr-defined]
    for key in ("supply", "source"):
        if isinstance(out.get(key), str):
            out[key] = supply(str(out[key]))
    if isinstance(out.get("species"), str):
        out["species"] = _fish(str(out["species"]))
    if isinstance(out.get("crop"), str):
        out["crop"] = crop(str(out["crop"]))
    crops, counts = out.get("crops"), out.get("counts")
    if isinstance(crops, tuple | list) and isinstance(counts, tuple | list):
        out["choices"] = listed((f"{n} {crop(str(item))}" for item, n in zip(crops, counts, strict=True)), "or")
    if "step" in out:
        kind = tr("as N") if out.get("basis") == "n" else tr("as nitrate")
        low, high = (day(str(out[key])) for key in ("low", "high"))
        out["when"] = (
            say("about {low}", low=low) if low == high else say("between {low} and {high}", low=low, high=high)
        )
        out["reading"] = f"{amount(float(str(out['step'])), str(out['unit']))} {kind}"
    if isinstance(out.get("what"), str):
        out["what"] = tr(str(out["what"]))
    if isinstance(out.get("why"), str):
        out["why"] = ended(str(out["why"]))
    if "group" in out:
        # A group that nobody named goes by its entry's uuid, which says nothing to a person.
        out["fish"] = out.get("species", tr("the fish")) if _unnamed(str(out["group"])) else out["group"]
    return out


def _brought(element: str, mg_l: float) -> str:
    name = quantity(element)
    return f"{name} {amount(mg_l, 'mg/L')}" if mg_l >= TRACE_MG_L else say("a trace of {element}", element=name)


def _fish(species: str) -> str:
    row = facts.species().get(species)
    return species if row is None else tr(inside(row.common_name))


def shoal(group: str, species: str) -> str:
    """Name of a group of fish as it stands inside a sentence; one that nobody named goes by its kind."""
    return _fish(species) if _unnamed(group) else group


def crop(name: str) -> str:
    """Name of a crop as it stands inside a sentence; what is no crop stays as it is."""
    row = facts.crops().get(name)
    return name if row is None else tr(inside(row.common_name))


def supply(substance: str) -> str:
    """Name of an ammonia source or a supplement as it stands inside a sentence."""
    row = facts.supplements().get(substance) or facts.ammonia_sources().get(substance)
    if row is None and is_own(substance):
        return substance.removeprefix(OWN).replace("_", " ")
    return substance if row is None else tr(row.name[:1].lower() + row.name[1:])


def inside(name: str) -> str:
    """Name from a table as it stands inside a sentence: "Lettuce, cos" is cos lettuce, places keep their capital."""
    kind, comma, sort = name.partition(", ")
    head = kind if kind.split()[0] in PLACES else kind[:1].lower() + kind[1:]
    return f"{sort} {head}" if comma else head


def _unnamed(label: str) -> bool:
    try:
        UUID(label)
    except ValueError:
        return False
    return True
