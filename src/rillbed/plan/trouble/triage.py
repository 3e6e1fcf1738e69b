"""The way through: clues, chances, actions worth taking, what not to do, one question, and what to read next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from uuid import NAMESPACE_URL, uuid5

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.facts import trouble
from rillbed.garden.log import LogEntry
from rillbed.garden.quantities import QUANTITIES
from rillbed.garden.readings import Reading
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.advice import Value as Figure
from rillbed.plan.trouble.amounts import Much, later, much
from rillbed.plan.trouble.answer import Do, Found, NextTest, Question, Refused, Triage
from rillbed.plan.trouble.ask import BASES, BASIS, Value, gain, likeliest, question
from rillbed.plan.trouble.bans import bans
from rillbed.plan.trouble.choose import because, chosen, pointless, worth
from rillbed.plan.trouble.signs import Scene, one, scene
from rillbed.plan.trouble.weigh import Chances, Signs, evidence, weigh

FISH_AXES = frozenset({"fish", "stock"})
# Clues that stand behind others, so that an answer is followed through the verdict and not only through its own step.
FOLLOWED = frozenset({"tan", "ph", "no2", "temperature"})
# Actions on fish, of no use where none live.
FOR_FISH = ("feed.", "salt.protect", "dead.", "leftovers.", "fish.thin", "fish.isolate", "fish.move", "oxygen.", "air.")
TOLD = 4
BASIS_MINUTES = 0.5
BY_BASIS = ("salt.protect", "water.change")
STRONG = 0.25


def triage(
    system: System,
    entries: Sequence[LogEntry],
    *,
    on: date,
    assumed: tuple[str, ...] = (),
    forecast: Forecast | None = None,
) -> Triage:
    """Answer from whatever is known.

    Parameters
    ----------
    system : System
        The loop.
    entries : sequence of LogEntry
        The log, any order; observations whose ``what`` is the code of a clue carry what was seen.
    on : date
        Day to answer for; later entries are unseen.
    assumed : tuple of str
        What the caller had to fill in, handed through.
    forecast : Forecast, optional
        Members that speak where nobody read: in the verdict, the doses and the hours of oxygen.

    Raises
    ------
    GardenError
        If the log contradicts itself.
    """
    now = scene(system, entries, on, forecast)
    skip = frozenset() if now.who.fish else FISH_AXES
    chances = weigh(now.signs, skip)
    refusals = bans(now, chances)
    barred = _barred(refusals) | pointless(now.signs)
    if not now.who.fish:
        barred |= {code for code in trouble.actions() if code.startswith(FOR_FISH)}
    net = worth(chances, barred=barred)
    actions, refused = _actions(chosen(net), net, chances, now)
    first, second = _ask(now, entries, chances, skip, barred, actions)
    tests = _tests(now, chances)
    cautions = tuple(dict.fromkeys(code for item in actions for code in item.cautions))
    return Triage(
        on=on,
        findings=_findings(now.signs, chances),
        actions=actions,
        refusals=(*refusals, *refused),
        question=first,
        then_ask=second,
        next_tests=tests,
        contradictions=(*now.verdict.contradictions, *_clashes(now)),
        hidden=() if now.hidden is None else (now.hidden.reason,),
        unknown_basis=now.verdict.unknown_basis,
        cautions=cautions,
        bands=_bands(now),
        assumed=assumed,
        wait=not any(item.kind in ("do", "stop", "expert") and item.urgency < 3 for item in actions),
    )


def _barred(refusals: Sequence[Refused]) -> frozenset[str]:
    """Actions that a ban takes off the list."""
    table = {
        "refuse.raise_ph_with_ammonia": ("base.small",),
        "refuse.more_acid": (),
        "refuse.cold_change": (),
        "refuse.more_fish": ("fish.add_later",),
    }
    return frozenset(code for item in refusals for code in table.get(item.code, ()))


def _findings(signs: Signs, chances: Chances) -> tuple[Found, ...]:
    """Every finding worth telling, by axis in the order of safety, the likeliest of each axis first."""
    out = []
    for axis in chances.active:
        for item in trouble.axes()[axis]:
            if item.quiet or chances.of[item.id] < facts.value("trouble.shown"):
                continue
            told = [(weight, clue) for weight, clue in evidence(item.id, signs) if abs(weight) > STRONG]
            out.append(
                Found(
                    item.id, axis, chances.of[item.id], item.urgency,
                    tuple(_clue(clue, signs) for weight, clue in told if weight > 0.0)[:TOLD],
                    tuple(_clue(clue, signs) for weight, clue in told if weight < 0.0)[:TOLD],
                    item.grade, item.source,
                )
            )  # fmt: skip
    return tuple(sorted(out, key=lambda item: (item.urgency, -item.probability)))


def _clue(clue: str, signs: Signs) -> Reason:
    weights = signs[clue]
    answer = trouble.clues()[clue].answers[weights.index(max(weights))]
    return Reason("clue", {"clue": clue, "answer": answer, "share": max(weights)})


def _actions(
    codes: Sequence[str], net: Mapping[str, float], chances: Chances, now: Scene
) -> tuple[tuple[Do, ...], tuple[Refused, ...]]:
    """Give each action its amount; what the plan for a dose refuses goes to the refusals."""
    out, refused = [], []
    for code in codes:
        row = trouble.actions()[code]
        found = much(row.amount, now)
        if found.refused is not None and found.refused.ask is None:
            refused.append(Refused(found.refused.code, row.urgency, found.refused.why))
            continue
        if row.amount == "thin" and found.amount is None and now.state.fish_count and "crowding" in now.signs:
            continue
        out.append(_do(code, found, net[code], because(code, chances)))
    return tuple(out), tuple(refused)


def _do(code: str, found: Much, gain: float, why: tuple[str, ...]) -> Do:
    row = trouble.actions()[code]
    return Do(
        code, row.kind, row.urgency, found.amount, found.unit, row.hours, found.rate, why, found.details,
        tuple(dict.fromkeys((*row.cautions, *found.cautions))), row.safe, gain, row.grade, row.source,
    )  # fmt: skip


def _ask(
    now: Scene, entries: Sequence[LogEntry], chances: Chances, skip: frozenset[str], barred: frozenset[str],
    actions: Sequence[Do],
) -> tuple[Question, Question | None]:  # fmt: skip
    unknown = [code for code, row in trouble.clues().items() if row.minutes > 0.0 and code not in now.signs]
    interim = tuple(item.code for item in actions if item.safe and item.kind in ("do", "stop"))[:3]
    if not interim:
        interim = ("air.add",) if now.who.fish and chances.active & FISH_AXES else ("dose.none_yet",)

    def suppose(clue: str, answer: str) -> Signs:
        row = trouble.clues()[clue]
        if clue in FOLLOWED:
            return scene(
                now.system, [*entries, _reading(row.quantity, row, answer, now.on)], now.on, now.forecast
            ).signs
        return {**now.signs, clue: one(row, answer)}

    ready = tuple(kit.quantity for kit in now.system.kits)
    basis = _basis(now, entries, chances, skip, barred) if now.verdict.unknown_basis else None
    return question(unknown, chances, suppose, skip, barred, interim, ready, basis)


def _basis(
    now: Scene, entries: Sequence[LogEntry], chances: Chances, skip: frozenset[str], barred: frozenset[str]
) -> Value:
    """Reckon what knowing whether the kits count N or the ion is worth: both are carried until then."""
    nets, leads = [], {}
    for basis in BASES:
        told = [_counted(entry, basis) for entry in entries]
        after = weigh(scene(now.system, told, now.on, now.forecast).signs, skip)
        nets.append(worth(after, chances.active, barred))
        leads[basis] = likeliest(after, chances.active)
    saving, changes = gain((0.5, 0.5), nets, BASIS_MINUTES)
    # The actions may stay the same; their amounts do not, by a factor of three for salt.
    amounts = sum(max(0.0, worth(chances, barred=barred).get(code, 0.0)) for code in BY_BASIS)
    if amounts > 0.0:
        saving, changes = saving + facts.value("trouble.amount_share") * amounts, 1.0
    return Value(BASIS, saving, BASIS_MINUTES, changes, leads)


def _counted(entry: LogEntry, basis: str) -> LogEntry:
    payload = entry.payload
    if isinstance(payload, Reading) and payload.basis is None and payload.quantity in ("tan", "no2", "no3"):
        return entry.model_copy(update={"payload": payload.model_copy(update={"basis": basis})})
    return entry


def _reading(quantity: str, row: trouble.Clue, answer: str, on: date) -> LogEntry:
    """Make the reading that an answer stands for."""
    place = row.answers.index(answer)
    bounds = (None, *row.edges, None)
    low, high = bounds[place], bounds[place + 1]
    at = datetime(on.year, on.month, on.day, 23, 59, tzinfo=UTC)
    name = str(uuid5(NAMESPACE_URL, f"suppose:{quantity}:{answer}"))
    if quantity == "temperature":
        ends = (low if low is not None else row.edges[0] - 4.0, high if high is not None else row.edges[-1] + 4.0)
        payload: dict[str, object] = {"value": 0.5 * (ends[0] + ends[1]), "low": ends[0], "high": ends[1]}
        return LogEntry.make({"uuid": name, "at": at, "kind": "temperature", "payload": payload})
    low = 0.0 if low is None and quantity != "ph" else low
    payload = {"quantity": quantity, "low": low, "high": high, "unit": QUANTITIES[quantity].unit, "basis": "n"}
    if quantity == "ph":
        del payload["basis"]
    return LogEntry.make({"uuid": name, "at": at, "kind": "reading", "payload": payload})


def _tests(now: Scene, chances: Chances) -> tuple[NextTest, ...]:
    """One reading per thing, the soonest; each says what it should show if the finding is right."""
    found: dict[str, NextTest] = {}
    told = [
        item
        for axis in chances.active
        for item in trouble.axes()[axis]
        if not item.quiet and item.expect and chances.of[item.id] >= 2.0 * facts.value("trouble.shown")
    ]
    for item in sorted(told, key=lambda row: (row.urgency, -chances.of[row.id])):
        seen = now.last(item.retest) if item.retest in QUANTITIES else None
        values: dict[str, Figure] = {"days": item.after_days}
        if seen is not None:
            values |= {"low": seen.least, "high": seen.most}
        if item.retest not in found:
            when = later(now.on, item.after_days)
            found[item.retest] = NextTest(item.retest, when, item.after_days, Reason(f"expect.{item.expect}", values),
                                          item.id)  # fmt: skip
    return tuple(found.values())


def _clashes(now: Scene) -> tuple[Reason, ...]:
    """Two answers to one thing at one moment, and machines that cannot run without power."""
    out = [Reason("clash.answers", {"clue": clue, "answer": a, "other": b}) for clue, a, b in now.clashes]
    table = trouble.clues()

    def told(clue: str, answer: str) -> bool:
        weights = now.signs.get(clue)
        return weights is not None and weights[table[clue].answers.index(answer)] == 1.0

    for clue, answer, other, second in CLASH:
        if told(clue, answer) and told(other, second):
            out.append(Reason("clash.pair", {"clue": clue, "answer": answer, "other": other, "second": second}))
    return tuple(out)


CLASH = (
    ("power", "off", "pump", "running"), ("leaf", "well", "pattern", "even_yellow"), ("dying", "no", "who", "new_fish"),
    ("dying", "no", "who", "large_first"), ("sun", "shaded", "daily_swing", "yes"),
    ("gasping", "all", "oxygen", "good"), ("gasping", "no", "gasping_when", "dawn"),
    ("leaf", "well", "pattern", "between_veins"),
)  # fmt: skip


def _bands(now: Scene) -> tuple[Mapping[str, Figure], ...]:
    """Bands of the verdict in short: what the water itself says."""
    return tuple(
        {"code": band.code, "level": band.level, "worst": band.worst, "unit": band.unit, "basis": band.basis,
         "chance": band.chance("act"), "binding": band.binding}
        for band in now.verdict.bands if band.applies
    )  # fmt: skip
