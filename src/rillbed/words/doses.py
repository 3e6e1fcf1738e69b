"""A dose plan, or a refusal, in words: steps with their amounts, what they do, and the cautions bound to them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import time

from rillbed import facts, words
from rillbed.plan.advice import Reason
from rillbed.plan.doses import Added, DosePlan, Refusal, Since, Step
from rillbed.tongue import later, tr
from rillbed.words.cautions import caution as caution
from rillbed.words.doses_phrases import REASONS
from rillbed.words.happened import happened
from rillbed.words.numbers import amount, capital, clock, filled, listed, number, say

UNITS = {"alkalinity": "meq/L"}


@dataclass(frozen=True)
class StepWords:
    """One step: when, what to do with the amount apart, and what it does."""

    when: str
    title: str
    amount: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class DoseWords:
    """A plan or a refusal: the headline, steps, why, what comes next, what to leave alone, cautions."""

    headline: str
    steps: tuple[StepWords, ...]
    why: tuple[str, ...]
    expect: tuple[str, ...]
    instead: tuple[str, ...]
    not_to_do: tuple[str, ...]
    cautions: tuple[str, ...]


HEADLINES: dict[str, str] = {
    "raise_ph": "Raise pH",
    "raise_alkalinity": "Raise alkalinity",
    "lower_ph": "Lower pH",
    "protect_nitrite": "Protect the fish from nitrite",
    "dechlorinate": "Take out chlorine",
    "iron": "Add iron",
    "dilute": "Change water",
    "carbonate_media": "Hang up shell or limestone",
    "supplement": "Add what is short",
}
REFUSED = later("Do not do it")
READ_FIRST = later("Read first")
ALREADY = later("Nothing to do")
UNFORETOLD = later("Measure pH an hour later: in this water it cannot be foretold.")


def answer(found: DosePlan | Refusal) -> DoseWords:
    """Put a plan or a refusal into words."""
    if isinstance(found, Refusal):
        head = (
            READ_FIRST if found.ask else ALREADY if found.code in ("refuse.reached", "refuse.no_chlorine") else REFUSED
        )
        return DoseWords(
            tr(head), (), reasons(found.why), (), reasons(found.instead), (), tuple(caution(c) for c in found.cautions)
        )
    expect = [*found.expect]
    if found.again_days is not None and found.again_days.middle < 1e4:
        band = found.again_days
        expect.append(Reason("doses.again", {"low": band.low, "middle": band.middle, "high": band.high}))
    return DoseWords(
        tr(HEADLINES[found.goal.kind]),
        tuple(step(item) for item in found.steps),
        reasons(found.reasons),
        reasons(expect),
        (),
        reasons(found.not_to_do),
        tuple(caution(code) for code in found.cautions),
    )


def step(item: Step) -> StepWords:
    """Put one step into words."""
    lines = []
    if item.dissolve_l is not None:
        lines.append(_dissolve(item, item.dissolve_l))
    if item.ph_before is not None and item.ph_settled is not None:
        before, settled = number(item.ph_before, 3), number(item.ph_settled, 3)
        if item.ph_at_once is None:
            goes = say("pH goes from about {a} to {b} once the air has evened it out.", a=before, b=settled)
        else:
            at_once = number(item.ph_at_once, 3)
            goes = say(
                "pH goes from about {a} to {b} at once, to {c} once the air has evened it out.",
                a=before, b=at_once, c=settled,
            )  # fmt: skip
        lines.append(goes)
    elif item.ph_before is not None:
        lines.append(tr(UNFORETOLD))
    if item.adds_mg_l:
        lines.append(_brings(item.adds_mg_l))
    lines += reasons(item.notes)
    given = item.substance
    title = tr("Change water") if given == "water" else say("Give {supply}", supply=words.supply(given))
    day = (
        tr("Today")
        if item.day == 0
        else tr("Tomorrow")
        if item.day == 1
        else say("Day\u00a0{number}", number=item.day + 1)
    )
    when = say("{day}, {time}", day=day, time=clock(time(item.hour)))
    return StepWords(when, title, amount(item.amount, item.unit, 3), tuple(lines))


def _brings(adds_mg_l: Mapping[str, float]) -> str:
    brought = listed(f"{words.quantity(name)} {amount(value, 'mg/L')}" for name, value in adds_mg_l.items())
    return say("It brings {brought}.", brought=brought)


def _dissolve(item: Step, litres: float) -> str:
    row = facts.supplements().get(item.substance)
    solid = row is not None and row.solubility_g_l is not None and item.amount > row.solubility_g_l * litres
    if solid:
        return say(
            "Stir it into {litres} of water and pour the milk where water moves: it dissolves slowly.",
            litres=amount(litres, "L"),
        )
    return say("Dissolve it in {litres} of water first.", litres=amount(litres, "L"))


@dataclass(frozen=True)
class AddedWords:
    """What one dose would do, in words."""

    headline: str
    lines: tuple[str, ...]
    care: tuple[str, ...]
    cautions: tuple[str, ...]


def added(found: Added) -> AddedWords:
    """Put what a dose would do into words."""
    lines = []
    if found.ph_before is not None and found.ph_settled is not None and found.ph_at_once is not None:
        ph = [number(band.middle, 3) for band in (found.ph_before, found.ph_at_once, found.ph_settled)]
        lines.append(
            say(
                "pH goes from about {a} to {b} at once, and to {c} once the air has evened it out.",
                a=ph[0],
                b=ph[1],
                c=ph[2],
            )
        )
    elif found.ph_before is not None:
        lines.append(tr(UNFORETOLD))
    if found.alkalinity_meq_l is not None:
        after = found.alkalinity_meq_l
        lines.append(
            say("Alkalinity is then {low} to {high}.", low=number(after.low), high=amount(after.high, "meq/L"))
        )
    if found.adds_mg_l:
        lines.append(_brings(found.adds_mg_l))
    if found.fine and found.most_g < 1e5:
        lines.append(say("One day allows {most}.", most=amount(found.most_g, "g")))
    care = [*reasons(found.reasons)]
    if found.refused is not None:
        care += [*reasons(found.refused.why), *reasons(found.refused.instead)]
    given = {"grams": amount(found.grams, "g", 3), "supply": words.supply(found.substance)}
    return AddedWords(
        say("{grams} of {supply}: within what one day allows.", **given)
        if found.fine
        else say("{grams} of {supply}: not so.", **given),
        tuple(lines),
        tuple(care),
        tuple(caution(code) for code in found.cautions),
    )


def unread(found: Since) -> str:
    """Say what went in since the reading an answer stands on, which must be read anew; empty if nothing did."""
    if not found.given:
        return ""
    name = words.quantity(found.quantity)
    lines = (happened(entry) for entry in found.given)
    done = "; ".join(line[:1].lower() + line[1:] for line in lines)
    told = {"quantity": name, "done": done}
    if found.read is None:
        return say(
            "While nobody read {quantity}: {done}. The amounts here do not count that, so read {quantity} first.",
            **told,
        )
    return say(
        "Since {quantity} was read: {done}. The amounts here do not count that, so read {quantity} first.", **told
    )


def rest(found: DosePlan, shown_days: int) -> str:
    """Sum up the days after the first ones; empty where there are none."""
    after = [item for item in found.steps if item.day >= shown_days]
    if not after:
        return ""
    first, last = after[0].day + 1, after[-1].day + 1
    when = (
        say("Day\u00a0{number}", number=first)
        if first == last
        else say("Days {first} to {last}", first=first, last=last)
    )
    parts = []
    for name, unit in dict.fromkeys((item.substance, item.unit) for item in after):
        by_day: dict[int, float] = {}
        for item in after:
            if item.substance == name:
                by_day[item.day] = by_day.get(item.day, 0.0) + item.amount
        thing = tr("water changed") if name == "water" else words.supply(name)
        most = amount(max(by_day.values()), unit, 3)
        parts.append(say("{most} of {thing} a day at most, in the same parts", most=most, thing=thing))
    return say("{when}: {parts}. Read before each.", when=when, parts=listed(parts))


def reasons(items: Iterable[Reason]) -> tuple[str, ...]:
    """Put reasons into words, in their order."""
    return tuple(reason(item) for item in items)


def reason(item: Reason) -> str:
    """Put one reason into words, also one of those every plan shares."""
    code = "refuse.tan_open" if item.code == "refuse.tan" and item.values.get("high") is None else item.code
    if code not in REASONS:
        return words.reason(item)
    return capital(filled(REASONS[code], _named(item.values)))


def _named(values: Mapping[str, object]) -> dict[str, object]:
    out = dict(values)
    for key in ("quantity", "element"):
        if isinstance(out.get(key), str):
            out[key] = words.quantity(str(out[key]))
    if isinstance(out.get("supply"), str):
        out["supply"] = words.supply(str(out["supply"]))
    if isinstance(out.get("species"), str):
        row = facts.species().get(str(out["species"]))
        out["species"] = str(out["species"]) if row is None else tr(row.common_name).lower()
    if isinstance(out.get("substance"), str):
        out["substance"] = tr(str(out["substance"]).replace("_", " "))
    share = out.get("share")
    if isinstance(share, float):
        out["tenths"] = number(float(max(1, round(10.0 * share))))
    for key in ("high", "middle"):
        # A span without end, such as base that is never used up, is a year at least.
        if isinstance(out.get(key), float) and out[key] == float("inf"):
            out[key] = tr("more than a year")
    names, parts = out.get("elements"), out.get("mg_l")
    if isinstance(names, tuple):
        out["elements"] = listed(words.quantity(str(name)) for name in names)
        if isinstance(parts, tuple):
            pairs = zip(names, parts, strict=True)
            out["brought"] = listed(
                f"{words.quantity(str(n))} {amount(float(str(v)), UNITS.get(str(n), 'mg/L'))}" for n, v in pairs
            )
    if isinstance(out.get("quantities"), tuple):
        out["tests"] = listed(words.quantity(str(name)) for name in out["quantities"])  # type: ignore[attr-defined]
    return out
