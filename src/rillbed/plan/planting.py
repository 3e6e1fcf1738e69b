"""What a room answer says and what it asks for: the argument in reading order, and the advice to plant."""

from __future__ import annotations

from rillbed.plan.advice import Advice, Reason, Urgency, Values
from rillbed.plan.answers import Room
from rillbed.plan.learned import BASIS_NOTES


def room_reasons(answer: Room) -> tuple[Reason, ...]:
    """Argument of a room answer, in reading order."""
    count = 0 if answer.next_batch is None else answer.next_batch
    out = [
        Reason(
            "room.next" if count else "room.next_none",
            {"share": answer.confidence, "count": count, "crop": answer.crop, "days": answer.life_days},
        ),
        Reason("room.half", {"count": answer.next_batch_half, "nitrogen": answer.nitrogen_half}),
    ]
    if answer.next_batch is None:
        out[0] = Reason("room.few_members")
    if answer.binding:
        top = answer.binding[0]
        binds = "room.binds" if top.day else "room.binds_now"
        out.append(Reason(binds, {"limit": top.limit, "chance": top.chance, "days": top.day}))
    if answer.missing:
        then: Values = {"elements": answer.missing, "count": answer.next_batch_then, "crop": answer.crop}
        out.append(Reason("room.then", then))
    if answer.staged:
        out.append(Reason(answer.staged.code, {**answer.staged.values, "crop": answer.crop}))
    if answer.instead:
        crops = tuple(crop for crop, _ in answer.instead)
        out.append(Reason("room.instead", {"crops": crops, "counts": tuple(count for _, count in answer.instead)}))
    low, high = answer.rule_band_g_m2_day
    rule = {"low": low, "high": high, "m2_low": answer.rule_m2[0], "m2_high": answer.rule_m2[1]}
    if answer.feed_g_day <= 0.0 and answer.steady_m2.high <= 0.0:
        out.append(Reason("room.no_feed"))
    else:
        out.append(Reason("room.rule", rule))
        out.append(Reason("room.steady", {"low": answer.steady_m2.low, "high": answer.steady_m2.high}))
    if answer.feed_g_day > 0.0:
        n_low, n_high = answer.rule_n_g_m2_day
        differ: Values = {"low": low, "high": high, "n_low": n_low, "n_high": n_high, "crop": answer.crop}
        out.append(Reason("room.differ", {**differ, "demand": answer.demand_n_g_m2_day}))
    out.append(Reason(f"room.state.{answer.state}"))
    out.append(Reason("room.full", {"count": answer.free_plants, "crop": answer.crop}))
    out += [Reason("room.supplement", {"element": name, "grams": g}) for name, g in answer.supplement_g.items()]
    if answer.outgrown:
        out.append(Reason(answer.outgrown.code, {**answer.outgrown.values, "crop": answer.crop}))
    return (*out, *answer.notes)


def plantable(answer: Room) -> int:
    """Plants that may go in and find a place: now, or once what is missing is added."""
    return min(answer.next_batch or answer.next_batch_then, answer.free_plants)


def room_title(answer: Room) -> Reason:
    """Say what the room comes to, in one line."""
    values: Values = {"count": plantable(answer), "crop": answer.crop}
    if not values["count"]:
        return Reason("room.title_none")
    if answer.next_batch:
        return Reason("room.title", values)
    return Reason("room.title_then", {**values, "elements": answer.missing})


def plant_advice(answer: Room) -> Advice:
    """Plant now, or nothing more yet, with the argument of both views."""
    count = min(answer.next_batch or 0, answer.free_plants)
    # What holds for every answer stands once on the page.
    reasons = tuple(item for item in room_reasons(answer) if item.code not in BASIS_NOTES)
    later = min(answer.next_batch_then, answer.free_plants)
    if count < 1 and later >= 1:
        params: Values = {"elements": answer.missing, "count": later, "crop": answer.crop}
        return Advice("plant.after", "wait", params=params, reasons=reasons, urgency=Urgency.PLANTS)
    if count < 1:
        return Advice("plant.none", "wait", reasons=reasons, urgency=Urgency.PLANTS)
    return Advice(
        "plant.batch",
        "plant",
        params={"count": count, "crop": answer.crop},
        reasons=reasons,
        formula="room.chance",
        facts=(f"crops/{answer.crop}",),
        cautions=("food.no_wet_leaves",),
        urgency=Urgency.PLANTS,
    )
