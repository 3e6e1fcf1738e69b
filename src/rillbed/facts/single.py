"""Single figures the model stands on where no table has them: habits, stand-ins for the unknown, and model choices."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from rillbed.facts.load import Row, read_rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice(Row):
    """One figure with its unit ("1" for a share or factor); `low` and `high` where a range is known."""

    value: float
    unit: str
    low: float | None = None
    high: float | None = None

    @property
    def key(self) -> str:
        """Its dotted name."""
        return self.id


@dataclass(frozen=True, slots=True, kw_only=True)
class GrowthClass(Row):
    """How a class of crops grows where the crop's own course leaves it open.

    Attributes
    ----------
    canopy_g_m2_day : float
        Dry growth of a closed canopy in full light.
    seedling_g : float
        Dry mass of one plant when it is set out; sown crops start at `seed_g`.
    cut_share : float
        Share of the plant a picking takes when it goes on growing.
    """

    canopy_g_m2_day: float
    seedling_g: float
    seed_g: float
    cut_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DilutionCurve(Row):
    """Least nitrogen for full growth: `a_pct` of dry mass up to 1 t/ha, then falling with mass to the power -`b`."""

    a_pct: float
    b: float
    crops: tuple[str, ...]


@cache
def choices() -> dict[str, Choice]:
    """Return every single figure by its dotted name."""
    return read_rows("choices.toml", Choice)


def choice(key: str) -> float:
    """Return the value of one figure; an unknown name raises KeyError."""
    try:
        return choices()[key].value
    except KeyError:
        raise KeyError(f"choices.toml has no {key!r}") from None


@cache
def growth_classes() -> dict[str, GrowthClass]:
    """Return how each class of crops grows, by `crop_class` or, first, by `crop_group` of the crop table."""
    return read_rows("growth_classes.toml", GrowthClass)


@cache
def dilution_curves() -> dict[str, DilutionCurve]:
    """Return the nitrogen dilution curves by name."""
    return read_rows("dilution_curves.toml", DilutionCurve)
