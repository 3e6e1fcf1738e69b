"""The water to be dosed: what is known of it, as ranges, and the plausible waters those ranges allow."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

import numpy as np
from numpy.typing import NDArray

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.look import latest, until
from rillbed.science import titration
from rillbed.science.dosing import LEAST_ALKALINITY_EQ_M3

Floats = NDArray[np.float64]
Span = tuple[float | None, float | None]

READ = (
    "ph", "alkalinity", "tan", "no2", "no3", "cl", "na", "k", "ca", "mg", "p", "s", "fe", "chlorine", "chloramine",
    "ec", "temperature",
)  # fmt: skip
# Columns of the forecast behind a quantity.
COLUMN = {
    "ph": "ph", "alkalinity": "alkalinity_meq_l", "tan": "tan_mg_l", "no2": "no2_mg_l", "no3": "no3_mg_l",
    "cl": "cl_mg_l", "na": "na_mg_l", "k": "k_mg_l", "ca": "ca_mg_l", "mg": "mg_mg_l", "p": "p_mg_l", "s": "s_mg_l",
    "fe": "fe_mg_l", "temperature": "temp_c",
}  # fmt: skip
USUAL_TEMP_C = 20.0
# Stand-in where neither conductivity nor salts are known; it moves a pH by a few hundredths.
USUAL_STRENGTH_MOL_L = 0.005
# Half an atmosphere of CO2 is soda water: no tank has it.
MOST_PCO2_ATM = 0.5


@dataclass(frozen=True)
class Water:
    """Water of one loop or vessel as it stands.

    Attributes
    ----------
    volume_l : float
        Water to be dosed, L.
    spans : mapping
        Quantity to (low, high), canonical units, nitrogen as N; ``None`` is an open end. See `READ`.
    species : tuple of str
        Kinds of fish in it.
    fish, planted : bool
        Whether fish live in it and plants share it; where nobody knows they do.
    on : date or None
        Day it was looked at; with it a forecast fills in what was not read.
    """

    volume_l: float
    spans: Mapping[str, Span] = field(default_factory=dict)
    species: tuple[str, ...] = ()
    fish: bool = True
    planted: bool = True
    on: date | None = None

    def __post_init__(self) -> None:
        if not 0.0 < self.volume_l <= 1e9:
            raise ValueError(f"volume_l = {self.volume_l:g}: must be above 0")
        for name, (low, high) in self.spans.items():
            if name not in READ:
                raise ValueError(f"spans: {name!r} is not a quantity; allowed: {', '.join(READ)}")
            if low is not None and high is not None and low > high:
                raise ValueError(f"{name}: low {low:g} is above high {high:g}")
        for kind in self.species:
            if kind not in facts.species():
                raise ValueError(f"species = {kind!r}: must be one of {', '.join(sorted(facts.species()))}")

    @classmethod
    def of(cls, system: System, entries: Sequence[LogEntry], on: date, *, within_days: int | None = None) -> Water:
        """Read a log up to a day; readings older than ``within_days`` (14, from the tables) no longer count."""
        days = int(facts.value("plan.buffer_stale_days")) if within_days is None else within_days
        log = until(system, entries, on)
        state = state_at(system, entries, on)
        spans: dict[str, Span] = {}
        for quantity in READ:
            seen = latest(system, log, quantity)
            if seen is not None and (on - seen.on).days <= days:
                spans[quantity] = (seen.low, seen.high)
        kinds = tuple(sorted({group.species for group in state.groups.values() if group.count > 0}))
        planted = any(item.standing for item in state.plantings.values())
        return cls(1000.0 * system.total_volume_m3, spans, kinds, bool(kinds), planted, on)

    @property
    def volume_m3(self) -> float:
        """Water to be dosed, m3."""
        return self.volume_l / 1000.0

    def low(self, quantity: str, unknown: float = 0.0) -> float:
        """Lowest value the readings allow."""
        value = self.spans.get(quantity, (None, None))[0]
        return unknown if value is None else value

    def high(self, quantity: str) -> float | None:
        """Highest value the readings allow; ``None`` above the kit's last step or where it was not read."""
        return self.spans.get(quantity, (None, None))[1]

    def knows(self, quantity: str) -> bool:
        """Whether the quantity was read."""
        return quantity in self.spans


@dataclass(frozen=True)
class Samples:
    """Plausible waters behind one `Water`, one per member, each array (members,)."""

    weights: Floats
    temp_c: Floats
    ph: Floats
    alkalinity_meq_l: Floats
    tan_mg_l: Floats
    p_mg_l: Floats
    ca_mg_l: Floats
    strength_mol_l: Floats
    ca_known: bool
    used_meq_l_day: Floats | None = None


class Contradiction(ValueError):
    """No water fits all that was read."""


