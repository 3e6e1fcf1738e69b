"""Nutrients, leaves and sprays in words: one place for the command line and the pages."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rillbed import words
from rillbed.facts import remedies
from rillbed.plan.advice import Reason
from rillbed.plan.doses.schedule import ALKALINITY
from rillbed.plan.elements.evidence import Against
from rillbed.plan.elements.ledger import Account, Line
from rillbed.plan.elements.short import Shortage
from rillbed.plan.elements.supplements import Supplements
from rillbed.plan.elements.symptoms import Cause
from rillbed.plan.elements.traces import Trace
from rillbed.tongue import later, tr
from rillbed.words import doses as dose_words
from rillbed.words.cautions import caution as caution
from rillbed.words.elements_phrases import CHECKS, ELEMENTS, LINES, REASONS, SIGNS, SUSPECTS
from rillbed.words.numbers import NBSP, amount, between, capital, chance, day, filled, listed, number, say

HEADLINES: dict[str, str] = {
    "nothing_needed": "Add nothing",
    "no_plants": "Add nothing",
    "refused": "Add nothing yet",
}


UNDER = later("{element} is at {value:mg/L}, which is under {mark:mg/L}.")
NOT_UNDER = later("{element} is at {value:mg/L}, which is not under {mark:mg/L}.")


def element(code: str) -> str:
    """Name of an element inside a sentence."""
    return tr(ELEMENTS[code]) if code in ELEMENTS else words.quantity(code)


def reason(item: Reason) -> str:
    """Put one reason into words, also one that every plan shares."""
    code = item.code
    if code.startswith("clue.") and code not in REASONS:
        # Readings of elements share their two sentences.
        template = UNDER if code.endswith("_short") else NOT_UNDER
    elif code in REASONS:
        template = REASONS[code]
    else:
        return dose_words.reason(item)
    return capital(filled(template, _named(item.values)))


def reasons(items: Iterable[Reason]) -> tuple[str, ...]:
    """Put reasons into words, in their order."""
    return tuple(reason(item) for item in items)


def shortage(item: Shortage) -> str:
    """Say when one element runs short, in a sentence."""
    told = {
        "element": capital(element(item.element)),
        "now": _mg_l(item.now_mg_l.low, item.now_mg_l.high),
        "floor": amount(item.floor_mg_l, "mg/L"),
    }
    if item.is_short:
        return say("{element}: {now}, under the {floor} that plants need.", **told)
    early, middle, late = item.dates
    if middle is None and early:
        likely = chance(item.chance)
        return say("{element}: {now}, {likely} to fall under {floor} in the time ahead.", likely=likely, **told)
    if middle is None:
        return say("{element}: {now}, stays above {floor}.", **told)
    about = day(middle)
    if late is None or early == late:
        return say("{element}: {now}, under {floor} about {day}.", day=about, **told)
    return say(
        "{element}: {now}, under {floor} about {day}, between {early} and {late}.",
        day=about, early=day(early), late=day(late), **told,
    )  # fmt: skip


def _mg_l(low: float, high: float) -> str:
    return f"{between(low, high)}{NBSP}{tr('mg/L')}"


def against(item: Against) -> str:
    """Say how a reading contradicts the ledger."""
    if item.low_mg_l is not None and item.high_mg_l is not None:
        read = _mg_l(item.low_mg_l, item.high_mg_l)
    elif item.high_mg_l is None:
        read = say("at least {least}", least=amount(item.low_mg_l or 0.0, "mg/L"))
    else:
        read = say("at most {most}", most=amount(item.high_mg_l, "mg/L"))
    told = {
        "element": capital(element(item.element)),
        "read": read,
        "day": day(item.on),
        "foreseen": _mg_l(item.foreseen_mg_l.low, item.foreseen_mg_l.high),
        "gap": amount(item.gap_g, "g"),
        "why": listed([tr(SUSPECTS[code]) for code in item.suspects], "or"),
    }
    if item.side == "less":
        return say(
            "{element} was read at {read} on {day}; the books foresaw {foreseen}. At least {gap} are missing: {why}.",
            **told,
        )
    return say(
        "{element} was read at {read} on {day}; the books foresaw {foreseen}. At least {gap} too many: {why}.", **told
    )


def supplements_headline(found: Supplements) -> str:
    """Headline of the plan of doses; a plan names what is short."""
    short = [element(gap.element) for gap in found.gaps if gap.element != ALKALINITY]
    if found.code == "plan":
        return say("Add {elements}", elements=listed(short)) if short else tr("Add base")
    if found.code == "read_first":
        return say("Test {elements} first", elements=listed(element(name) for name in found.read_first))
    return tr(HEADLINES[found.code])


def supplements_lines(found: Supplements) -> tuple[str, ...]:
    """Give what stands under the headline: why, what to read, what is left, and what it costs."""
    out = [*reasons(gap.why for gap in found.gaps), *reasons(found.notes)]
    if found.read_first:
        unread = listed(element(name) for name in found.read_first)
        out.append(say("Test {elements}: it may be short, and was not read lately.", elements=unread))
    if found.by_base:
        brought = listed(element(name) for name in found.by_base)
        out.append(say("The base brings {elements} as well.", elements=brought))
    if found.total is not None:
        out.append(say("It costs about {total} by your prices.", total=number(found.total)))
    return tuple(out)


def account_row(item: Account) -> tuple[str, ...]:
    """Cells of the ledger's table: name, held, in, out, to fish, to solids; g, middle of the members."""
    held = tr("not known") if item.held_g is None else number(item.held_g.middle)
    return (
        capital(element(item.element)), held, _sides(item.lines, 1.0), _sides(item.lines, -1.0),
        number(item.fish_g.middle), number(item.solids_g.middle),
    )  # fmt: skip


