"""What leaves say: causes in order of their chance, the evidence both ways, and a dose only where both agree."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from rillbed import facts
from rillbed.engine import Forecast
from rillbed.facts import remedies
from rillbed.facts.remedies import Symptom
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.advice import Reason
from rillbed.plan.elements.clues import READ, Clue, clues
from rillbed.plan.elements.supplements import Supplements, supplements
from rillbed.plan.elements.traces import Trace, trace

# Signs in the order in which they part the causes, and what each can be.
SIGNS: dict[str, tuple[str, ...]] = {
    "where": ("old", "new", "all", "fruit", "stem"),
    "pattern": (
        "even_yellow", "between_veins", "edges", "tips", "spots", "mottle", "purple", "dark", "curled", "wilted",
        "bleached", "brittle", "small", "narrow", "soft", "stretched", "fruit_end", "holes", "powder", "webbing",
        "stippled", "sticky", "mosaic",
    ),
    "spread": ("one_plant", "one_crop", "one_bed", "everywhere"),
    "roots": ("white", "brown"),
    "insects": ("seen", "none"),
    "age": ("new", "old"),
}  # fmt: skip
# A pattern that a row does not name is seen less often with it than with any cause.
UNNAMED_PATTERN = 0.4
KNOWN_FOR, NOT_KNOWN_FOR = 1.4, 0.7
DOSE_CHANCE = facts.value("plants.dose_chance")
# Causes shown: those that have at least this chance.
SHOWN = 0.03
READ_OF = {"n": "no3"}
# What must have been read, and fair, before a trace is given for which no home kit exists.
TRACE_NEEDS = {"mn": ("fe_fair", "ph_ok"), "b": ("ca_fair", "ph_ok"), "mo": ("ph_ok", "n_fair")}


@dataclass(frozen=True)
class Cause:
    """One cause.

    Attributes
    ----------
    code, kind, element : str
        Row of the symptoms, its kind, and the element concerned (empty for none).
    chance : float
        Share among all causes of the table.
    evidence, against : tuple of Reason
        What speaks for it and against it, the strongest first.
    check : tuple of str
        What to look at or read before anything is done.
    remedy : tuple of Reason
        What to do, in order; nothing here harms fish.
    dose : Supplements or None
        The doses, where leaf and reading agree.
    trace : Trace or None
        The same for manganese, boron or molybdenum.
    sources : tuple of str
        Keys of sources.
    """

    code: str
    kind: str
    element: str
    chance: float
    evidence: tuple[Reason, ...]
    against: tuple[Reason, ...]
    check: tuple[str, ...]
    remedy: tuple[Reason, ...]
    dose: Supplements | None = None
    trace: Trace | None = None
    sources: tuple[str, ...] = ()


@dataclass(frozen=True)
class Judged:
    """Causes in the order of their chance, and what is still to be told (``sign.where``) or read (``read.ph``)."""

    on: date
    seen: Mapping[str, str]
    causes: tuple[Cause, ...]
    ask: tuple[str, ...]

    @property
    def first(self) -> Cause:
        """The likeliest."""
        return self.causes[0]


# What the way through trouble asks, by ``clue.answer``, as signs of a leaf.
_PATTERNS = ("even_yellow", "between_veins", "edges", "spots", "purple", "curled", "wilted", "bleached")
TOLD: dict[str, tuple[str, str]] = {
    **{f"leaf.{answer}": ("where", answer) for answer in ("old", "new", "all")},
    **{f"pattern.{answer}": ("pattern", answer) for answer in _PATTERNS},
    **{f"roots.{answer}": ("roots", answer) for answer in ("white", "brown")},
    "pests.insects": ("insects", "seen"), "pests.none": ("insects", "none"), "transplanted.yes": ("age", "new"),
}  # fmt: skip


def seen_of(told: Mapping[str, str]) -> dict[str, str]:
    """Take what the way through trouble was told (clue to answer) as signs for `judge`; the rest is left out."""
    return dict(TOLD[key] for clue, answer in told.items() if (key := f"{clue}.{answer}") in TOLD)


def judge(system: System, entries: Sequence[LogEntry], forecast: Forecast, on: date, seen: Mapping[str, str]) -> Judged:
    """Rank the causes of what is seen on leaves.

    Parameters
    ----------
    system, entries
        The loop and its log.
    forecast : Forecast
        From ``on`` at least two weeks ahead.
    seen : mapping
        Answers to `SIGNS`, and ``crop`` (a row of the crop table); whatever is left out is not known.

    Raises
    ------
    ValueError
        For a sign, an answer or a crop that is not known, or nothing seen at all.
    """
    crop = _checked(seen)
    known = clues(system, entries, forecast, on, crop)
    table = remedies.symptoms()
    log_odds = {code: _score(row, seen, known, crop) for code, row in table.items()}
    top = max(log_odds.values())
    raw = {code: float(np.exp(value - top)) for code, value in log_odds.items()}
    total = sum(raw.values())
    order = sorted(raw, key=lambda code: -raw[code])
    shown = [code for n, code in enumerate(order) if n == 0 or raw[code] / total >= SHOWN]
    causes = []
    for code in shown:
        row, chance = table[code], raw[code] / total
        good, bad = _evidence(row, seen, known)
        likeliest = code == order[0]
        remedy, dose, little = _remedy(row, chance, likeliest, seen, known, system, entries, forecast, on)
        causes.append(
            Cause(code, row.kind, row.element, chance, good, bad, row.check, remedy, dose, little, row.source)
        )
    return Judged(on, dict(seen), tuple(causes), _ask(causes, seen, known))


def _checked(seen: Mapping[str, str]) -> str | None:
    if not set(seen) - {"crop"}:
        raise ValueError(f"seen: nothing; tell at least one of {', '.join(SIGNS)}")
    for sign, answer in seen.items():
        allowed = facts.crops().keys() if sign == "crop" else SIGNS.get(sign)
        if allowed is None:
            raise ValueError(f"seen: {sign!r} is not a sign; allowed: {', '.join(SIGNS)}, crop")
        if answer not in allowed:
            shown = ", ".join(list(allowed)[:25])
            raise ValueError(f"seen.{sign} = {answer!r}: must be one of {shown}")
    return seen.get("crop")


def _score(row: Symptom, seen: Mapping[str, str], known: Mapping[str, Clue], crop: str | None) -> float:
    total = float(np.log(row.prior))
    for sign, answer in seen.items():
        if sign != "crop":
            total += float(np.log(_factor(row, sign, answer)))
    for code, factor in row.water.items():
        if code in known:
            total += known[code].weight * float(np.log(factor))
    if crop is not None and row.crops:
        fits = crop in row.crops or facts.crops()[crop].crop_group in row.crops
        total += float(np.log(KNOWN_FOR if fits else NOT_KNOWN_FOR))
    return total


def _factor(row: Symptom, sign: str, answer: str) -> float:
    return row.signs.get(f"{sign}.{answer}", UNNAMED_PATTERN if sign == "pattern" else 1.0)


def _evidence(
    row: Symptom, seen: Mapping[str, str], known: Mapping[str, Clue]
) -> tuple[tuple[Reason, ...], tuple[Reason, ...]]:
    weighed: list[tuple[float, Reason]] = []
    for sign, answer in seen.items():
        if sign == "crop":
            continue
        factor = _factor(row, sign, answer)
        weighed.append((float(np.log(factor)), Reason("clue.seen", {"sign": sign, "answer": answer})))
    for code, factor in row.water.items():
        if code in known:
            weighed.append((known[code].weight * float(np.log(factor)), known[code].reason))
    good = sorted((item for item in weighed if item[0] > 0.05), key=lambda item: -item[0])
    bad = sorted((item for item in weighed if item[0] < -0.05), key=lambda item: item[0])
    return tuple(item[1] for item in good), tuple(item[1] for item in bad)


def _remedy(
    row: Symptom,
    chance: float,
    likeliest: bool,
    seen: Mapping[str, str],
    known: Mapping[str, Clue],
    system: System,
    entries: Sequence[LogEntry],
    forecast: Forecast,
    on: date,
) -> tuple[tuple[Reason, ...], Supplements | None, Trace | None]:
    """Turn the row's remedies into what may be done now: a dose only where the leaf and a reading both say so."""
    out: list[Reason] = []
    dose, little = None, None
    agrees = likeliest and chance >= DOSE_CHANCE and row.signs.get(f"where.{seen.get('where', '')}", 1.0) > 1.0
    for code in row.remedy:
        if code == "dose":
            if agrees and _read(known, f"{row.element}_short"):
                dose = supplements(system, entries, forecast, on, only=(row.element,), before_planting=True)
                out.append(
                    Reason("remedy.dose" if dose.code == "plan" else "remedy.no_dose_now", {"element": row.element})
                )
            elif _read(known, f"{row.element}_fair"):
                out.append(Reason("remedy.enough", {"element": row.element}))
            else:
                quantity = READ_OF.get(row.element, row.element)
                out.append(Reason("remedy.read_first", {"element": row.element, "quantity": quantity}))
        elif code == "trace":
            ready = agrees and all(_read(known, need) for need in TRACE_NEEDS[row.element])
            little = trace(row.element, system, entries, forecast, on) if ready else None
            short = "remedy.trace" if little is not None else "remedy.trace_not_yet"
            out.append(Reason(short, {"element": row.element}))
        else:
            out.append(Reason(f"remedy.{code}", {"element": row.element} if row.element else {}))
    return tuple(out), dose, little


