"""What is eaten and what stands on the shelf: both are parts of the set-up, saved from now on."""

from __future__ import annotations

from typing import Any
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from rillbed import facts
from rillbed.garden.system import System
from rillbed.tongue import tr
from rillbed.web import bridge
from rillbed.web.forecasts import worker
from rillbed.web.frame.loops import needs_loop
from rillbed.web.frame.roles import needs
from rillbed.web.household import eating, prices
from rillbed.web.household.labels import FIELDS, MORE, product_of, shown
from rillbed.web.log import form as forms
from rillbed.web.log.models import Loop, Role
from rillbed.web.setup import store
from rillbed.words.numbers import say

REMOVE, PRICES = "remove", "prices"


@needs(Role.OWNER)
@needs_loop
def household(request: HttpRequest, loop: Loop) -> HttpResponse:
    """Ask what is eaten; keep it."""
    system = bridge.standing_system(loop)
    if request.method != "POST":
        return _household(request, eating.filled_from(system), {})
    filled = request.POST.dict()
    data, problems = eating.read(filled, system)
    if not problems:
        problems = _save(request, loop, system, data, tr("what your household eats"))
    return _household(request, filled, problems) if problems else redirect("beds")


def _household(request: HttpRequest, filled: dict[str, str], problems: dict[str, str]) -> HttpResponse:
    offered = eating.wishes()
    rows = [
        {
            "n": n,
            "wishes": [(key, label, filled.get(f"wish-{n}") == key) for key, label in offered],
            "servings": filled.get(f"servings-{n}", ""),
            "problem": problems.get(f"wish-{n}") or problems.get(f"servings-{n}", ""),
        }
        for n in eating.rows(filled)
    ]
    crops = sorted(facts.crops().items(), key=lambda pair: pair[1].common_name)
    context = {
        "rows": rows,
        "crops": [(key, tr(row.common_name), bool(filled.get(f"dislike-{key}"))) for key, row in crops],
        "disliked": any(name.startswith("dislike-") for name in filled),
        "buys": bool(filled.get("buys_seedlings")),
        "places": filled.get("seed_tray_places", ""),
        "places_problem": problems.get("seed_tray_places", ""),
        "problem": problems.get("", ""),
        "uuid": filled.get("uuid") or uuid4(),
    }
    return render(request, "household/household.html", context, status=400 if problems else 200)


@needs(Role.OWNER)
@needs_loop
def products(request: HttpRequest, loop: Loop) -> HttpResponse:
    """List own products; add or take away one; say what things cost."""
    system = bridge.standing_system(loop)
    typed = request.POST.dict()
    problems: dict[str, str] = {}
    costs = prices.filled_from(system) | (typed if typed.get(PRICES) else {})
    if request.method == "POST" and typed.get(PRICES):
        told, problems = prices.read(typed, system)
        if not problems:
            problems = _save(request, loop, system, {"prices": told}, tr("what things cost"))
    elif request.method == "POST" and typed.get(REMOVE):
        left = [item for item in system.products if item.id != typed[REMOVE]]
        shelf = [name for name in system.shelf if name != typed[REMOVE]]
        cost = [item for item in system.prices if item.supply != typed[REMOVE]]
        problems = _save(request, loop, system, {"products": left, "shelf": shelf, "prices": cost}, tr("the shelf"))
    elif request.method == "POST":
        product, problems = product_of(typed, system)
        if product is not None:
            data = {"products": [*system.products, product], "shelf": [*system.shelf, product.id]}
            problems = _save(request, loop, system, data, product.name)
    if request.method == "POST" and not problems:
        return redirect("products")
    context = {
        "fields": forms.bound(FIELDS, typed, problems),
        "more": forms.bound(MORE, typed, problems),
        "opened": any(typed.get(field.name) for field in MORE if field.kind == "number"),
        "costs": forms.bound(prices.fields(system), costs, problems),
        "problem": problems.get("", ""),
        "products": [(item.id, shown(item)) for item in system.products],
        "uuid": typed.get("uuid") or uuid4(),
    }
    return render(request, "household/products.html", context, status=400 if problems else 200)


def _save(request: HttpRequest, loop: Loop, system: System, data: dict[str, Any], what: str) -> dict[str, str]:
    """Write the set-up with these parts; give what is wrong."""
    assert request.user.is_authenticated
    try:
        key = UUID(request.POST.get("uuid", ""))
        changed = System.make(dict(system) | data)
        store.save(loop, changed, key, request.user, correction=False)
    except ValueError as error:
        return {"": str(error)}
    worker.wake()
    messages.success(request, say("Saved: {what}.", what=what))
    return {}
