"""What happened, from one row of a case: as an entry of the log where one exists, and as the clue it answers."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from rillbed import facts
from rillbed.garden.errors import GardenError, must_be_known
from rillbed.plan.trouble.values import answer_of, kind_of, most, number
from rillbed.tongue import tr

if TYPE_CHECKING:
    from rillbed.plan.trouble.rows import Rows

# Events that only answer a clue: event -> (clue, answer); None: the answer is in `what`.
ANSWERS: dict[str, tuple[str, str | None]] = {
    "acid": ("acid", None), "medicine": ("medicine", None), "base": ("base", None), "washed": ("washed", None),
    "fed_more": ("feed", "more"), "fed_less": ("feed", "less"), "feeding_stopped": ("feed", "none"),
    "transplanted": ("transplanted", "yes"), "spray": ("spray", None), "seeded": ("seeded", "yes"),
    "iron": ("iron_given", "yes"), "heat": ("room", "heat"), "frost": ("room", "frost"), "salt": ("medicine", "salt"),
    "new_fish": ("new_fish", "yes"), "pump_stopped": ("pump", "stopped"), "pump_started": ("pump", "running"),
    "air_stopped": ("air", "stopped"), "air_started": ("air", "running"), "leak": ("level", "falling"),
}  # fmt: skip
SAME = {
    "water_change": "water_changed", "top_up": "topped_up", "power_cut": "outage", "power_off": "outage",
    "deaths": "died", "fish_died": "died", "added_fish": "fish_in", "fish_added": "fish_in", "harvested": "fish_out",
    "pump_failed": "pump_stopped", "air_failed": "air_stopped", "sprayed": "spray", "cleaned": "washed",
    "feeding": "fed", "dose": "dosed", "medicated": "medicine", "salted": "salt", "planting": "planted",
}  # fmt: skip
KINDS = ("water_changed", "topped_up", "died", "fish_in", "fish_out", "fed", "outage", "dosed", "planted", "note")
NAMED = {
    "acid": {"vinegar": "organic", "citric": "organic", "lemon": "organic", "phosphoric": "mineral",
             "hydrochloric": "mineral", "muriatic": "mineral", "powder": "unnamed", "ph_down": "unnamed"},
    "spray": {"pyrethrum": "pesticide", "insecticide": "pesticide", "neem": "pesticide", "herbicide": "pesticide",
              "bleach": "cleaner", "detergent": "soap", "varnish": "paint", "wood_preservative": "paint"},
    "medicine": {"formalin": "other", "malachite": "other", "copper_sulfate": "copper", "sea_salt": "salt"},
    "iron_given": {"tablet": "tablets", "nail": "tablets", "ferrous": "tablets", "iron_sul": "tablets"},
    "base": {"hydroxide": "large", "lime": "large", "ash": "large", "bicarbonate": "small", "carbonate": "small"},
}  # fmt: skip
DEFAULT = {"acid": "unnamed", "medicine": "other", "base": "small", "washed": "all", "spray": "pesticide"}


def happened(rows: Rows, row: Mapping[str, Any], at: datetime, field: str) -> None:
    """Add what one row says happened."""
    event = str(row["event"]).strip().lower().replace(" ", "_").replace("-", "_")
    event = SAME.get(event, event)
    if event in ANSWERS:
        clue, answer = ANSWERS[event]
        _answer(rows, clue, answer or named(event, row), at, field)
        return
    must_be_known(f"{field}.event", event, {*ANSWERS, *KINDS}, "event")
    globals()[f"_{event}"](rows, row, at, field)


def named(event: str, row: Mapping[str, Any]) -> str:
    """Answer to a clue from what was used, by its own answers or by an everyday name of the thing."""
    what = str(row.get("what", row.get("substance", DEFAULT[event]))).strip().lower().replace(" ", "_")
    words = NAMED.get(event, {})
    return next((answer for word, answer in words.items() if word in what), what)


def _answer(rows: Rows, clue: str, answer: str, at: datetime, field: str) -> None:
    rows.add("observation", at, {"what": clue, "text": answer_of(clue, answer, field)}, field)


def _water_changed(rows: Rows, row: Mapping[str, Any], at: datetime, field: str) -> None:
    treated = row.get("treated")
    litres = most(row, rows.system, field)
    rows.add("water_changed", at, {"volume": {"value": litres, "unit": "L"}, "treated": treated is True}, field)
    answer = {True: "treated", False: "untreated", None: "unknown"}.get(treated, str(treated))
    _answer(rows, "change", answer, at, field)


def _topped_up(rows: Rows, row: Mapping[str, Any], at: datetime, field: str) -> None:
    treated = row.get("treated")
    litres = most(row, rows.system, field)
    rain = row.get("what") == "rain"
    payload = {"volume": {"value": litres, "unit": "L"}, "treated": treated is True,
               "source": "rain" if rain else "source"}  # fmt: skip
    rows.add("topped_up", at, payload, field)
    if not rain:
        answer = {True: "treated", False: "untreated", None: "unknown"}.get(treated, str(treated))
        _answer(rows, "change", answer, at, field)


def _died(rows: Rows, row: Mapping[str, Any], at: datetime, field: str) -> None:
    count = int(number(row.get("count", 1), f"{field}.count", 1.0, 1e6))
    group = row.get("group")
    groups = [entry.payload.group for entry in rows.entries if entry.kind == "fish_in"]  # type: ignore[attr-defined]
    if group is None and groups:
        group = groups[0]
    if group in groups:
        rows.add("fish_died", at, {"group": group, "count": count}, field)
    rows.add("observation", at, {"what": "dead", "text": str(count)}, field)


def _fish_in(rows: Rows, row: Mapping[str, Any], at: datetime, field: str) -> None:
    name = row.get("species") or next(iter(rows.kinds), None)
    if name is not None:
        weight = {"value": float(row.get("weight_g", 100.0)), "unit": "g"}
        payload = {"species": kind_of(str(name), f"{field}.species"), "count": int(row.get("count", 1)),
                   "weight": weight}  # fmt: skip
        if "group" in row:
            payload["group"] = row["group"]
        rows.add("fish_in", at, payload, field)
    _answer(rows, "new_fish", "yes", at, field)


def _fish_out(rows: Rows, row: Mapping[str, Any], at: datetime, field: str) -> None:
    rows.add("note", at, {"text": f"fish out: {row.get('count', 1)}"}, field)


def _fed(rows: Rows, row: Mapping[str, Any], at: datetime, field: str) -> None:
    grams = number(row.get("grams", 0.0), f"{field}.grams", 0.0, 1e6)
    rows.add("observation", at, {"what": "feed_g_day", "text": f"{grams:g}"}, field)


def _outage(rows: Rows, row: Mapping[str, Any], at: datetime, field: str) -> None:
    hours = row.get("hours")
    payload: dict[str, object] = {}
    if hours is not None:
        length = number(hours, f"{field}.hours", 0.0, 1000.0)
        payload["until"] = at + timedelta(hours=length)
        rows.add("observation", at, {"what": "outage_hours", "text": f"{length:g}"}, field)
    rows.add("outage", at, payload, field)
    _answer(rows, "power", "off" if hours is None else "was_off", at, field)


def _dosed(rows: Rows, row: Mapping[str, Any], at: datetime, field: str) -> None:
    what = str(row.get("substance", row.get("what", ""))).strip().lower().replace(" ", "_")
    supplies = {**facts.supplements(), **facts.ammonia_sources()}
    amount = {"value": row["ml"], "unit": "mL"} if "ml" in row else {"value": row.get("grams", 1.0), "unit": "g"}
    if what in supplies:
        rows.add("dosed", at, {"substance": what, "amount": amount}, field)
        if "hydroxide" in what:
            _answer(rows, "base", "large", at, field)
        elif "carbonate" in what or what == "dolomite":
            _answer(rows, "base", "small", at, field)
        elif what.startswith("iron_"):
            _answer(rows, "iron_given", "yes", at, field)
        elif what == "sodium_chloride":
            _answer(rows, "medicine", "salt", at, field)
        elif what.endswith("_acid") and what not in ("boric_acid", "ascorbic_acid"):
            _answer(rows, "acid", "mineral", at, field)
        return
    for event, names in NAMED.items():
        for word, answer in names.items():
            if word in what:
                _answer(rows, event, answer, at, field)
                return
    if "salt" in what:
        _answer(rows, "medicine", "salt", at, field)
    elif not what:
        raise GardenError(f"{field}.substance", "nothing", tr("needs the substance"))
    else:
        rows.add("note", at, {"text": f"dosed {what}"}, field)


def _planted(rows: Rows, row: Mapping[str, Any], at: datetime, field: str) -> None:
    _answer(rows, "transplanted", "yes", at, field)


def _note(rows: Rows, row: Mapping[str, Any], at: datetime, field: str) -> None:
    rows.add("note", at, {"text": str(row.get("what", row.get("note", "")))}, field)
