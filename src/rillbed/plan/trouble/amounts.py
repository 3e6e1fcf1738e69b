"""How much of each action, and how fast at most: by the plans for doses and outages, never reckoned a second time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from rillbed import facts
from rillbed.plan.advice import Reason, Value, figures
from rillbed.plan.doses import DosePlan, Goal, Refusal, Water, parts, plan
from rillbed.plan.outage import outlook
from rillbed.plan.shelf import CHLORIDES
from rillbed.plan.trouble import stock
from rillbed.plan.trouble.signs import Scene

Detail = Mapping[str, Value]
KITCHEN = "sodium_chloride"


@dataclass(frozen=True)
class Much:
    """An amount with its unit and most rate; `refused` where the plan for it says no."""

    amount: float | None = None
    unit: str = ""
    rate: Reason | None = None
    details: tuple[Detail, ...] = ()
    cautions: tuple[str, ...] = ()
    refused: Refusal | None = None
    values: Mapping[str, Value] = field(default_factory=dict)


def much(name: str, scene: Scene) -> Much:
    """Reckon the amount of one action by the name in its row; ``Much()`` where it has none."""
    return AMOUNTS[name](scene) if name else Much()


def _water(scene: Scene) -> Water:
    made = Water.of(scene.system, scene.log, scene.on)
    return Water(made.volume_l, made.spans, scene.who.species, scene.who.fish, scene.who.plants, scene.on)


def _dose(goal: Goal, scene: Scene, rate: Reason | None = None) -> Much:
    try:
        answer = plan(goal, _water(scene), scene.system, forecast=scene.forecast)
    except ValueError:
        return Much(rate=rate)
    if isinstance(answer, Refusal):
        return Much(rate=rate, refused=answer)
    return _of_plan(answer, rate)


def _of_plan(answer: DosePlan, rate: Reason | None) -> Much:
    if not answer.steps:
        return Much(rate=rate)
    # A change of water comes with the agent that takes its chlorine out: the water is the amount.
    lead = next((step for step in answer.steps if step.unit == "L"), answer.steps[0])
    today = [step for step in answer.steps if step.day == lead.day and step.substance == lead.substance]
    details = tuple(
        {"day": step.day, "hour": step.hour, "substance": step.substance, "amount": figures(step.amount),
         "unit": step.unit, "ph_at_once": step.ph_at_once, "ph_settled": step.ph_settled}
        for step in answer.steps
    )  # fmt: skip
    total = sum(step.amount for step in today)
    values: dict[str, Value] = {"substance": today[0].substance, "parts": len(today)}
    return Much(total, today[0].unit, rate, details, answer.cautions, None, values)


def _change(scene: Scene) -> Much:
    """Bring the worse of ammonia and nitrite down in steps; without either, the largest safe change for a poison."""
    most = facts.value("dosing.change_most")
    rate = Reason("rate.change", {"share": most, "times": int(facts.value("dosing.changes_a_day"))})
    worse = [name for name, code in (("tan", "nh3_n"), ("no2", "no2_n")) if _bad(scene, code)]
    if worse:
        found = _dose(Goal("dilute", quantity=worse[0]), scene, rate)
        if found.amount is not None:
            return found
    share = facts.value("dosing.change_most_unknown")
    litres = share * 1000.0 * scene.system.total_volume_m3
    return Much(litres, "L", rate, values={"share": share})


def _change_small(scene: Scene) -> Much:
    share = facts.value("dosing.change_most_unknown")
    rate = Reason("rate.change", {"share": share, "times": 1})
    return Much(share * 1000.0 * scene.system.total_volume_m3, "L", rate)


def _bad(scene: Scene, code: str) -> bool:
    band = scene.verdict.band(code)
    return band is not None and band.basis != "model" and band.level in ("act", "danger")


def _salt(scene: Scene) -> Much:
    if scene.last("no2") is None:
        return Much(rate=Reason("rate.salt"))
    found = _dose(Goal("protect_nitrite"), scene, Reason("rate.salt"))
    if found.amount is None or found.values["substance"] == KITCHEN or set(CHLORIDES) & set(scene.system.shelf):
        return found
    # Nothing is on the shelf, and fish cannot wait for a parcel: plain kitchen salt is in every house.
    other = _dose(Goal("protect_nitrite", substance=KITCHEN), scene)
    if other.amount is None:
        return found
    volume, table = scene.system.total_volume_m3, facts.supplements()
    given, instead = (
        parts.brings(table[str(one.values["substance"])], one.amount or 0.0, volume)["cl"] for one in (found, other)
    )
    if instead >= given:
        return replace(found, rate=Reason("rate.salt_same", {"grams": figures(other.amount * given / instead)}))
    return replace(found, rate=Reason("rate.salt_or", {"grams": figures(other.amount), "share": instead / given}))


def _treat_fresh(scene: Scene) -> Much:
    """For as much fresh water as one safe change takes."""
    litres = facts.value("dosing.change_most_unknown") * 1000.0 * scene.system.total_volume_m3
    return _dose(Goal("dechlorinate", litres=litres), scene, Reason("rate.dechlorinate", {"litres": litres}))


def _treat_loop(scene: Scene) -> Much:
    litres = 1000.0 * scene.system.total_volume_m3
    return _dose(Goal("dechlorinate"), scene, Reason("rate.dechlorinate", {"litres": litres}))


def _base(scene: Scene) -> Much:
    rate = Reason("rate.ph", {"step": facts.value("dosing.ph_step")})
    return _dose(Goal("raise_alkalinity"), scene, rate)


def _iron(scene: Scene) -> Much:
    return _dose(Goal("iron"), scene, Reason("rate.iron"))


def _supplement(element: str) -> Callable[[Scene], Much]:
    def reckon(scene: Scene) -> Much:
        rise = facts.value(f"trouble.supplement_{element}")
        return _dose(Goal("supplement", needs={element: rise}), scene, Reason("rate.element", {"mg_l": rise}))

    return reckon


def _minutes(scene: Scene) -> Much:
    """Minutes until the first fish are short of oxygen, tank by tank, the shortest first."""
    last = scene.last("temperature")
    temp = None if last is None or last.high is None else min(40.0, max(0.0, last.high))
    answer = outlook(scene.system, scene.log, scene.on, temp_c=temp, forecast=scene.forecast)
    tanks: tuple[Detail, ...] = tuple(
        {"tank": tank.name, "kg_m3": tank.biomass_g / tank.volume_l, "minutes": tank.first_minutes,
         "air_l_min": tank.air.air_l_min}
        for tank in answer.tanks if tank.lasts
    )  # fmt: skip
    if not tanks:
        return Much()
    # The outlook ranks them: the first has least time.
    first = next(tank for tank in answer.tanks if tank.lasts)
    return Much(first.first_minutes, "min", Reason("rate.dense", {"tank": first.name}), tanks)


def _backup(scene: Scene) -> Much:
    answer = outlook(scene.system, scene.log, scene.on, forecast=scene.forecast)
    needed = [tank.air.battery_ah for tank in answer.tanks if tank.lasts]
    return Much(sum(needed), "Ah", Reason("rate.battery")) if needed else Much()


def _thin(scene: Scene) -> Much:
    groups = [group for group in scene.state.groups.values() if group.count > 0]
    if not groups:
        return Much()
    limit = min(facts.species()[group.species].density_home_max_kg_m3 for group in groups)
    over = scene.state.biomass_g / 1000.0 - limit * scene.system.fish_tank_volume_m3
    rate = Reason("rate.density", {"limit": limit})
    return Much(over, "kg", rate) if over > 0.0 else Much(rate=rate)


def _stock(which: str) -> Callable[[Scene], Much]:
    def reckon(scene: Scene) -> Much:
        room = stock.room(scene.system, scene.who, scene.numbers)
        if room is None:
            return Much()
        values: dict[str, Value] = {
            "by_density": room.by_density, "by_feed": room.by_feed, "binding": room.binding,
            "feed_g_day": room.feed_g_day, "beds_take_g_day": room.beds_take_g_day, "more_bed_m2": room.more_bed_m2,
            "density_kg_m3": room.density_kg_m3,
        }  # fmt: skip
        found = {"most": (float(room.most), "fish"), "first": (float(room.first), "fish"),
                 "beds": (room.more_bed_m2, "m2"), "binding": (None, "")}[which]  # fmt: skip
        return Much(found[0], found[1], Reason("rate.stock", values), values=values)

    return reckon


def _days(key: str) -> Callable[[Scene], Much]:
    """Length of a stage at the water's temperature: both steps slow as their growth does."""

    def reckon(scene: Scene) -> Much:
        item = scene.last("temperature")
        temp = facts.value("trouble.course_temp") if item is None else 0.5 * (item.least + item.most)
        theta = facts.priors()["theta_n"].median
        slower = min(4.0, theta ** (facts.value("trouble.course_temp") - temp))
        row = facts.fact(key)
        low, high = ((row.low or 0.0) * slower, (row.high or 0.0) * slower)
        return Much(facts.value(key) * slower, "days", Reason("rate.days", {"low": low, "high": high}))

    return reckon


