"""What the readings say so far: one line per quantity, in the order of safety."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed import words
from rillbed.draw.table import span
from rillbed.garden.quantities import QUANTITIES
from rillbed.garden.state import LoopState
from rillbed.plan.answers import Today
from rillbed.words.happened import shown

# Quantity -> column of the glance, and the warning that is about it; oxygen, poisons, pH, plants.
ORDER: dict[str, tuple[str, str]] = {
    "oxygen": ("o2_min_mg_l", "warn.oxygen"),
    "tan": ("tan_mg_l", "warn.tan"),
    "no2": ("no2_mg_l", "warn.nitrite"),
    "ph": ("ph", "warn.ph_low"),
    "alkalinity": ("alkalinity_meq_l", ""),
    "no3": ("no3_mg_l", ""),
    "k": ("k_mg_l", ""),
    "ca": ("ca_mg_l", ""),
    "fe": ("fe_mg_l", ""),
}
SEEN_ALWAYS = 6  # what a kit can tell about safety is named even when it was never read


@dataclass(frozen=True)
class Finding:
    """One quantity: what it read when, what is expected tonight, and the warning that stands about it."""

    name: str
    read: str
    expected: str
    warning: str


def findings(state: LoopState, told: Today | None) -> list[Finding]:
    """Return the lines; what is expected stands folded away, so that it sways no eye."""
    warnings = {item.code: words.sentence(item) for item in told.advice} if told is not None else {}
    out = []
    for place, (quantity, (column, code)) in enumerate(ORDER.items()):
        last = state.last_reading(quantity)
        if last is None and place >= SEEN_ALWAYS:
            continue
        name = QUANTITIES[quantity].name
        said = warnings.get(code)
        out.append(
            Finding(
                name=name if name == "pH" else name.capitalize(),
                read="not measured yet"
                if last is None
                else f"{shown(last.reading)}, {words.day(state.system.day_of(last.at))}",
                expected=_expected(told, quantity, column),
                warning=f"{said.title}. {' '.join(said.reasons)}" if said else "",
            )
        )
    return out


def _expected(told: Today | None, quantity: str, column: str) -> str:
    band = told.glance.get(column) if told is not None else None
    if band is None:
        return ""
    when = "at dawn" if quantity == "oxygen" else "tonight"
    unit = QUANTITIES[quantity].unit
    return f"{span(band.low, band.high, 1 if quantity == 'ph' else 2)} {unit}".strip() + f" {when}"
