"""What the bench asks, and what it makes of the answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from rillbed import facts, words
from rillbed.garden.errors import GardenError
from rillbed.garden.system import System
from rillbed.plan.doses import Goal, Water
from rillbed.plan.doses.limits import FORBIDDEN
from rillbed.plan.shelf import BASES
from rillbed.tongue import later, tr
from rillbed.web.setup.fields import Field, Options
from rillbed.web.setup.measures import kept, number, plain
from rillbed.words.doses import HEADLINES
from rillbed.words.numbers import say

Typed = Mapping[str, str]

ADD = "add"
ADDING = later("If I add …")
CHANGED = ("tan", "no2", "no3", "na", "cl", "k")  # what a change of water is asked to bring down
SALTS = ("sodium_chloride", "calcium_chloride", "potassium_chloride")
NEEDS: dict[str, str] = {
    "k": later("Potassium, up by"),
    "ca": later("Calcium, up by"),
    "mg": later("Magnesium, up by"),
    "fe": later("Iron, up by"),
    "p": later("Phosphorus, up by"),
}


@dataclass(frozen=True)
class Question:
    """One thing the bench answers: its key, its title, and its own fields."""

    key: str
    title: str
    fields: tuple[Field, ...]


def _supply(kinds: tuple[str, ...], label: str = later("With")) -> Field:
    def offered() -> Options:
        rows = facts.supplements()
        fit = [name for name, row in rows.items() if not kinds or row.kind in kinds or name in kinds]
        return [("", tr("the best there is")), *((name, tr(rows[name].name)) for name in fit), *_household()]

    return Field("with", label, "choice", offered)


def _household() -> Options:
    return [(name, say("{what} (from the house)", what=tr(name.replace("_", " ")))) for name in FORBIDDEN]


def _everything() -> Options:
    return [*((name, tr(row.name)) for name, row in facts.supplements().items()), *_household()]


QUESTIONS = (
    Question(ADD, ADDING, (
        Field("what", later("What"), "choice", _everything),
        Field("grams", later("How much"), "number", measure="mass"),
    )),
    Question("raise_ph", later("Raise pH"), (
        Field("target", later("To a pH of"), "number", help=later("Empty: the lower end of what plants like.")),
        _supply(tuple(BASES)),
    )),
    Question("raise_alkalinity", later("Raise alkalinity"), (
        Field("target", later("To"), "number", measure="alkalinity", help=later("Empty: what bacteria need.")),
        _supply(tuple(BASES)),
    )),
    Question("lower_ph", later("Lower pH"), (
        Field("target", later("To a pH of"), "number", help=later("Empty: the upper end of what plants like.")),
        _supply(("acid",)),
    )),
    Question("protect_nitrite", later("Salt against nitrite"), (_supply(SALTS),)),
    Question("dechlorinate", later("Take out chlorine"), (
        Field(
            "litres", later("Fresh water to treat"), "number", measure="volume",
            help=later("Empty: all water of the loop."),
        ),
        _supply(("dechlorinator",)),
    )),
    Question("dilute", later("Change water"), (
        Field("quantity", later("To bring down"), "choice", lambda: [(q, words.quantity(q)) for q in CHANGED]),
        Field("target", later("To"), "number", help=later("mg/L, nitrogen as N. Empty: what harms nobody.")),
        Field(
            "litres", later("One change"), "number", measure="volume", help=later("Empty: the largest that is safe."),
        ),
    )),
    Question("iron", later("Iron"), (
        Field("target", later("To"), "number", unit="mg/L", help=later("Empty: what plants like.")),
        _supply(("chelate",)),
    )),
    Question("supplement", later("Several at once"), tuple(
        Field(f"need_{name}", label, "number", unit="mg/L") for name, label in NEEDS.items()
    )),
    Question("carbonate_media", later("Shell or limestone"), (
        Field(
            "target", later("Up to"), "number", measure="alkalinity",
            help=later("Empty: as far as it goes by itself."),
        ),
    )),
)  # fmt: skip
READ = (
    Field("ph", "pH", "number"),
    Field("alkalinity", later("Alkalinity"), "number", measure="alkalinity"),
    Field("tan", later("Ammonia"), "number", unit=later("mg/L as N")),
    Field("no2", later("Nitrite"), "number", unit=later("mg/L as N")),
    Field("cl", later("Chloride"), "number", unit="mg/L"),
    Field("temperature", later("Temperature"), "number", measure="temperature"),
    Field("chlorine", later("Free chlorine, fresh water"), "number", unit="mg/L"),
    Field("chloramine", later("Chloramine, fresh water"), "number", unit="mg/L"),
)


def question_of(key: str) -> Question:
    """Give a question by its key; the first for any other."""
    return next((one for one in QUESTIONS if one.key == key), QUESTIONS[0])


def headline(key: str) -> str:
    """Name of a goal."""
    return tr(HEADLINES.get(key, ADDING))


def water_of(water: Water, typed: Typed) -> Water:
    """Put what was typed over what the log knows.

    Raises
    ------
    GardenError
        Naming the field that is no number.
    """
    spans = dict(water.spans)
    for field in READ:
        if not typed.get(field.name, "").strip():
            continue
        value = kept(field.name, field.measure, typed) if field.measure else number(field.name, typed[field.name])
        if value is not None:
            _within(field.name, value)
            spans[field.name] = (value, value)
    return replace(water, spans=spans)


MOST = {"ph": (3.0, 12.0), "temperature": (0.0, 45.0)}


def _within(name: str, value: float) -> None:
    low, high = MOST.get(name, (0.0, 10_000.0))
    if not low <= value <= high:
        raise GardenError(name, value, say("must be from {low} to {high}", low=plain(low), high=plain(high)))


def goal_of(question: Question, typed: Typed, system: System) -> Goal:
    """Read a goal.

    Raises
    ------
    GardenError
        For a value that is no number or cannot be.
    """

    def maybe(name: str) -> float | None:
        field = next((one for one in question.fields if one.name == name), None)
        if field is None or not typed.get(name, "").strip():
            return None
        value = kept(name, field.measure, typed) if field.measure else number(name, typed[name])
        if value is not None and not 0.0 < value < 1e7:
            raise GardenError(name, typed[name], tr("must be above 0"))
        return value

    litres, target = maybe("litres"), maybe("target")
    needs = {name: value for name in NEEDS if (value := maybe(f"need_{name}")) is not None}
    if question.key == "supplement" and not needs:
        raise GardenError("need_k", None, tr("say of at least one how far it is to go up"))
    try:
        return Goal(
            question.key,  # type: ignore[arg-type]
            target, typed.get("with") or None, typed.get("quantity") or "tan",
            litres=litres if question.key == "dechlorinate" else None,
            each_litres=litres if question.key == "dilute" else None, needs=needs,
        )  # fmt: skip
    except ValueError as error:
        raise GardenError("target", typed.get("target"), str(error)) from None


def grams_of(typed: Typed) -> float:
    """Read the amount of a single dose, g.

    Raises
    ------
    GardenError
        If it is missing, no number, or not above 0.
    """
    grams = kept("grams", "mass", typed)
    if grams is None or not 0.0 < grams <= 1e6:
        raise GardenError("grams", typed.get("grams", ""), tr("needs an amount above 0"))
    return grams
