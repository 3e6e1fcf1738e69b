"""The user's own products among the supplies: rows like those of the table, and the caps that only labels need."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rillbed import facts
from rillbed.facts.records import Supplement
from rillbed.garden.products import Product

# What fish bear of metals, whatever else a product brings, mg/L; and organic matter, which foams and eats oxygen.
METALS = {name: facts.trace_elements()[name].most_rise_mg_l or 0.0 for name in ("cu", "zn")}
ORGANIC = "organic"
ORGANIC_WEEK = facts.value("dosing.organic_week")
# Ammonia a product may bring beside what it is wanted for, mg N for each mg of that.
AMMONIA_SHARE = 0.1


def row(item: Product) -> Supplement:
    """Row of one product; ammonium counts with the organic nitrogen, as both end as ammonia."""

    def pct(element: str) -> float:
        return 100.0 * item.shares.get(element, 0.0)

    nitrate = item.n_form == "nitrate"
    return Supplement(
        id=item.id,
        grade="practice",
        name=item.name,
        kind="seaweed" if item.organic else "salt",
        organic=item.organic,
        n_pct=0.0 if nitrate else pct("n"),
        no3_n_pct=pct("n") if nitrate else 0.0,
        density_g_ml=item.density_g_ml,
        cautions=("seaweed.foam",) if item.organic else (),
        p_pct=pct("p"),
        k_pct=pct("k"),
        ca_pct=pct("ca"),
        mg_pct=pct("mg"),
        s_pct=pct("s"),
        na_pct=pct("na"),
        cl_pct=pct("cl"),
        fe_pct=pct("fe"),
        mn_pct=pct("mn"),
        b_pct=pct("b"),
        mo_pct=pct("mo"),
    )


def table(products: Iterable[Product]) -> dict[str, Supplement]:
    """All supplies: the table's, and the user's own after them."""
    return {**facts.supplements(), **{item.id: row(item) for item in products}}


def metals(products: Iterable[Product], volume_m3: float) -> dict[str, dict[str, float]]:
    """Copper and zinc one gram of each own product brings, mg/L; products without any are left out."""
    out = {}
    for item in products:
        brings = {name: item.shares[name] / volume_m3 for name in METALS if name in item.shares}
        if brings:
            out[item.id] = brings
    return out


def bringers(products: Iterable[Product], shelf: Iterable[str], element: str) -> list[str]:
    """Own products on the shelf that bring an element and little ammonia with it."""
    on_shelf, found = set(shelf), []
    for item in products:
        share = item.shares.get(element, 0.0)
        ammonia = 0.0 if item.n_form == "nitrate" else item.shares.get("n", 0.0)
        if item.id in on_shelf and share > 0.0 and ammonia <= AMMONIA_SHARE * share:
            found.append(item.id)
    return found


def organic(supply: Supplement, volume_m3: float) -> Mapping[str, float]:
    """Organic matter one gram brings, counted in mL of liquid seaweed for each cubic metre; a powder is ten of it."""
    if not supply.organic:
        return {}
    powder = supply.id == "seaweed_powder"
    return {ORGANIC: (10.0 if powder else 1.0) / (supply.density_g_ml or 1.0) / volume_m3}
