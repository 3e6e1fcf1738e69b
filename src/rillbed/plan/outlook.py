"""The year ahead at regular dates: ranges of the columns a grower reads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from rillbed.engine import Forecast
from rillbed.plan.advice import Reason
from rillbed.plan.answers import Band
from rillbed.plan.learned import Learned, basis_note
from rillbed.plan.members import band

# Column of the forecast -> short heading and unit.
COLUMNS = {
    "tan_mg_l": ("ammonia-N mg/L", "mg/L"),
    "no2_mg_l": ("nitrite-N mg/L", "mg/L"),
    "no3_mg_l": ("nitrate-N mg/L", "mg/L"),
    "ph": ("pH", ""),
    "temp_c": ("water °C", "°C"),
    "fish_weight_g": ("one fish g", "g"),
    "feed_g_day": ("feed g/d", "g/day"),
    "plant_area_m2": ("planted m²", "m2"),
}


@dataclass(frozen=True)
class Row:
    """One date and the range of every column at its end."""

    on: date
    bands: Mapping[str, Band]


@dataclass(frozen=True)
class Outlook:
    """Rows from the day asked to the horizon."""

    on: date
    members: int
    rows: tuple[Row, ...]
    notes: tuple[Reason, ...]
    stop: str
    digest: str
    basis: str = "prior"


def outlook(forecast: Forecast, on: date, every: timedelta, known: Learned | None = None) -> Outlook:
    """Ranges at ``on`` and every ``every`` after it, to the last forecast day.

    Raises
    ------
    ValueError
        If ``on`` lies outside the forecast or ``every`` is not positive.
    """
    if every.days < 1:
        raise ValueError(f"every = {every.days} d: at least 1 day")
    rows = []
    for at in range(forecast.index(on), forecast.days + 1, every.days):
        bands = {name: band(forecast.columns[name][at], forecast.weights) for name in COLUMNS}
        rows.append(Row(forecast.start + timedelta(days=at), bands))
    basis = known.basis if known else "prior"
    return Outlook(on, forecast.members, tuple(rows), (basis_note(known),), forecast.stop, forecast.digest, basis)
