"""What a log has taught, and where a start-up stands, in sentences."""

from __future__ import annotations

from rillbed import words
from rillbed.plan.advice import Reason, Values
from rillbed.plan.learned import Learned, Question, Taught
from rillbed.plan.startup import Expected, Startup
from rillbed.plan.trust import Kept, Trust
from rillbed.tongue import tr
from rillbed.words.learned_phrases import NAMES
from rillbed.words.numbers import between, capital, listed, say

PLAIN = ("ph",)  # without a unit
SALTY = ("ec", "na", "cl", "k", "ca", "mg", "s", "gh", "fe")  # what neither feed nor a dead fish brings at once
EVIDENCE = {"weighed": "fish weighed", "died": "fish died", "picked": "pickings", "refused": "feed refused"}


def expected(item: Expected) -> str:
    """Say what the next test of a quantity should read."""
    low, high = item.band.low, item.band.high
    if item.quantity in PLAIN:
        return say("pH on {on:day}: {range}.", on=item.on, range=between(low, high))
    name = capital(words.quantity(item.quantity))
    return say("{quantity} on {on:day}: {range} mg/L as N.", quantity=name, on=item.on, range=between(low, high))


def standstill(start: Startup) -> tuple[str, ...]:
    """Say whether the bacteria grow and, if not, the likely causes and the reading that tells them apart."""
    found = start.stalled
    head = words.reason(Reason(f"stall.{found.state}", {"growth": found.growth}))
    if found.state == "moving":
        return (head,)
    causes = tuple(words.reason(cause.why) for cause in found.causes)
    read = (words.reason(Reason("stall.read", {"quantity": found.read})),) if found.read else ()
    return (head, *causes, *read)


def question(item: Question) -> str:
    """Ask about readings that nothing foresaw."""
    values: Values = {
        "quantity": item.quantity,
        "on": item.on.isoformat(),
        "low": item.low,
        "high": item.high,
        "litres": item.litres,
    }
    salt = item.event == "more_came_in" and item.quantity in SALTY
    return words.reason(Reason("odd.salt_came_in" if salt else f"odd.{item.event}", values))


def taught(item: Taught) -> str:
    """Name one learned direction, with how wide it still is."""
    named = listed(dict.fromkeys(called(name) for name in item.names))
    tenths = max(1, round(10 * item.spread))
    if tenths > 1:
        return say(
            "{name}: its range is about {tenths} tenths of what it was before the log.",
            name=capital(named),
            tenths=tenths,
        )
    return say("{name}: its range is a tenth or less of what it was before the log.", name=capital(named))


def called(name: str) -> str:
    """Plain name of what the members differ in; a kit, an eye or a weighing goes by what it is."""
    if name in NAMES:
        return tr(NAMES[name])
    if name.startswith("weigh"):
        return tr("what a weighing showed")
    if ":" in name or name.startswith(("kit", "eye")):
        return tr("how your kits and eyes read")
    return name.replace("_", " ")


def wanted(known: Learned) -> tuple[str, ...]:
    """List what would sharpen the forecast, most first."""
    return tuple(words.reason(Reason(f"want.{one.act}")) for one in known.wanted)


def score(found: Trust) -> str:
    """Sum up how the forecasts did."""
    if not found.count:
        return words.reason(Reason("trust.none"))
    return words.reason(Reason("trust.score", {"inside": found.inside, "count": found.count}))


def kept(item: Kept) -> tuple[str, str, str, str, str]:
    """One row of the table: what, how many, inside, under, over."""
    return kept_name(item.quantity), str(item.count), str(item.inside), str(item.under), str(item.over)


def kept_name(quantity: str) -> str:
    """Name of a reading or another piece of evidence."""
    return capital(tr(EVIDENCE[quantity]) if quantity in EVIDENCE else words.quantity(quantity))
