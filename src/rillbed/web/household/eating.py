"""The form of what is eaten: wishes a week, dislikes, seedlings."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rillbed import facts
from rillbed.garden.errors import GardenError
from rillbed.garden.household import Household, wishable
from rillbed.garden.system import System
from rillbed.tongue import tr
from rillbed.web.log.form import sentence
from rillbed.web.setup.measures import number, plain, whole
from rillbed.words import beds as said
from rillbed.words.numbers import capital

SPARE_ROWS = 3
Filled = Mapping[str, str]


def wishes() -> list[tuple[str, str]]:
    """Give everything servings can be wished of: classes and groups first, then crops by name."""
    crops = facts.crops()
    wide = [(key, capital(said.wish(key))) for key in wishable() if key not in crops]
    return [
        ("", tr("choose …")),
        *wide,
        *sorted(((key, tr(row.common_name)) for key, row in crops.items()), key=lambda p: p[1]),
    ]


def filled_from(system: System) -> dict[str, str]:
    """Give the form of a household as it stands."""
    home = system.household
    out = {"seed_tray_places": plain(system.seed_tray_places)}
    if home is None:
        return out
    for n, (wish, servings) in enumerate(home.servings_week.items()):
        out |= {f"wish-{n}": wish, f"servings-{n}": plain(servings)}
    out |= {f"dislike-{crop}": "1" for crop in home.dislikes}
    return out | ({"buys_seedlings": "1"} if home.buys_seedlings else {})


def rows(filled: Filled) -> list[int]:
    """Give the numbers of the rows to show: those filled in, and some to spare."""
    used = [int(name.partition("-")[2]) for name in filled if name.startswith("wish-") and filled[name]]
    last = max(used, default=-1)
    return list(range(last + 1 + SPARE_ROWS))


def read(filled: Filled, system: System) -> tuple[dict[str, Any], dict[str, str]]:
    """Read the form; give data for the set-up, and what is wrong by form name."""
    problems: dict[str, str] = {}
    servings: dict[str, float] = {}
    for n in rows(filled):
        wish, text = filled.get(f"wish-{n}", ""), filled.get(f"servings-{n}", "").strip()
        if not wish and not text:
            continue
        try:
            if wish not in wishable():
                raise GardenError(f"wish-{n}", wish, tr("choose one from the list"))
            value = number(f"servings-{n}", text or tr("nothing"))
            if not 0.0 < value <= 10_000.0:
                raise GardenError(f"servings-{n}", text, tr("must be above 0, at most 10000"))
        except GardenError as error:
            problems[error.field] = sentence(error)
        else:
            servings[wish] = servings.get(wish, 0.0) + value
    places = None
    if filled.get("seed_tray_places", "").strip():
        try:
            places = whole("seed_tray_places", filled["seed_tray_places"])
        except GardenError as error:
            problems["seed_tray_places"] = sentence(error)
    dislikes = [name.removeprefix("dislike-") for name in filled if name.startswith("dislike-")]
    kept = {} if system.household is None else dict(system.household.keeps_weeks)
    home = {
        "servings_week": servings, "dislikes": dislikes, "keeps_weeks": kept,
        "buys_seedlings": bool(filled.get("buys_seedlings")),
    }  # fmt: skip
    data: dict[str, Any] = {"household": home if servings else None, "seed_tray_places": places}
    if servings and not problems:
        try:
            Household.make(home)
        except GardenError as error:
            problems[""] = error.line()
    return data, problems
