"""The way of a start-up: its stages, where it stands, and the three ways to begin."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed import words
from rillbed.plan.answers import CyclingPlan
from rillbed.tongue import later, tr

ORDER = ("new", "ammonia", "nitrite", "proving", "ready")


@dataclass(frozen=True)
class Stage:
    """One station: `state` is done, here or empty."""

    state: str
    when: str
    what: str
    about: str


@dataclass(frozen=True)
class Path:
    """One way to begin."""

    key: str
    title: str
    what: str
    care: str


PATHS = (
    Path(
        "fishless",
        later("No fish: bacteria first"),
        later("Ammonia from a bottle, a salt or rotting feed feeds the bacteria. Nothing can be harmed meanwhile."),
        later("No animals in the water while ammonia is dosed, and never bleach near it: the gas is poisonous."),
    ),
    Path(
        "fish_in",
        later("A few fish from the start"),
        later("The fish make the ammonia themselves. Feed stays small until the bacteria have grown; it takes longer."),
        later(
            "The fish breathe what the bacteria cannot take yet. Test often, and change water when a limit is passed."
        ),
    ),
    Path(
        "stocked",
        later("Fish are in it already"),
        later("Two tests, ammonia and nitrite, say where the bacteria stand. The ration follows from them."),
        later("Add no ammonia with fish in the water. If they gasp or hang at the surface, add air and stop feeding."),
    ),
)

# Each is behind once the stage of its name is.
_STEPS = (
    ("ammonia", later("Ammonia is eaten"), later("The first bacteria turn it into nitrite.")),
    (
        "nitrite",
        later("Nitrite falls"),
        later("The second bacteria grow slowest; high nitrite is normal until they do."),
    ),
    ("proving", later("Prove it, two days running"), later("A full day’s ammonia gone in 24 hours, both tests low.")),
    ("ready", later("First fish"), later("Feed for them begins at a fifth of the planned feed.")),
)


STANDS = {
    "new": later("Nothing has been added yet."),
    "ammonia": later("The bacteria that take ammonia are growing."),
    "nitrite": later("Nitrite is there and that is normal. The bacteria that remove it grow slowest."),
    "proving": later("Ammonia and nitrite are low. Now it has to be proved with full doses."),
    "ready": later("It was proved two days running. Keep feeding the bacteria until the fish arrive."),
}


def stages(plan: CyclingPlan) -> list[Stage]:
    """Return the stations in order, with the one where it stands; none with fish in the water."""
    if plan.path != "fishless":
        return []  # no dose, no proof: the way is the ration and the tests
    at = max(ORDER.index(plan.stage), 1)
    low, _, high = plan.completion
    out = []
    for key, what, about in _STEPS:
        place = ORDER.index(key)
        state = "done" if place < at else "here" if place == at else ""
        when = tr("You are here") if state == "here" else tr("Behind you") if state == "done" else ""
        if key == "proving" and not state and low is not None:
            when = words.say("{first} to {last}", first=words.day(low), last=words.day(high))
        out.append(Stage(state, when or tr("After that"), tr(what), tr(about)))
    return out


def said(plan: CyclingPlan) -> str:
    """Say where it stands in one sentence."""
    if plan.path != "fishless" and plan.stage != "ready":
        return tr("The fish make the ammonia that the bacteria grow on. Nothing is dosed with fish in the water.")
    return tr(STANDS[plan.stage])
