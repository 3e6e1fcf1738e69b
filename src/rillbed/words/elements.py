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
from rillbed.words import doses as dose_words
from rillbed.words.cautions import caution as caution
from rillbed.words.elements_phrases import CHECKS, ELEMENTS, LINES, REASONS, SIGNS, SUSPECTS
from rillbed.words.numbers import NBSP, amount, between, chance, day, filled, listed, number

HEADLINES: dict[str, str] = {
    "nothing_needed": "Add nothing",
    "no_plants": "Add nothing",
    "refused": "Add nothing yet",
}


def element(code: str) -> str:
    """Name of an element inside a sentence."""
    return ELEMENTS.get(code, words.quantity(code))


def reason(item: Reason) -> str:
    """Put one reason into words, also one that every plan shares."""
    code = item.code
    if code.startswith("clue.") and code not in REASONS:
        # Readings of elements share their two sentences.
        side = "is under" if code.endswith("_short") else "is not under"
        template = f"{{element}} is at {{value:mg/L}}, which {side} {{mark:mg/L}}."
    elif code in REASONS:
        template = REASONS[code]
    else:
        return dose_words.reason(item)
    return _capital(filled(template, _named(item.values)))


def reasons(items: Iterable[Reason]) -> tuple[str, ...]:
    """Put reasons into words, in their order."""
    return tuple(reason(item) for item in items)


def shortage(item: Shortage) -> str:
    """Say when one element runs short, in a sentence."""
    now = f"{between(item.now_mg_l.low, item.now_mg_l.high)}{NBSP}mg/L"
    name = _capital(element(item.element))
    floor = amount(item.floor_mg_l, "mg/L")
    if item.is_short:
        return f"{name}: {now}, under the {floor} that plants need."
    early, middle, late = item.dates
    if middle is None:
        tail = f"{chance(item.chance)} to fall under {floor} in the time ahead" if early else f"stays above {floor}"
        return f"{name}: {now}, {tail}."
    if late is None or early == late:
        return f"{name}: {now}, under {floor} about {day(middle)}."
    return f"{name}: {now}, under {floor} about {day(middle)}, between {day(early)} and {day(late)}."


def against(item: Against) -> str:
    """Say how a reading contradicts the ledger."""
    if item.low_mg_l is not None and item.high_mg_l is not None:
        read = f"{between(item.low_mg_l, item.high_mg_l)}{NBSP}mg/L"
    elif item.high_mg_l is None:
        read = f"at least {amount(item.low_mg_l or 0.0, 'mg/L')}"
    else:
        read = f"at most {amount(item.high_mg_l, 'mg/L')}"
    foreseen = f"{between(item.foreseen_mg_l.low, item.foreseen_mg_l.high)}{NBSP}mg/L"
    why = listed([SUSPECTS[code] for code in item.suspects], "or")
    return (
        f"{_capital(element(item.element))} was read at {read} on {day(item.on)}; the books foresaw {foreseen}. "
        f"At least {amount(item.gap_g, 'g')} {'are missing' if item.side == 'less' else 'too many'}: {why}."
    )


def supplements_headline(found: Supplements) -> str:
    """Headline of the plan of doses; a plan names what is short."""
    short = [element(gap.element) for gap in found.gaps if gap.element != ALKALINITY]
    if found.code == "plan":
        return f"Add {listed(short) if short else 'base'}"
    if found.code == "read_first":
        return f"Test {listed(element(name) for name in found.read_first)} first"
    return HEADLINES[found.code]


def supplements_lines(found: Supplements) -> tuple[str, ...]:
    """Give what stands under the headline: why, what to read, what is left, and what it costs."""
    out = [*reasons(gap.why for gap in found.gaps), *reasons(found.notes)]
    if found.read_first:
        out.append(
            f"Test {listed(element(name) for name in found.read_first)}: it may be short, and was not read lately."
        )
    if found.by_base:
        out.append(f"The base brings {listed(element(name) for name in found.by_base)} as well.")
    if found.total is not None:
        out.append(f"It costs about {number(found.total)} by your prices.")
    return tuple(out)


def account_row(item: Account) -> tuple[str, ...]:
    """Cells of the ledger's table: name, held, in, out, to fish, to solids; g, middle of the members."""
    held = "not known" if item.held_g is None else number(item.held_g.middle)
    return (
        _capital(element(item.element)), held, _sides(item.lines, 1.0), _sides(item.lines, -1.0),
        number(item.fish_g.middle), number(item.solids_g.middle),
    )  # fmt: skip


def _sides(lines: Iterable[Line], sign: float) -> str:
    parts = [f"{LINES[x.cause]} {number(abs(x.grams.middle))}" for x in lines if sign * x.grams.middle > 0.0]
    return ", ".join(parts) or "nothing"


def cause_title(item: Cause) -> str:
    """Name of a cause with its chance."""
    return f"{remedies.symptoms()[item.code].name} ({chance(item.chance)})"


def check(code: str) -> str:
    """Say what to look at or read."""
    if code.startswith("read."):
        return f"test {words.quantity(code.removeprefix('read.'))}"
    return SIGNS[code.removeprefix("sign.")] if code.startswith("sign.") else CHECKS[code]


def trace(item: Trace) -> str:
    """How to give a trace."""
    return (
        f"Dissolve {amount(item.stock_g, 'g')} of {words.supply(item.supply)} in {amount(item.stock_l, 'L')} of water, "
        f"and put {amount(item.stock_ml, 'mL')} of that in, once; it lifts {element(item.element)} by "
        f"{amount(item.rise_mg_l, 'mg/L')}."
    )


def _named(values: Mapping[str, object]) -> dict[str, object]:
    out = dict(values)
    if isinstance(out.get("element"), str):
        out["element"] = element(str(out["element"]))
    if isinstance(out.get("elements"), tuple):
        out["elements"] = listed(element(str(name)) for name in out["elements"]) if out["elements"] else ""  # type: ignore[attr-defined]
    if isinstance(out.get("spray"), str):
        out["spray"] = remedies.sprays()[str(out["spray"])].name
    if "sign" in out:
        out["shown"] = f"{_capital(str(out['sign']))}: {str(out['answer']).replace('_', ' ')}"
    return out


def _capital(text: str) -> str:
    return text if text.startswith("pH") else text[:1].upper() + text[1:]
