"""What an addition may do at most: the caps of one day, the ceilings of the water, and what is never dosed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.products import Product
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.doses.own import METALS
from rillbed.plan.doses.parts import PER_DAY
from rillbed.plan.members import quantile

TRACES = {name: facts.value(f"dosing.{name}") for name in ("mn", "b")} | {
    "mo": facts.trace_elements()["mo"].water_low_mg_l or 0.0
}
DAY_CAPS = {**PER_DAY, **TRACES}
CEILINGS = {name: high for name in ("na", "cl", "s") if (high := facts.water_limits()[f"{name}_plants"].high)} | {
    name: high for name in ("k", "ca", "mg", "p", "fe") if (high := facts.water_limits()[f"{name}_target"].high)
}
# Salts of these never go into a loop: fish bear little, and feed brings enough.
NEVER = {"copper_sulfate": "cu", "zinc_sulfate": "zn", "copper": "cu", "zinc": "zn"}
CAUTIOUS = 0.8


@dataclass(frozen=True)
class Addition:
    """Verdict on putting so much of something in at once.

    Attributes
    ----------
    substance : str
        Supply, own product, or a name that is forbidden.
    grams : float
        As asked.
    rises_mg_l : mapping
        Rise by element, mg/L.
    refused : tuple of Reason
        What forbids it; empty where nothing does.
    most_g : float
        Most that could go in at once; 0 for what never may.
    """

    substance: str
    grams: float
    rises_mg_l: Mapping[str, float]
    refused: tuple[Reason, ...]
    most_g: float


def addition(system: System, forecast: Forecast, on: date, substance: str, grams: float) -> Addition:
    """Judge an addition against the caps of a day and the ceilings, at the cautious end of the members.

    Raises
    ------
    ValueError
        For no amount, or a substance that is neither in the table nor among the user's products.
    """
    if not 0.0 < grams < float("inf"):
        raise ValueError(f"grams = {grams:g}: must be above 0")
    name = substance.strip().lower().replace(" ", "_")
    if name in NEVER:
        return Addition(name, grams, {}, (Reason("add.never", {"element": NEVER[name]}),), 0.0)
    shares = _shares(system, name)
    volume = quantile(forecast.at("volume_m3", on), forecast.weights, 1.0 - CAUTIOUS)
    refused: list[Reason] = []
    most = float("inf")
    for element, share in shares.items():
        rise = grams * share / volume
        for code, room in _rooms(element, forecast, on):
            if rise > room * (1.0 + 1e-9):
                refused.append(Reason(code, {"element": element, "rise": rise, "room": room}))
            most = min(most, room * volume / share)
    rises = {element: grams * share / volume for element, share in shares.items()}
    return Addition(name, grams, rises, tuple(refused), 0.0 if most == float("inf") else most)


def _rooms(element: str, forecast: Forecast, on: date) -> list[tuple[str, float]]:
    found = []
    if element in METALS:
        found.append(("add.metal", METALS[element]))
    if element in DAY_CAPS:
        found.append(("add.day_cap", DAY_CAPS[element]))
    if element in CEILINGS:
        now = quantile(forecast.at(f"{element}_mg_l", on), forecast.weights, CAUTIOUS)
        found.append(("add.ceiling", max(0.0, CEILINGS[element] - now)))
    return found


def _shares(system: System, name: str) -> dict[str, float]:
    own: Product | None = next((item for item in system.products if item.id == name), None)
    if own is not None:
        return dict(own.shares)
    row = facts.supplements().get(name)
    if row is None:
        raise ValueError(f"substance = {name!r}: must be a supplement or one of the products of the loop")
    elements = ("p", "k", "ca", "mg", "s", "na", "cl", "fe", "mn", "b", "mo")
    return {e: share / 100.0 for e in elements if (share := float(getattr(row, f"{e}_pct"))) > 0.0}
