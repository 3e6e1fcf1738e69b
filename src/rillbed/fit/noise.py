"""How a kit errs: the scale on which its colours are told apart, the spread on it, and how often a reading slips."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rillbed import facts
from rillbed.engine.result import Array
from rillbed.facts.loops import KitKind
from rillbed.garden.kits import Kit
from rillbed.garden.quantities import canonical
from rillbed.garden.readings import Reading
from rillbed.garden.system import System

SHARED = facts.value("fit.reading_shared")
METER_BINS = 20  # ways a meter can slip
LEAST_BINS = 2


@dataclass(frozen=True)
class Noise:
    """Reading error of one kit for one quantity.

    Attributes
    ----------
    sd : float
        Spread on the kit's scale: of ln(c + least), or of c itself where `additive`.
    least : float
        Concentration under which colours no longer tell ratios, canonical unit.
    slip : float
        Share of readings that have nothing to do with the water.
    bins : int
        Answers the kit can give.
    """

    sd: float
    least: float
    additive: bool
    slip: float
    bins: int

    def scale(self, value: Array | float) -> Array:
        """Put a concentration on the scale on which errors are alike."""
        if self.additive:
            return np.asarray(value, np.float64)
        return np.log(np.maximum(value, 0.0) + self.least)

    def ends(self, low: float | None, high: float | None) -> tuple[float, float]:
        """Put an interval on the scale; an open end is infinite, and so is a lower end at nothing."""
        bottom = -np.inf if low is None or (low <= 0.0 and not self.additive) else float(self.scale(low))
        top = np.inf if high is None else float(self.scale(high))
        if top - bottom < self.sd / 2.0:  # a number from a meter stands for its own neighbourhood
            middle = (top + bottom) / 2.0
            bottom, top = middle - self.sd / 4.0, middle + self.sd / 4.0
        return bottom, top


def noise_of(system: System, reading: Reading) -> Noise:
    """Give the error of the kit a reading came from; one that is not in the set-up is taken as drops."""
    own = next((k for k in system.kits if k.name == reading.kit and k.quantity == reading.quantity), None)
    kind = kind_of(own, reading)
    row = row_of(reading.quantity, kind)
    steps = own.steps if own else row.steps
    unit, basis = (own.unit, own.basis or reading.basis) if own else (row.unit, row.basis)

    def inner(value: float) -> float:
        return canonical(reading.quantity, value, unit, basis)

    above = next((s for s in steps if s > 0.0), None)
    least = 0.5 * inner(above) if above is not None else 0.0
    if row.noise_abs is not None:
        sd, additive = abs(inner(row.noise_abs) - inner(0.0)), True
    else:
        sd, additive = row.noise_ln_sd or facts.kits()["tan_drops"].noise_ln_sd or 0.0, False
    bins = max(len(steps), LEAST_BINS) if kind != "meter" else METER_BINS
    return Noise(sd, least or 1e-3, additive, row.blunder_share or facts.kits()["tan_drops"].blunder_share or 0.0, bins)


def kind_of(own: Kit | None, reading: Reading) -> str:
    """Give what was read with: the kit's kind, or for an unknown one a meter where a single number was typed."""
    if own is not None:
        return own.kind
    return "meter" if reading.low == reading.high and reading.low is not None else "drops"


def row_of(quantity: str, kind: str) -> KitKind:
    """Give the row of the kit table for a quantity: of that kind, else of any, else ammonia drops' error."""
    rows = [row for row in facts.kits().values() if row.quantity == quantity]
    fitting = [row for row in rows if row.kind == kind]
    if fitting:
        return fitting[0]
    # a strip or a meter of something the table only has drops for errs as the same kind errs elsewhere
    stand_in = {"strip": "no2_strip", "meter": "ec_meter", "drops": "tan_drops"}[kind]
    return rows[0] if rows and kind == "drops" else facts.kits()[stand_in]


def bias_of(quantity: str, kind: str) -> tuple[float, float]:
    """Give median and spread of a kit's bias: a ln factor, or a shift for pH and what is counted in drops."""
    priors = facts.priors()
    if quantity == "ph":
        return 0.0, facts.value("fit.ph_bias")
    if quantity == "ec":
        return 0.0, facts.value("fit.ec_bias")
    row = priors["kit_bias_no3_strip"] if (quantity, kind) == ("no3", "strip") else priors["kit_bias"]
    return float(np.log(row.median)), row.ln_sd