def _fixed(value: float | None, unit: str, code: str, **values: Value) -> Callable[[Scene], Much]:
    return lambda scene: Much(value, unit, Reason(code, values) if code else None)


def _fed(share: float, code: str) -> Callable[[Scene], Much]:
    def reckon(scene: Scene) -> Much:
        ration = scene.numbers.get("feed_g_day")
        days = facts.value("trouble.feed_off_days")
        if share == 0.0:
            return Much(0.0, "g/day", Reason(code, {"days": days}))
        return Much(None if ration is None else share * ration, "g/day", Reason(code, {"share": share}))

    return reckon


def _cold_feed(scene: Scene) -> Much:
    """Nothing below the temperature at which every kind kept stops eating; above it less, by nobody's table."""
    item = scene.last("temperature")
    stops = [facts.species()[kind].temp_feed_stop_low_c for kind in scene.who.species]
    if not stops:
        return Much(rate=Reason("rate.cold_feed"))
    if item is not None and item.most < min(stops):
        return Much(0.0, "g/day", Reason("rate.cold_none", {"temp": item.most, "stop": max(stops)}))
    return Much(rate=Reason("rate.cold_stop", {"stop": max(stops)}))


AMOUNTS: dict[str, Callable[[Scene], Much]] = {
    "minutes": _minutes, "backup": _backup, "no_feed": _fed(0.0, "rate.no_feed"),
    "no_feed_day": _fixed(0.0, "g/day", "rate.no_feed_day"), "half_feed": _fed(0.5, "rate.half_feed"),
    "cold_feed": _cold_feed, "feed_steps": _fixed(None, "", "rate.feed_steps"),
    "feed_rise": _fed(1.0 + facts.value("trouble.feed_rise"), "rate.feed_rise"),
    "third": _fixed(1.0 / 3.0, "share", "rate.third"), "change": _change, "change_small": _change_small,
    "treat_fresh": _treat_fresh, "treat_loop": _treat_loop, "salt": _salt, "base": _base, "iron": _iron,
    "potassium": _supplement("k"), "magnesium": _supplement("mg"), "calcium": _supplement("ca"),
    "reserve": _fixed(facts.value("trouble.reserve_meq"), "meq/L", "rate.reserve"),
    "soft_share": _fixed(None, "", "rate.soft"), "ph_fall": _fixed(None, "", "rate.ph_fall"), "thin": _thin,
    "acclimate": _fixed(facts.value("trouble.acclimate_minutes"), "min", "rate.acclimate"),
    "one_degree_hour": _fixed(facts.value("dosing.change_temp_rate"), "degC/h", "rate.warmth"),
    "nitrite_days": _days("trouble.nitrite_days"), "recovery_days": _days("trouble.recovery_days"),
    "fish_most": _stock("most"), "fish_first": _stock("first"), "beds_more": _stock("beds"),
    "binding": _stock("binding"),
}  # fmt: skip


def later(on: date, days: float) -> date:
    """Day of a later test."""
    return date.fromordinal(on.toordinal() + max(0, round(days)))
