"""The form of own products, by their label."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rillbed.garden.errors import GardenError
from rillbed.garden.products import ELEMENTS, OWN, Product
from rillbed.garden.system import System
from rillbed.tongue import later, tr
from rillbed.web.log.form import sentence
from rillbed.web.setup.fields import Field
from rillbed.web.setup.measures import number, plain

BASIS = (("pct", later("per cent, grams in 100 g")), ("g_l", later("grams in a litre")))
N_FORM = (("organic", later("organic")), ("nitrate", later("nitrate")), ("ammonium", later("ammonium or urea")))
FORMS = {"p": ("P2O5", "P"), "k": ("K2O", "K"), "ca": ("Ca", "CaO"), "mg": ("Mg", "MgO"), "s": ("S", "SO3")}
LOW = str.maketrans("235", "₂₃₅")
COUNTS = {
    "p": later("P counts as"), "k": later("K counts as"), "ca": later("Ca counts as"), "mg": later("Mg counts as"),
    "s": later("S counts as"),
}  # fmt: skip
FIRST = ("n", "p", "k")


def _as(element: str) -> Field:
    return Field(
        f"{element}_as", COUNTS[element], "choice", lambda: [(form, form.translate(LOW)) for form in FORMS[element]]
    )


FIELDS = (
    Field("name", later("Name on the label")),
    Field("basis", later("The figures are"), "choice", lambda: [(key, tr(name)) for key, name in BASIS]),
    *(Field(element, element.capitalize(), "number") for element in FIRST),
    _as("p"),
    _as("k"),
    Field("n_form", later("Its nitrogen is"), "choice", lambda: [(key, tr(name)) for key, name in N_FORM]),
    Field(
        "density_g_ml",
        later("Density, if liquid"),
        "number",
        unit="g/mL",
        help=later("Weigh 100 mL and divide by 100."),
    ),
    Field("price_per_kg", later("Price of a kg"), "number"),
    Field("organic", later("bacteria must break it down (seaweed, fish emulsion)"), "check"),
)
MORE = (
    *(Field(element, element.capitalize(), "number") for element in ELEMENTS if element not in FIRST),
    *(_as(element) for element in ("ca", "mg", "s")),
)
NUMBERS = (*ELEMENTS, "density_g_ml", "price_per_kg")


def product_of(typed: Mapping[str, str], system: System) -> tuple[Product | None, dict[str, str]]:
    """Read a product; give it, or what is wrong by field."""
    problems: dict[str, str] = {}
    data: dict[str, Any] = {"id": _id(typed.get("name", ""), system), "name": typed.get("name", "").strip()}
    for name in NUMBERS:
        text = typed.get(name, "").strip()
        if not text:
            continue
        try:
            data[name] = number(name, text)
        except GardenError as error:
            problems[name] = sentence(error)
    data |= {name: typed[name] for name in ("basis", "n_form", *(f"{e}_as" for e in FORMS)) if typed.get(name)}
    data["organic"] = bool(typed.get("organic"))
    if problems:
        return None, problems
    refused = Product.refusals(data)
    if refused:
        known = {field.name for field in (*FIELDS, *MORE)}
        return None, {
            (error.field if error.field in known else ""): _said(error) for error in refused
        }  # fmt: skip
    return Product.make(data), {}


def _said(error: GardenError) -> str:
    return f"{error.value}: {error.allowed}." if error.field.startswith(OWN) else sentence(error)


def _id(name: str, system: System) -> str:
    """Make a short name that no product has yet."""
    plain_name = "".join(c if c.isascii() and c.isalnum() else "_" for c in name.lower()).strip("_")[:34] or "product"
    known = {item.id for item in system.products}
    found, n = OWN + plain_name, 2
    while found in known:
        found, n = f"{OWN}{plain_name}_{n}", n + 1
    return found


def shown(product: Product) -> str:
    """One product in a line."""
    parts = [f"{e.capitalize()} {plain(getattr(product, e))}" for e in ELEMENTS if getattr(product, e) > 0.0]
    return f"{product.name}: {', '.join(parts)} {'%' if product.basis == 'pct' else 'g/L'}"