def _sides(lines: Iterable[Line], sign: float) -> str:
    parts = [f"{tr(LINES[x.cause])} {number(abs(x.grams.middle))}" for x in lines if sign * x.grams.middle > 0.0]
    return ", ".join(parts) or tr("nothing")


def cause_title(item: Cause) -> str:
    """Name of a cause with its chance."""
    return f"{tr(remedies.symptoms()[item.code].name)} ({chance(item.chance)})"


def check(code: str) -> str:
    """Say what to look at or read."""
    if code.startswith("read."):
        return say("test {quantity}", quantity=words.quantity(code.removeprefix("read.")))
    return tr(SIGNS[code.removeprefix("sign.")] if code.startswith("sign.") else CHECKS[code])


def trace(item: Trace) -> str:
    """How to give a trace."""
    return say(
        "Dissolve {grams} of {supply} in {litres} of water, and put {millilitres} of that in, once; it lifts {element} "
        "by {rise}.",
        grams=amount(item.stock_g, "g"),
        supply=words.supply(item.supply),
        litres=amount(item.stock_l, "L"),
        millilitres=amount(item.stock_ml, "mL"),
        element=element(item.element),
        rise=amount(item.rise_mg_l, "mg/L"),
    )


def _named(values: Mapping[str, object]) -> dict[str, object]:
    out = dict(values)
    if isinstance(out.get("element"), str):
        out["element"] = element(str(out["element"]))
    if isinstance(out.get("elements"), tuple):
        out["elements"] = listed(element(str(name)) for name in out["elements"]) if out["elements"] else ""  # type: ignore[attr-defined]
    if isinstance(out.get("spray"), str):
        out["spray"] = tr(remedies.sprays()[str(out["spray"])].name)
    for key in ("pest", "substance"):
        if isinstance(out.get(key), str):
            out[key] = tr(str(out[key]).replace("_", " "))
    if "sign" in out:
        out["shown"] = f"{capital(tr(str(out['sign'])))}: {tr(str(out['answer']).replace('_', ' '))}"
    return out