def samples(water: Water, forecast: Forecast | None = None) -> Samples:
    """Waters the readings allow: the members moved into every reading, or without a forecast its ends and middles.

    Raises
    ------
    KeyError
        Naming ``ph`` or ``alkalinity`` where neither a reading nor a forecast has it.
    Contradiction
        If no pH that was read fits any alkalinity that was read.
    """
    if forecast is not None and water.on is not None:
        weights, values = _members(water, forecast)
    else:
        weights, values = _corners(water)
    alk = np.maximum(values["alkalinity"], LEAST_ALKALINITY_EQ_M3)
    strength = _strength(water)
    # What pH and alkalinity were read together must leave some bicarbonate.
    state = titration.Water.at(values["temperature"], strength)
    other = titration.other_alkalinity(state, values["ph"], values["tan"], values["p"]).total_meq_l
    share = state.carbonate_share(10.0 ** -values["ph"])
    pco2_atm = (alk - other) / (1.0 + 2.0 * share[1]) * share[0] / (1e3 * state.henry)
    fits = (alk > other * (1.0 + 1e-9) + 1e-6) & (pco2_atm < MOST_PCO2_ATM)
    if not fits.any():
        raise Contradiction("ph and alkalinity: no water has both")
    used = None if forecast is None or water.on is None else _used(forecast, water.on)[fits]
    return Samples(
        weights=weights[fits] / weights[fits].sum(),
        temp_c=values["temperature"][fits],
        ph=values["ph"][fits],
        alkalinity_meq_l=alk[fits],
        tan_mg_l=values["tan"][fits],
        p_mg_l=values["p"][fits],
        ca_mg_l=values["ca"][fits],
        strength_mol_l=np.full(int(fits.sum()), strength),
        ca_known=water.knows("ca"),
        used_meq_l_day=used,
    )


def _members(water: Water, forecast: Forecast) -> tuple[Floats, dict[str, Floats]]:
    assert water.on is not None
    row = max(0, forecast.index(water.on) - 1)
    values = {}
    for name in ("ph", "alkalinity", "tan", "p", "ca", "temperature"):
        column = forecast.columns[COLUMN[name]][row].astype(float)
        low, high = water.spans.get(name, (None, None))
        values[name] = np.clip(column, low, high) if (low, high) != (None, None) else column
    return forecast.weights, values


def _corners(water: Water) -> tuple[Floats, dict[str, Floats]]:
    """Every combination of low, middle and high pH and alkalinity; the rest at what harms first."""
    ph, alk = (_points(water, name) for name in ("ph", "alkalinity"))
    grid = np.array([(a, b) for a in ph for b in alk], dtype=float)
    ones = np.ones(len(grid))
    temp = _points(water, "temperature") if water.knows("temperature") else (USUAL_TEMP_C,)
    ca = water.high("ca") if water.knows("ca") else None
    values = {
        "ph": grid[:, 0],
        "alkalinity": grid[:, 1],
        "tan": ones * water.low("tan"),
        "p": ones * water.low("p"),
        "ca": ones * (facts.choice("source_water.ca_mg_l") if ca is None else ca),
        "temperature": ones * (sum(temp) / len(temp)),
    }
    return ones / len(grid), values


def _points(water: Water, name: str) -> tuple[float, ...]:
    if not water.knows(name):
        raise KeyError(name)
    low, high = water.spans[name]
    if low is None and high is None:
        raise KeyError(name)
    if low is None or high is None:
        # An open end says nothing beyond the step itself; alkalinity may be as good as gone below it.
        known = high if low is None else low
        assert known is not None
        return (LEAST_ALKALINITY_EQ_M3, known) if name == "alkalinity" and low is None else (known,)
    return (low, high) if low == high else (low, 0.5 * (low + high), high)


def _strength(water: Water) -> float:
    ec = water.high("ec")
    return USUAL_STRENGTH_MOL_L if ec is None else facts.value("dosing.strength_per_ec") * ec


def _used(forecast: Forecast, on: date, days: int = 14) -> Floats:
    """Alkalinity the members use a day from here on, meq/L/d: nitrification less what plants give back.

    The members give themselves base; so the acid is counted from the nitrogen, not from their alkalinity.
    """
    rows = slice(forecast.index(on), min(forecast.index(on) + days, forecast.days) + 1)
    nitrified = forecast.columns["n_nitrified"][rows].astype(float)
    freed = (forecast.columns["n_excreted"][rows] + forecast.columns["n_mineralised"][rows]).astype(float)
    eaten = forecast.columns["n_plants"][rows].astype(float)
    volume = np.maximum(forecast.columns["volume_m3"][rows].astype(float), 1e-6)
    per_g = 1.0 / titration.N_G_MOL  # eq of one mole per g N
    back = facts.value("dosing.plant_alkalinity_share")
    return np.asarray(((2.0 * nitrified - freed - back * eaten) * per_g / volume).mean(axis=0))
