"""The daily ledger: what went in and out of the water, against what is in it."""

import numpy as np

from rillbed.engine import stoichiometry as st
from rillbed.engine.result import Array
from rillbed.engine.state import IONS, MINERALS, NITROGEN, S, added

MARKS = (-31, -1, 29)  # days from the day of the forecast: a month back, the evening before, a month on
BALANCES = ("n", *MINERALS, "charge", "water")
ROW = {name: i for i, name in enumerate(BALANCES)}
ELEMENTS = ("n", *MINERALS)  # booked by cause too
IONS_AT = ROW["k"]  # the balances of the minerals stand side by side, as their rows of the state do
ION_EQ: Array = np.array([[st.EQ_PER_G[name]] for name in MINERALS])


def inert_eq(y: Array) -> Array:
    """Charge of the ions the model does not follow (eq/m3): alkalinity less that of the followed ions.

    No process can make or destroy it, so it is the check of every alkalinity the steps book.
    """
    total = y[S.ALK] - y[S.TAN] * st.EQ_PER_G["n_nh4"] - (y[S.NO2] + y[S.NO3]) * st.EQ_PER_G["n_no3"]
    return np.asarray(total - added(y[IONS] * ION_EQ))


def contents(y: Array, volume: Array) -> Array:
    """Measure what the water holds, a row for each of `BALANCES`: g of elements, eq of inert charge, m3 of water."""
    held = np.empty((len(BALANCES), len(volume)))
    held[ROW["n"]] = added(y[row] for row in NITROGEN)
    held[IONS_AT : IONS_AT + len(MINERALS)] = y[IONS]
    held[ROW["charge"]] = inert_eq(y)
    held[ROW["water"]] = 1.0
    held *= volume
    return held


class Books:
    """Running sums of input and net change, and the worst imbalance so far, a row for each of `BALANCES`."""

    def __init__(self, first: Array) -> None:
        self._first = first
        self._net, self._turned, self._worst, self._last_gap = np.zeros((4, *first.shape))
        self._by_cause: dict[tuple[str, bool], tuple[Array, set[int]]] = {}
        self.cause = ""  # what moves the water now

    @property
    def first(self) -> dict[str, Array]:
        """What the water held to begin with."""
        return dict(zip(BALANCES, self._first, strict=True))

    @property
    def worst(self) -> dict[str, Array]:
        """Largest imbalance so far, a share of what went in and out."""
        return dict(zip(BALANCES, self._worst, strict=True))

    @property
    def by_cause(self) -> dict[str, Array]:
        """Grams in and out so far, by ``element.cause.in`` or ``.out``."""
        return {
            f"{BALANCES[row]}.{cause}.{'in' if inward else 'out'}": sums[row]
            for (cause, inward), (sums, rows) in self._by_cause.items()
            for row in sorted(rows)
        }

    def add(self, what: str, amount: Array | float) -> None:
        """Book an amount into (positive) or out of (negative) the water."""
        row = ROW[what]
        self._net[row] += amount
        self._turned[row] += np.abs(amount)
        if row < len(ELEMENTS):
            sums, rows = self._sums(bool(np.add.reduce(amount, axis=None) >= 0.0))
            sums[row] += amount
            rows.add(row)

    def add_ions(self, amounts: Array, ions: slice = IONS) -> None:
        """Book amounts of some minerals, (minerals, members), given by their rows of the state."""
        start, stop = (int(at) - int(S.K) + IONS_AT for at in (ions.start, ions.stop))
        self._net[start:stop] += amounts
        self._turned[start:stop] += np.abs(amounts)
        comes = np.add.reduce(amounts, axis=1) >= 0.0
        count = int(np.count_nonzero(comes))
        if count in (0, len(amounts)):  # as nearly always: all come, or all go
            sums, rows = self._sums(count > 0)
            sums[start:stop] += amounts
            rows.update(range(start, stop))
            return
        for inward in (True, False):
            which = np.flatnonzero(comes == inward)
            sums, rows = self._sums(inward)
            sums[which + start] += amounts[which]
            rows.update((which + start).tolist())

    def _sums(self, inward: bool) -> tuple[Array, set[int]]:
        key = self.cause, inward
        found = self._by_cause.get(key)
        if found is None:
            found = self._by_cause[key] = np.zeros((len(ELEMENTS), self._first.shape[1])), set()
        return found

    def close(self, y: Array, volume: Array) -> Array:
        """Compare with what is there; gives today's unexplained nitrogen (g)."""
        gap = contents(y, volume) - self._first - self._net
        share = np.abs(gap) / (np.abs(self._first) + self._turned + 1e-9)
        np.maximum(self._worst, share, out=self._worst)
        unexplained: Array = gap[ROW["n"]] - self._last_gap[ROW["n"]]
        self._last_gap = gap
        return unexplained
