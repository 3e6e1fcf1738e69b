"""A planting plan in words: lines to act on, why each is as it is, wishes, budgets and changes."""

from __future__ import annotations

from collections.abc import Sequence

from rillbed import facts, words
from rillbed.plan.advice import Reason
from rillbed.plan.beds.answers import Batch, Change, Line, PlantingPlan, Week, Wish
from rillbed.tongue import tr
from rillbed.words.beds_phrases import KINDS, REASONS, WAYS, WHAT, WISHES
from rillbed.words.numbers import amount, capital, filled, listed, number, say


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
    return crop(name) if name in facts.crops() else tr(WISHES[name])


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
        values["kind_words"] = tr(KINDS[str(values["kind"])])
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
    if isinstance(values.get("share"), float):
        values["tenths"] = _tenths(float(str(values["share"])))
    text = filled(REASONS[item.code], values)
    return capital(text)


def _tenths(share: float) -> str:
    return say("{count}\u00a0tenths", count=max(1, round(10 * share)))


def line(item: Line) -> str:
    """One thing to do, e.g. ``Sow 12 cos lettuce for Raft``."""
    servings = amount(item.servings, "servings")
    return say(WHAT[item.what], count=number(item.count), crop=crop(item.crop), bed=item.bed, servings=servings)


def batch(item: Batch) -> str:
    """One batch with its way from tray to table."""
    picks = [pick.on for pick in item.picks]
    when = (
        say("pick from {first:day} to {last:day}", first=picks[0], last=picks[-1])
        if len(picks) > 1
        else say("pick on {on:day}", on=item.until)
    )
    return say(
        WAYS[item.source],
        crop=capital(crop(item.crop)),
        bed=item.bed,
        seeds=item.seeds,
        sow_on=item.sow_on,
        count=number(item.count),
        plant_on=item.plant_on,
        picks=when,
        servings=amount(item.servings, "servings"),
    )


def summary(plan: PlantingPlan) -> tuple[str, ...]:
    """Say what the plan promises and how well it is solved."""
    kept, asked = number(10 * plan.kept), number(10 * plan.confidence)
    out = [
        say("The water carries this plan in {kept} of 10 futures; {asked} were asked for.", kept=kept, asked=asked),
    ]
    if plan.missing:
        first = listed(words.quantity(e) for e in plan.missing)
        out.append(say("First add {first}: the plan counts on it, and the water has none to spare.", first=first))
    if plan.kept_by:
        kept_up = listed(words.quantity(e) for e in plan.kept_by)
        out.append(say("It counts on your shelf to keep up {elements}.", elements=kept_up))
    if plan.gap >= 0.005:
        more = number(100 * plan.gap)
        out.append(say("A better plan may exist: at most {more}\u00a0% more servings' worth.", more=more))
    return (*out, *(reason(item) for item in plan.notes))


def served(item: Wish) -> str:
    """How far one wish is met."""
    first = say("first on {on:day}", on=item.first_on) if item.first_on else tr("none in the year ahead")
    return say(
        "{wish}: {served} of {wanted} servings a week in the firm weeks, {year} over the whole plan; {first}.",
        wish=capital(wish(item.name)),
        served=number(item.served_firm),
        wanted=number(item.wanted),
        year=number(item.served_year),
        first=first,
    )


def budget(week: Week) -> str:
    """Say what the tightest element has left at the end of a week."""
    for item in week.budgets:
        if item.element == week.binding:
            return say(
                "{element} is tightest: {left} to spare, {was} without the plan.",
                element=capital(words.quantity(item.element)),
                left=amount(item.left_g, "g"),
                was=amount(item.without_g, "g"),
            )
    return tr("No element limits this week.")


def changes(items: Sequence[Change]) -> tuple[str, ...]:
    """Say what a new plan has otherwise than the last one."""
    return tuple(
        say(
            "{crop} in {bed} on {on:day}: {now} in place of {before}.",
            crop=capital(crop(c.crop)),
            bed=c.bed,
            on=c.on,
            now=number(c.now),
            before=number(c.before),
        )
        for c in items
    )
