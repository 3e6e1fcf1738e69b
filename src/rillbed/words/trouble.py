"""A way through trouble in words: findings, actions, refusals, the question, the next test."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rillbed.facts import trouble as table
from rillbed.plan.advice import Reason
from rillbed.plan.trouble import Do, Found, NextTest, Question, Refused
from rillbed.tongue import later, tr
from rillbed.words import doses, quantity, reason, supply, verdict
from rillbed.words.cautions import caution as caution
from rillbed.words.numbers import amount, capital, chance, day, filled, say
from rillbed.words.outage import DAY
from rillbed.words.outage import minutes as span
from rillbed.words.phrases import REASONS
from rillbed.words.trouble_actions import ACTIONS
from rillbed.words.trouble_clues import CLUES
from rillbed.words.trouble_findings import FINDINGS
from rillbed.words.trouble_rest import REFUSALS, SAID

WITHIN = (
    (0.0, later("now")), (1.0, later("within the hour")), (6.0, later("within hours")), (24.0, later("today")),
    (72.0, later("within three days")),
)  # fmt: skip
UNITS = {"degC/h": "°C an hour", "g/day": "g a day", "days": "days", "m2": "m²", "fish": "fish"}


def found(item: Found) -> str:
    """One finding: what it is, how likely, and why it matters."""
    title, why = map(tr, FINDINGS[item.code])
    return f"{title}: {chance(item.probability)}. {why}"


def title(code: str) -> str:
    """Name of a finding."""
    return tr(FINDINGS[code][0])


def clue(code: str, answer: str) -> tuple[str, str]:
    """Question of a clue and one of its answers, as one says them."""
    asked, *answers = map(tr, CLUES[code])
    return asked, answers[table.clues()[code].answers.index(answer)]


def label(asked: str) -> str:
    """Turn what one is asked to test into the name of what was found.

    Examples
    --------
    >>> label("Test ammonia in the fresh water."), label("Do the fish eat?"), label("Fish per volume")
    ('Ammonia in the fresh water:', 'Do the fish eat?', 'Fish per volume:')
    """
    verb, _, rest = asked.partition(" ")
    if verb in ("Test", "Measure"):
        asked = capital(rest)
    return asked if asked.endswith("?") else f"{asked.rstrip('.')}:"


def do(item: Do) -> str:
    """One action with its amount, when, and its rate."""
    parts = [tr(ACTIONS[item.code])]
    if item.amount is not None and item.unit:
        parts.append(how_much(item))
    text = f"{': '.join(parts)} ({due(item)})."
    return f"{text} {said(item.rate)}" if item.rate is not None else text


def how_much(item: Do) -> str:
    """Amount of an action with its unit, and of what; empty where it has none."""
    if item.amount is None or not item.unit:
        return ""
    if item.unit == "share":
        return f"{round(100.0 * item.amount)} %"
    if item.unit == "min":
        return span(item.amount)
    shown = amount(item.amount, UNITS.get(item.unit, item.unit))
    of = next(
        (str(row["substance"]) for row in item.details if row.get("unit") == item.unit and "substance" in row), ""
    )
    return say("{amount} of {supply}", amount=shown, supply=supply(of)) if of and item.unit in ("g", "mL") else shown


def tank(row: Mapping[str, object]) -> str:
    """One tank of the ranking: how long its fish last."""
    minutes = row["minutes"]
    last = tr("no end in sight")
    if isinstance(minutes, float):
        last = span(minutes) if minutes > DAY else say("about {time}", time=span(minutes))
    return f"{row['tank']}: {last}"


def when(hours: float) -> str:
    """By when, as one says it."""
    return tr(next((text for limit, text in WITHIN if hours <= limit), later("in the coming days or weeks")))


def due(item: Do) -> str:
    """By when an action is due; nobody waits by a time."""
    return tr("meanwhile") if item.kind == "wait" and not item.within_hours else when(item.within_hours)


def interim(codes: Iterable[str]) -> str:
    """Safe actions that stand beside a question."""
    return "; ".join(tr(ACTIONS[code]) for code in codes)


def refused(item: Refused) -> str:
    """One thing not to do, with its reasons."""
    return tr(REFUSALS[item.code]) if item.code in REFUSALS else " ".join(said(why) for why in item.why)


def asked(item: Question) -> str:
    """Return the question, or that no test would change this."""
    if item.code == "ask.none":
        return tr("No test would change what to do now.")
    if item.clue == "basis":
        return tr("Does your kit count nitrogen (NO2-N, NH3-N) or the whole ion (NO2, NH4)? It says so on the leaflet.")
    text, *answers = map(tr, CLUES[item.clue])
    return f"{text} ({'; '.join(answers)})"


def next_test(item: NextTest) -> str:
    """Say what to test when, and what it should show."""
    by = when(24.0 * item.in_days) if item.in_days < 1.0 else say("on {day}", day=day(item.on))
    if item.quantity in ("look", "again", "level", "roots", "weigh"):
        head = say("Look again {when}.", when=by)
    else:
        head = say("Test {quantity} {when}.", quantity=quantity(item.quantity), when=by)
    return f"{head} {said(item.expect)}"


def said(item: Reason) -> str:
    """One step of the argument as a sentence."""
    if item.code not in SAID:
        if item.code.startswith("contradiction."):
            return verdict.reason(item)
        return reason(item) if item.code in REASONS else doses.reason(item)
    return filled(SAID[item.code], _named(item.values))


def _named(values: Mapping[str, object]) -> dict[str, object]:
    out = dict(values)
    if "clue" in out:
        text, out["shown"] = clue(str(out["clue"]), str(out["answer"]))
        out["question"] = label(text)
    if "other" in out and "clue" in out:
        other, second = str(out["other"]), out.get("second")
        text, out["shown_other"] = clue(str(out["clue"]), other) if second is None else clue(other, str(second))
        out["question_other"] = label(text)
    if "finding" in out:
        out["title"] = title(str(out["finding"]))
    if "quantity" in out:
        out["quantity"] = quantity(str(out["quantity"]))
    if isinstance(out.get("binding"), str):
        out["binding"] = tr(str(out["binding"]).replace("_", " "))
    if "share" in out and isinstance(out["share"], float):
        out["share"] = f"{round(100.0 * out['share'])} %"
    return out
