"""The daily ledger: what went in and out of the water, against what is in it."""

from dataclasses import dataclass, field

import numpy as np

from rillbed.engine import stoichiometry as st
from rillbed.engine.result import Array
from rillbed.engine.state import MINERALS, NITROGEN, S

MARKS = (-31, -1, 29)  # days from the day of the forecast: a month back, the evening before, a month on
BALANCES = ("n", *MINERALS, "charge", "water")


def inert_eq(y: Array) -> Array:
    """Charge of the ions the model does not follow (eq/m3): alkalinity less that of the followed ions.

    No process can make or destroy it, so it is the check of every alkalinity the steps book.
    """
    total = y[S.ALK] - y[S.TAN] * st.EQ_PER_G["n_nh4"] - (y[S.NO2] + y[S.NO3]) * st.EQ_PER_G["n_no3"]
    for name, row in MINERALS.items():
        total = total - y[row] * st.EQ_PER_G[name]
    return np.asarray(total)


def contents(y: Array, volume: Array) -> dict[str, Array]:
    """Measure what the water holds: g of each element, eq of inert charge, m3 of water."""
    held = {name: y[row] * volume for name, row in MINERALS.items()}
    held["n"] = y[list(NITROGEN)].sum(axis=0) * volume
    held["charge"] = inert_eq(y) * volume
    held["water"] = np.asarray(volume) + 0.0
    return held


@dataclass
class Books:
    """Running sums of input and net change, and the worst imbalance so far."""

    first: dict[str, Array]
    net: dict[str, Array] = field(default_factory=dict)
    turned: dict[str, Array] = field(default_factory=dict)
    worst: dict[str, Array] = field(default_factory=dict)
    last_gap: dict[str, Array] = field(default_factory=dict)
    cause: str = ""  # what moves the water now
    by_cause: dict[str, Array] = field(default_factory=dict)

    def add(self, what: str, amount: Array | float) -> None:
        """Book an amount into (positive) or out of (negative) the water."""
        zero = np.zeros_like(self.first[what])
        self.net[what] = self.net.get(what, zero) + amount
        self.turned[what] = self.turned.get(what, zero) + np.abs(amount)
        if what in MINERALS or what == "n":
            key = f"{what}.{self.cause}.{'in' if np.sum(amount) >= 0.0 else 'out'}"
            self.by_cause[key] = self.by_cause.get(key, zero) + amount

    def close(self, y: Array, volume: Array) -> Array:
        """Compare with what is there; gives today's unexplained nitrogen (g)."""
        for what, held in contents(y, volume).items():
            gap = held - self.first[what] - self.net.get(what, 0.0)
            scale = np.abs(self.first[what]) + self.turned.get(what, 0.0) + 1e-9
            share = np.abs(gap) / scale
            self.worst[what] = np.maximum(self.worst.get(what, 0.0), share)
            step = gap - self.last_gap.get(what, 0.0)
            self.last_gap[what] = gap
            if what == "n":
                unexplained = step
        return np.asarray(unexplained)