def _read(known: Mapping[str, Clue], code: str) -> bool:
    """Whether a clue is known from a reading or the log, not only reckoned."""
    return code in known and known[code].weight >= READ


def _ask(causes: Sequence[Cause], seen: Mapping[str, str], known: Mapping[str, Clue]) -> tuple[str, ...]:
    """Say what is still to be told, then what the likeliest causes want read and was not."""
    out = [f"sign.{sign}" for sign in SIGNS if sign not in seen]
    unread = [
        code for cause in causes[:3] for code in cause.check if code.startswith("read.") and not _fresh(code, known)
    ]
    return tuple(dict.fromkeys([*out[:2], *unread, *out[2:]]))


_CLUES_OF = {
    "ph": ("ph_high", "ph_ok", "ph_very_low"), "no3": ("n_short", "n_fair"), "tan": ("tan_high", "tan_fair"),
    "temperature": ("cold", "warm"), "oxygen": ("oxygen_low", "oxygen_fair"), "na": ("na_high", "na_fair"),
    "ec": ("ec_high", "ec_fair"), "s": ("s_short", "s_fair"),
}  # fmt: skip


def _fresh(code: str, known: Mapping[str, Clue]) -> bool:
    name = code.removeprefix("read.")
    return any(_read(known, clue) for clue in _CLUES_OF.get(name, (f"{name}_short", f"{name}_fair")))
