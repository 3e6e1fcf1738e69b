"""The next question, computed: what each unknown fact is expected to save, less what finding it out costs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import log

from rillbed import facts
from rillbed.facts import trouble
from rillbed.plan.trouble.answer import Question
from rillbed.plan.trouble.choose import worth
from rillbed.plan.trouble.weigh import Chances, Signs, likelihoods, weigh

# Signs as they would be if a clue had an answer.
Suppose = Callable[[str, str], Signs]
# The one question that is no clue: what the user's nitrogen kits count.
BASIS, BASES = "basis", ("n", "ion")


@dataclass(frozen=True)
class Value:
    """What one question is worth: expected saving, work, chance to change what is done, and where answers lead."""

    clue: str
    saving: float
    minutes: float
    changes: float
    leads_to: Mapping[str, str]


def value(clue: str, chances: Chances, suppose: Suppose, skip: frozenset[str], barred: frozenset[str]) -> Value:
    """Reckon the expected value of knowing a clue: the best actions after each answer against the best ones now.

    Notes
    -----
    With P(k) the chance of answer k and n_k(a) the worth of action a after it, EVSI = sum_k P(k) sum_a max(0, n_k(a))
    - sum_a max(0, sum_k P(k) n_k(a)), which is never negative.
    """
    row = trouble.clues()[clue]
    odds = _odds(clue, chances)
    nets, leads = [], {}
    for answer in row.answers:
        after = weigh(suppose(clue, answer), skip)
        nets.append(worth(after, chances.active, barred))
        leads[answer] = likeliest(after, chances.active)
    saving, changes = gain(odds, nets, row.minutes)
    return Value(clue, saving, row.minutes, changes, leads)


def gain(odds: Sequence[float], nets: Sequence[Mapping[str, float]], minutes: float) -> tuple[float, float]:
    """Return the expected saving by knowing which of several worths of the actions holds, and the chance to change."""
    mean = {code: sum(p * net[code] for p, net in zip(odds, nets, strict=True)) for code in nets[0]}
    now = sum(max(0.0, item) for item in mean.values())
    saving = sum(p * sum(max(0.0, item) for item in net.values()) for p, net in zip(odds, nets, strict=True)) - now
    changes = 0.0
    for p, net in zip(odds, nets, strict=True):
        better = sum(max(0.0, item) - (item if mean[code] > 0.0 else 0.0) for code, item in net.items())
        changes += p if better > minutes else 0.0
    return max(0.0, saving), changes


def question(
    unknown: Iterable[str], chances: Chances, suppose: Suppose, skip: frozenset[str], barred: frozenset[str],
    interim: tuple[str, ...], ready: Iterable[str] = (), basis: Value | None = None,
) -> tuple[Question, Question | None]:  # fmt: skip
    """Return the question worth most, and the next; ``ask.none`` where no answer would change what is done.

    `ready` names quantities the user can read now: what they cost counts half, so that ties go to them.
    """
    # `basis`: worth of knowing what a kit counts, where nobody said.
    at_hand = frozenset(ready)
    least = facts.value("trouble.changes")
    found = []
    for clue in unknown:
        if not _speaks(clue, chances.active):
            continue
        item = value(clue, chances, suppose, skip, barred)
        cost = item.minutes * (0.5 if clue in at_hand else 1.0)
        if item.saving > cost and item.changes >= least:
            found.append((item.saving - cost, item))
    if basis is not None and basis.saving > basis.minutes:
        found.append((basis.saving - basis.minutes, basis))
    found.sort(key=lambda pair: (-pair[0], pair[1].minutes, pair[1].clue))
    if not found:
        return Question("ask.none", interim=interim), None
    first = _question(found[0][1], interim)
    return first, _question(found[1][1], ()) if len(found) > 1 else None


def _question(item: Value, interim: tuple[str, ...]) -> Question:
    answers = BASES if item.clue == BASIS else trouble.clues()[item.clue].answers
    return Question(
        f"ask.{item.clue}", item.clue, answers, item.saving, item.minutes, item.changes, item.leads_to, interim
    )


def _speaks(clue: str, active: frozenset[str]) -> bool:
    """Whether any finding of an active axis cares about a clue."""
    return any(
        key.startswith(f"{clue}.") for axis in active for item in trouble.axes()[axis] for key in item.likelihood
    )


def _odds(clue: str, chances: Chances) -> tuple[float, ...]:
    """Chance of each answer, as the active axis sees it that the clue parts best."""
    best, found = -1.0, trouble.clues()[clue].base
    for axis in sorted(chances.active):
        members = [item.id for item in trouble.axes()[axis]]
        rows = [(chances.of[code], likelihoods(code, clue)) for code in members]
        mean = tuple(sum(p * row[k] for p, row in rows) for k in range(len(found)))
        told = sum(p * q * log(q / m) for p, row in rows for q, m in zip(row, mean, strict=True) if p * q * m > 0.0)
        if told > best:
            best, found = told, mean
    return found


def likeliest(chances: Chances, active: frozenset[str]) -> str:
    """Return the finding of the active axes that is likeliest now."""
    table = trouble.findings()
    codes = [code for code in chances.of if table[code].axis in active and not table[code].quiet]
    return max(codes, key=lambda code: chances.of[code], default="")
