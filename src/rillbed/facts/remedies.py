"""What may be put on leaves over fish, and what leaves say: two tables with their records."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from rillbed.facts.load import Row, read_rows

Verdict = Literal["allowed", "barrier", "never"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spray(Row):
    """One thing against pests.

    Attributes
    ----------
    verdict : str
        allowed, barrier (off the water or over a sheet, and nothing may drip in) or never.
    group : str
        Kind of thing it is; names the sentence that says why.
    against : tuple of str
        Pests it helps against; empty for what is never used.
    names : tuple of str
        What people call it, in lower case.
    """

    name: str
    verdict: Verdict
    group: str
    names: tuple[str, ...]
    against: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Symptom(Row):
    """One cause of what leaves show.

    Attributes
    ----------
    kind : str
        shortage, lockout, surplus, weather, roots, pest, disease, spray or life (what needs nothing).
    element : str
        What is short, locked or too much; empty for other causes.
    prior : float
        How often, among all calls for help about leaves.
    signs : mapping
        ``sign.answer`` to how many times as often it is seen here as with any cause; 1 where absent.
    water : mapping
        Water or ledger evidence, by code, to the same.
    check : tuple of str
        What to look at before anything is done, codes.
    remedy : tuple of str
        What to do, codes; ``dose`` hands over to the planner of supplements.
    crops : tuple of str
        Crop groups or ids it is known for.
    """

    name: str
    kind: Literal["shortage", "lockout", "surplus", "weather", "roots", "pest", "disease", "spray", "life"]
    prior: float
    signs: dict[str, float]
    water: dict[str, float]
    check: tuple[str, ...]
    remedy: tuple[str, ...]
    element: str = ""
    crops: tuple[str, ...] = ()


@cache
def sprays() -> dict[str, Spray]:
    """Return what is put on leaves, by id."""
    return read_rows("sprays.toml", Spray)


@cache
def symptoms() -> dict[str, Symptom]:
    """Return the causes of what leaves show, by id."""
    return read_rows("symptoms.toml", Symptom)
