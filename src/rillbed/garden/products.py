"""The user's own products, by their label: nutrients in per cent or g/L, as oxide or as element."""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Final, Literal, Self

from pydantic import Field, model_validator

from rillbed import units
from rillbed.garden.base import Frozen
from rillbed.garden.errors import GardenError
from rillbed.tongue import tr

OWN: Final = "own_"
ELEMENTS: Final = ("n", "p", "k", "ca", "mg", "s", "fe", "mn", "b", "zn", "cu", "mo", "na", "cl")
Share = Annotated[float, Field(ge=0)]


class Product(Frozen):
    """One product by its label.

    Attributes
    ----------
    id : str
        ``own_`` and a short name in lower case, as it is written in the log.
    basis : str
        What the figures count: ``pct`` (grams in 100 g) or ``g_l`` (grams in a litre).
    n, p, k, ca, mg, s, fe, mn, b, zn, cu, mo, na, cl : float
        What the label says, of the forms named in ``p_as`` and its like; 0 where it says nothing.
    n_form : str
        What its nitrogen is: nitrate, ammonium (urea counts as such) or organic.
    density_g_ml : float or None
        Of a liquid; needed for ``g_l``.
    organic : bool
        Whether bacteria have to break it down, as with seaweed and fish emulsions: it eats oxygen.
    price_per_kg : float or None
        In the user's money.
    """

    id: Annotated[str, Field(pattern=r"^own_[a-z0-9_]{1,40}$")]
    name: Annotated[str, Field(min_length=1, max_length=80)]
    basis: Literal["pct", "g_l"] = "pct"
    n: Share = 0.0
    p: Share = 0.0
    k: Share = 0.0
    ca: Share = 0.0
    mg: Share = 0.0
    s: Share = 0.0
    fe: Share = 0.0
    mn: Share = 0.0
    b: Share = 0.0
    zn: Share = 0.0
    cu: Share = 0.0
    mo: Share = 0.0
    na: Share = 0.0
    cl: Share = 0.0
    p_as: Literal["P2O5", "P"] = "P2O5"
    k_as: Literal["K2O", "K"] = "K2O"
    ca_as: Literal["Ca", "CaO"] = "Ca"
    mg_as: Literal["Mg", "MgO"] = "Mg"
    s_as: Literal["S", "SO3"] = "S"
    n_form: Literal["nitrate", "ammonium", "organic"] = "organic"
    density_g_ml: Annotated[float, Field(gt=0.5, lt=2.5)] | None = None
    organic: bool = False
    price_per_kg: Annotated[float, Field(gt=0)] | None = None

    @model_validator(mode="after")
    def _possible(self) -> Self:
        if self.basis == "g_l" and self.density_g_ml is None:
            raise GardenError(
                "density_g_ml", "nothing", tr("a label in g/L needs the density, g/mL; weigh 100 mL of it")
            )
        total = sum(self._pct(name) for name in ELEMENTS)
        if total > 100.0:
            said = " + ".join(f"{name.upper()} {self._pct(name):g}" for name in ELEMENTS if self._pct(name) > 0.0)
            allowed = tr("a label cannot add up to more than 100 % of the mass")
            raise GardenError(self.id, f"{said} = {total:g} %", allowed)
        if not total:
            raise GardenError(self.id, "nothing", tr("at least one nutrient of the label must be given"))
        return self

    def _pct(self, element: str) -> float:
        """Label figure in per cent of the mass, in the form it is printed in."""
        value = float(getattr(self, element))
        if self.basis == "pct":
            return value
        assert self.density_g_ml is not None
        return value / (10.0 * self.density_g_ml)

    @cached_property
    def shares(self) -> dict[str, float]:
        """Part of the mass that is each element; nothing that is nothing."""
        out = {}
        for element in ELEMENTS:
            symbol, pct = element.capitalize(), self._pct(element)
            form = getattr(self, f"{element}_as", symbol)
            if pct > 0.0:
                out[element] = (pct if form == symbol else units.convert_basis(pct, form, symbol)) / 100.0
        return out

    def grams(self, grams: float | None, ml: float | None) -> float:
        """Mass of an amount typed as mass or as volume, g; without a density 1 g/mL counts."""
        return grams if grams is not None else (ml or 0.0) * (self.density_g_ml or 1.0)


def is_own(substance: str) -> bool:
    """Tell whether a name is that of an own product."""
    return substance.startswith(OWN)
