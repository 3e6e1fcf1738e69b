"""A planting plan in words: lines to act on, why each is as it is, wishes, budgets and changes."""

from __future__ import annotations

from collections.abc import Sequence

from rillbed import facts, words
from rillbed.plan.advice import Reason
from rillbed.plan.beds.answers import Batch, Change, Line, PlantingPlan, Week, Wish
from rillbed.words.beds_phrases import KINDS, REASONS, WHAT, WISHES
from rillbed.words.numbers import NBSP, amount, day, filled, listed, number


def crop(name: str) -> str:
    """Name of a crop as it stands inside a sentence.

    Examples
    --------
    >>> crop("lettuce_cos")
    'cos lettuce'
    """
    return words.crop(name)


def wish(name: str) -> str:
    """Name of a wish: a crop, a group or a class."""
    return crop(name) if name in facts.crops() else WISHES[name]


def reason(item: Reason) -> str:
    """One reason as a sentence.

    Raises
    ------
    KeyError
        If a code has no sentence; every code has one, and a test holds this.
    """
    values: dict[str, object] = dict(item.values)
    for key in ("crop", "for_crop"):
        if isinstance(values.get(key), str):
            values[key] = crop(str(values[key]))
    if isinstance(values.get("wish"), str):
        values["wish"] = wish(str(values["wish"]))
    if isinstance(values.get("element"), str):
        values["element"] = words.quantity(str(values["element"]))
    if isinstance(values.get("kind"), str):
        values["kind_words"] = KINDS[str(values["kind"])]
    if isinstance(values.get("others"), tuple):
        values["others_words"] = listed(str(other) for other in item.values["others"])  # type: ignore[union-attr]
    if isinstance(values.get("because"), str):
        inner = {
            ("crop" if key == "for_crop" else key): value
            for key, value in item.values.items()
            if key not in ("crop", "because")
        }
        first = reason(Reason(str(values["because"]), inner))
        values["because_words"] = first[:1].lower() + first[1:]
    text = filled(REASONS[item.code].replace("{share:share}", _tenths(values)), values)
    return _capital(text)


def _tenths(values: dict[str, object]) -> str:
    share = values.get("share")
    return f"{max(1, round(10 * share))}{NBSP}tenths" if isinstance(share, float) else ""


def line(item: Line) -> str:
    """One thing to do, e.g. ``Sow 12 cos lettuce for Raft``."""
    what = WHAT[item.what]
    many = number(item.count)
    if item.what == "pick":
        return f"{what} {crop(item.crop)} in {item.bed}: {amount(item.servings, 'servings')}"
    where = "for" if item.what == "sow" else "in"
    return f"{what} {many}{NBSP}{crop(item.crop)} {where} {item.bed}"


def batch(item: Batch) -> str:
    """One batch with its way from tray to table."""
    way = {
        "sown": f"sow {item.seeds} on {day(item.sow_on)}, set out {number(item.count)} on {day(item.plant_on)}",
        "direct": f"sow {item.seeds} into {item.bed} on {day(item.plant_on)}",
        "tray": f"set out {number(item.count)} from the tray on {day(item.plant_on)}",
        "bought": f"buy and set out {number(item.count)} on {day(item.plant_on)}",
        "standing": f"{number(item.count)} stand since {day(item.plant_on)}",
    }[item.source]
    picks = [pick.on for pick in item.picks]
    when = f"pick from {day(picks[0])} to {day(picks[-1])}" if len(picks) > 1 else f"pick on {day(item.until)}"
    name = crop(item.crop)
    return f"{_capital(name)}, {item.bed}: {way}; {when}, {amount(item.servings, 'servings')}."


def summary(plan: PlantingPlan) -> tuple[str, ...]:
    """Say what the plan promises and how well it is solved."""
    kept, asked = number(10 * plan.kept), number(10 * plan.confidence)
    out = [f"The water carries this plan in {kept} of 10 futures; {asked} were asked for."]
    if plan.missing:
        first = listed(words.quantity(e) for e in plan.missing)
        out.append(f"First add {first}: the plan counts on it, and the water has none to spare.")
    if plan.kept_by:
        out.append(f"It counts on your shelf to keep up {listed(words.quantity(e) for e in plan.kept_by)}.")
    if plan.gap >= 0.005:
        out.append(f"A better plan may exist: at most {number(100 * plan.gap)}{NBSP}% more servings' worth.")
    return (*out, *(reason(item) for item in plan.notes))


def served(item: Wish) -> str:
    """How far one wish is met."""
    name = wish(item.name)
    first = f"first on {day(item.first_on)}" if item.first_on else "none in the year ahead"
    return (
        f"{_capital(name)}: {number(item.served_firm)} of {number(item.wanted)} servings a week "
        f"in the firm weeks, {number(item.served_year)} over the whole plan; {first}."
    )


def budget(week: Week) -> str:
    """Say what the tightest element has left at the end of a week."""
    for item in week.budgets:
        if item.element == week.binding:
            left, was = amount(item.left_g, "g"), amount(item.without_g, "g")
            name = words.quantity(item.element)
            return f"{_capital(name)} is tightest: {left} to spare, {was} without the plan."
    return "No element limits this week."


def changes(items: Sequence[Change]) -> tuple[str, ...]:
    """Say what a new plan has otherwise than the last one."""
    return tuple(
        f"{_capital(crop(c.crop))} in {c.bed} on {day(c.on)}: {number(c.now)} in place of {number(c.before)}."
        for c in items
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
