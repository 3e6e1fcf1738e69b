"""Which supply to reach for: one on the shelf that brings what is missing, else a generic one to buy."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rillbed import facts
from rillbed.facts.records import Supplement
from rillbed.garden.state import LoopState
from rillbed.plan.advice import Reason
from rillbed.science.dosing import Form

# Bases that dissolve at once, gentlest first, with what they are in water. Grit and dolomite dissolve by themselves.
BASES: dict[str, Form] = {
    "potassium_bicarbonate": "bicarbonate",
    "calcium_hydroxide": "hydroxide",
    "potassium_carbonate": "carbonate",
    "potassium_hydroxide": "hydroxide",
    "sodium_bicarbonate": "bicarbonate",
}
# Plain bringers of one element, the usual choice first. Bases are kept for alkalinity.
BRINGERS: dict[str, tuple[str, ...]] = {
    "k": ("potassium_sulfate", "seaweed_powder", "potassium_chloride", "potassium_nitrate", "seaweed_liquid"),
    "ca": ("gypsum", "calcium_chloride"),
    "mg": ("magnesium_sulfate",),
    "p": ("monopotassium_phosphate",),
    "fe": ("iron_dtpa", "iron_eddha", "iron_hbed", "iron_edta"),
}
CHLORIDES = ("calcium_chloride", "potassium_chloride", "sodium_chloride")


@dataclass(frozen=True)
class Choice:
    """A supply and whether it stands on the user's shelf."""

    id: str
    row: Supplement
    owned: bool

    def share(self, element: str) -> float:
        """Part of its mass that is this element."""
        return float(getattr(self.row, f"{element}_pct")) / 100.0

    @property
    def reasons(self) -> tuple[Reason, ...]:
        """What to say when it has to be bought first."""
        return () if self.owned else (Reason("supply.buy", {"supply": self.id}),)


def choose(wanted: Iterable[str], shelf: Iterable[str]) -> Choice:
    """First of the wanted supplies on the shelf, else the first wanted.

    Raises
    ------
    ValueError
        If nothing is wanted.
    """
    table, order, own = facts.supplements(), tuple(wanted), set(shelf)
    if not order:
        raise ValueError("wanted: at least one supply must be named")
    name = next((item for item in order if item in own), order[0])
    return Choice(name, table[name], name in own)


def base_for(state: LoopState) -> Choice:
    """Choose the base to raise alkalinity with.

    Potassium and calcium bases take turns where the shelf has both, as the raft growers do, so that neither piles up.
    """
    own = state.system.shelf
    last = next((item.dose.substance for item in reversed(state.doses) if item.dose.substance in BASES), None)
    order = list(BASES)
    if last is not None and facts.supplements()[last].k_pct > 0.0:
        # False sorts first: calcium before potassium, else the usual order.
        order.sort(key=lambda name: facts.supplements()[name].ca_pct <= 0.0)
    # Sodium stays the last resort.
    order.sort(key=lambda name: facts.supplements()[name].na_pct > 0.0)
    return choose((name for name in order if name in own) if set(own) & set(order) else BASES, own)


def bringer_of(element: str, shelf: Iterable[str], ph: float) -> Choice:
    """Supply that brings an element at this pH: a chelate must keep its iron there."""
    table = facts.supplements()
    fitting = [name for name in BRINGERS[element] if _stable(table[name], ph)] or [BRINGERS[element][-1]]
    return choose(fitting, shelf)


def _stable(row: Supplement, ph: float) -> bool:
    return row.stable_to_ph is None or ph <= row.stable_to_ph
