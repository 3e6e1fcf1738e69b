"""The books, element by element, each with the figures it stands on."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed import words
from rillbed.plan.elements.ledger import FOLLOWED, Account, Ledger
from rillbed.web.today.why import Why, inputs_of
from rillbed.words import books as said
from rillbed.words import elements as names

# What the members draw on beside the content of feed.
NITROGEN = ("feed.n_of_protein", "feed.fish_n", "priors/n_crit_pct", "priors/n_lux_pct", "priors/k_denit")
DRAWN: dict[str, tuple[str, ...]] = {
    name: (f"priors/{name}_crit_pct", f"priors/{name}_lux_pct") for name in ("p", "k", "ca", "mg")
}
DRAWN |= {
    "n": NITROGEN,
    "s": ("plant.s_pct",),
    "fe": ("plant.fe_crit_pct", "plant.fe_lux_pct", "priors/fe_loss"),
}


@dataclass(frozen=True)
class Book:
    """Account of one element."""

    name: str
    held: str
    rows: tuple[tuple[str, str, str], ...]
    notes: tuple[str, ...]
    why: Why


def books(found: Ledger) -> tuple[Book, ...]:
    """Lay out every account."""
    return tuple(_book(item) for item in found.accounts)


def _book(item: Account) -> Book:
    name = names.element(item.element)
    notes = (said.rest(item), said.printed(item))
    return Book(
        words.capital(name),
        said.held(item),
        tuple(said.line(line) for line in item.lines),
        tuple(note for note in notes if note),
        Why(said.how(item), inputs_of(_keys(item.element))),
    )


def _keys(element: str) -> tuple[str, ...]:
    content = () if element == "n" else (f"element_fractions/{element}",)
    leaf = () if element in FOLLOWED else (f"trace_elements/{element}",)
    return (*content, *leaf, *DRAWN.get(element, ()))
