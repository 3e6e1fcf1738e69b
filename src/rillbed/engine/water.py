"""Water in and out: evaporation, top-up, draining, doses; every move is booked."""

import numpy as np

from rillbed.engine import stoichiometry as st
from rillbed.engine.books import Books, inert_eq
from rillbed.engine.inputs import Water
from rillbed.engine.result import Array
from rillbed.engine.state import DISSOLVED, MINERALS, S

HELD = [r for r in S if r not in (S.CO2, S.O2)]  # scale with volume; gases are left where they are


def source_column(water: Water) -> Array:
    """State column of source water (states, 1), or one per member: only what it carries."""
    y = np.zeros((len(S), np.size(water.alk)))
    y[S.TAN], y[S.NO3], y[S.ALK] = water.tan, water.no3, water.alk
    for name, row in MINERALS.items():
        y[row] = water.ions.get(name, 0.0)
    return y


def change_volume(y: Array, volume: Array, new: Array) -> None:
    """Concentrate or dilute everything held when pure water leaves or comes."""
    y[HELD] *= volume / new


def evaporate(y: Array, volume: Array, amount: Array, books: Books) -> Array:
    """Pure water leaves; gives the new volume."""
    new = volume - amount
    change_volume(y, volume, new)
    books.add("water", -amount)
    return new


def pour(y: Array, volume: Array, amount: Array, water: Water, books: Books) -> Array:
    """Source water comes in; gives the new volume."""
    src = source_column(water)
    new = volume + amount
    change_volume(y, volume, new)
    y[HELD] += src[HELD] * amount / new
    books.add("water", amount)
    books.add("n", (water.tan + water.no3) * amount)
    for name, row in MINERALS.items():
        books.add(name, src[row] * amount)
    books.add("charge", inert_eq(src) * amount)
    return new


def drain(y: Array, volume: Array, amount: Array, books: Books) -> tuple[Array, Array]:
    """Loop water leaves with what is dissolved; gives the new volume and the nitrogen that left (g)."""
    before = {r: y[r].copy() for r in DISSOLVED}
    new = volume - amount
    n_out = sum(before[r] for r in DISSOLVED if r <= S.GUT2) * amount
    books.add("water", -amount)
    books.add("n", -n_out)
    books.add("charge", -inert_eq(y) * amount)
    for name, row in MINERALS.items():
        books.add(name, -before[row] * amount)
    stays = [r for r in HELD if r not in DISSOLVED]
    y[stays] *= volume / new
    return new, np.asarray(n_out)


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
