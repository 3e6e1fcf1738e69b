"""Water in and out: evaporation, top-up, draining, doses; every move is booked."""

import numpy as np

from rillbed.engine import stoichiometry as st
from rillbed.engine.books import Books, inert_eq
from rillbed.engine.inputs import Water
from rillbed.engine.result import Array
from rillbed.engine.state import DISSOLVED, HELD, IONS, MINERALS, S, added

STAYS = (S.SOLIDS, S.CAP_A, S.CAP_N)  # on surfaces, whatever leaves


def change_volume(y: Array, volume: Array, new: Array) -> None:
    """Concentrate or dilute everything held when pure water leaves or comes."""
    share = volume / new
    for rows in HELD:
        y[rows] *= share


def evaporate(y: Array, volume: Array, amount: Array, books: Books) -> Array:
    """Pure water leaves; gives the new volume."""
    new = volume - amount
    change_volume(y, volume, new)
    books.add("water", -amount)
    return new


def pour(y: Array, volume: Array, amount: Array, water: Water, books: Books) -> Array:
    """Source water comes in; gives the new volume."""
    src = water.column
    new = volume + amount
    change_volume(y, volume, new)
    for rows in HELD:
        y[rows] += src[rows] * amount / new
    books.add("water", amount)
    books.add("n", (water.tan + water.no3) * amount)
    books.add_ions(src[IONS] * amount)
    books.add("charge", inert_eq(src) * amount)
    return new


def drain(y: Array, volume: Array, amount: Array, books: Books) -> tuple[Array, Array]:
    """Loop water leaves with what is dissolved; gives the new volume and the nitrogen that left (g)."""
    new = volume - amount
    n_out = added(y[row] for row in DISSOLVED if row <= S.GUT2) * amount
    books.add("water", -amount)
    books.add("n", -n_out)
    books.add("charge", -inert_eq(y) * amount)
    books.add_ions(-y[IONS] * amount)
    y[list(STAYS)] *= volume / new
    return new, n_out


def dose(y: Array, volume: Array, grams: dict[str, Array | float], books: Books) -> Array:
    """Add grams by state name (alk in eq); gives nitrogen added (g). Charge not named is an inert partner's."""
    n = np.zeros_like(volume)
    charge: Array | float = 0.0
    for name, amount in grams.items():
        row = S[name.upper()]
        y[row] += amount / volume
        if name == "alk":
            charge = charge + amount
        elif name in MINERALS:
            books.add(name, amount)
            charge = charge - amount * st.EQ_PER_G[name]
        else:
            n = n + amount
            charge = charge - amount * {"tan": st.EQ_PER_G["n_nh4"], "organic": 0.0}.get(name, st.EQ_PER_G["n_no3"])
    books.add("n", n)
    books.add("charge", charge)
    return n
