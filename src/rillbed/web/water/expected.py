"""What the forecast expects of each quantity, in the order of safety; folded away, so that it sways no eye."""

from __future__ import annotations

from rillbed.draw.table import span
from rillbed.garden.quantities import QUANTITIES
from rillbed.plan.answers import Today
from rillbed.plan.bands import Band
from rillbed.tongue import tr
from rillbed.words import between, capital

# Quantity -> column of the glance; oxygen, poisons, pH, plants.
ORDER = {
    "oxygen": "o2_min_mg_l", "tan": "tan_mg_l", "no2": "no2_mg_l", "ph": "ph", "alkalinity": "alkalinity_meq_l",
    "no3": "no3_mg_l", "k": "k_mg_l", "ca": "ca_mg_l", "fe": "fe_mg_l",
}  # fmt: skip


def reach(quantity: str, band: Band) -> str:
    """Give an expected range with as many figures as a kit can show; pH to a tenth."""
    return span(band.low, band.high, 1) if quantity == "ph" else between(band.low, band.high)


def expected(told: Today | None) -> list[tuple[str, str]]:
    """Give name and expected range of every quantity the forecast knows."""
    out = []
    for quantity, column in ORDER.items():
        band = told.glance.get(column) if told is not None else None
        if band is None:
            continue
        row = QUANTITIES[quantity]
        text = f"{reach(quantity, band)} {tr(row.unit)}".strip()
        when = tr("{figure} at dawn") if quantity == "oxygen" else tr("{figure} tonight")
        out.append((capital(tr(row.name)), when.format(figure=text)))
    return out
