"""The log as evidence: each entry that can be predicted, where to look in a run, and how probable it is there."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from rillbed.engine.result import Array
from rillbed.fit.bias import Bias
from rillbed.fit.coordinates import Coordinates
from rillbed.fit.follow import Look
from rillbed.fit.likelihood import TRUST
from rillbed.fit.living import Living, living_of
from rillbed.fit.noise import Noise, bias_of, kind_of, noise_of
from rillbed.fit.setting import Setting
from rillbed.garden.log import LogEntry
from rillbed.garden.quantities import QUANTITIES
from rillbed.garden.readings import Reading
from rillbed.units import convert_basis

FOLLOWED = ("tan", "no2", "no3", "ph", "alkalinity", "gh", "k", "fe", "p", "ca", "mg", "s", "na", "cl", "oxygen", "co2")
"""Quantities the model predicts; chlorine is not among them, conductivity only where the salts are told."""
SALTS = ("alkalinity_meq_l", "ca_mg_l", "mg_mg_l", "na_mg_l", "cl_mg_l", "so4_s_mg_l")
"""What source water must be told of before conductivity says anything of the loop: they make most of it."""

BIN_VARIANCE = 1.0 / 12.0
WIDEST = 2.0  # an open interval tells no more than one this wide, in reading errors


@dataclass(frozen=True)
class Answer:
    """One reading: where to look, its interval on the kit's scale, and what it was."""

    entry: LogEntry
    look: Look
    reading: Reading
    noise: Noise
    bias: tuple[float, float]  # median and spread of the kit's bias
    reader: str | None = None  # coordinate of this reader's own deviation, where several read
    unsure: float | None = None  # ln factor between the two bases, where the card does not say

    @property
    def quantity(self) -> str:
        """What was read."""
        return self.reading.quantity

    @property
    def kit(self) -> tuple[str | None, str]:
        """The test it came from: its readings share one bias."""
        return self.reading.kit, self.quantity

    @property
    def session(self) -> tuple[str, int]:
        """Who read it on which day: such readings share one error."""
        return self.entry.author, self.look.day

    def ends(self, ion: bool = False) -> tuple[float, float]:
        """Interval on the kit's scale; `ion` when an unknown basis is taken as the whole ion."""
        factor = np.exp(self.unsure) if ion and self.unsure is not None else 1.0
        low, high = (None if end is None else end * factor for end in self.reading.interval)
        return self.noise.ends(low, high)

    def on_scale(self, seen: Mapping[Look, Array], bias: Array | float = 0.0) -> Array:
        """Give what each member's water shows on the kit's scale under a bias (of a ln factor, or a shift of pH)."""
        value = seen[self.look]
        return self.noise.scale(value + bias if self.quantity == "ph" else value * np.exp(bias))


@dataclass(frozen=True)
class Evidence:
    """Everything in a log that a member can be held against.

    `sessions` are the answers that one person read of one test on one day, in the order of the log.
    """

    sessions: tuple[tuple[Answer, ...], ...]
    living: tuple[Living, ...]

    @property
    def answers(self) -> tuple[Answer, ...]:
        """All readings."""
        return tuple(a for session in self.sessions for a in session)

    @property
    def looks(self) -> tuple[Look, ...]:
        """All there is to look at."""
        return tuple(dict.fromkeys([*(a.look for a in self.answers), *(item.look for item in self.living)]))

    @property
    def nuisances(self) -> tuple[str, ...]:
        """Coordinates of the people who read."""
        return tuple(dict.fromkeys(a.reader for a in self.answers if a.reader))

    @property
    def last_day(self) -> int:
        """Last day there is anything to look at; -1 without evidence."""
        return max((look.day for look in self.looks), default=-1)

    @property
    def days(self) -> Array:
        """Day of each term of `terms`, (terms,)."""
        return np.array([s[0].look.day for s in self.sessions] + [item.look.day for item in self.living], float)

    @property
    def errors(self) -> Array:
        """Reading error with the width of the answer, of each of `answers` and `living`, on its scale."""
        widths = [np.subtract(*a.ends()[::-1]) for a in self.answers]
        read = [
            np.sqrt((a.noise.sd**2 + BIN_VARIANCE * min(width, WIDEST * a.noise.sd) ** 2) / TRUST)
            for a, width in zip(self.answers, widths, strict=True)
        ]
        return np.array(read + [item.sd for item in self.living])

    def weight(self, terms: Array, after: float = -np.inf) -> Array:
        """Ln weight of all terms of days from `after` on, (members,); of what kits say only part is believed.

        Chosen so that bands hold what they say over loops that are not the model: decisions/0009.
        """
        trusted = np.array([TRUST] * len(self.sessions) + [1.0] * len(self.living))
        counts = self.days >= after
        return np.asarray((trusted[counts, None] * terms[counts]).sum(axis=0))

    def terms(self, seen: Mapping[Look, Array], c: Coordinates, z: Array) -> tuple[Array, Array]:
        """Ln probability of each session and each living thing given all before it, (terms, members).

        The second array is the probability of less than what was found (of a session: than its first answer).

        What a kit's bias and basis may be is summed over, each member for itself: their sum over terms is the ln
        probability of the log.
        """
        kits: dict[tuple[str | None, str], Bias] = {}
        rows, less = [], []
        for session in self.sessions:
            bias = kits.get(session[0].kit) or kits.setdefault(session[0].kit, Bias.of(session[0], z.shape[1]))
            less.append(bias.below(session[0], seen, c, z))
            rows.append(bias.take_in(session, seen, c, z))
        rows += [item.log_probability(seen[item.look]) for item in self.living]
        less += [item.below(seen[item.look]) for item in self.living]
        none = np.zeros((0, z.shape[1]))
        return (np.stack(rows), np.stack(less)) if rows else (none, none)


def followed(setting: Setting) -> frozenset[str]:
    """Give the quantities whose readings are evidence in this loop.

    Where a salt of the source water is only assumed, a wrong guess of it would be put down to nitrate and potassium.
    """
    told = all(getattr(setting.first.source_water, name) is not None for name in SALTS)
    return frozenset(FOLLOWED) | ({"ec"} if told else set())


def evidence_of(setting: Setting, held_out: frozenset[str] = frozenset(), after: int = -1) -> Evidence:
    """Read the log of the days after day `after` as evidence, without the entries `held_out` (by uuid)."""
    counted = followed(setting)
    readings = [
        e for e in setting.entries
        if isinstance(e.payload, Reading) and e.payload.quantity in counted and not e.payload.source_water
        and str(e.uuid) not in held_out and setting.moment(e.at)[0] > after
    ]  # fmt: skip
    readers: dict[tuple[str | None, str], set[str]] = defaultdict(set)
    for e in readings:
        readers[e.payload.kit, e.payload.quantity].add(e.author)  # type: ignore[attr-defined]
    sessions: dict[tuple[object, ...], list[Answer]] = defaultdict(list)
    for e in readings:
        answer = _answer(setting, e, readers)
        sessions[(*answer.kit, *answer.session)].append(answer)
    living = tuple(item for item in living_of(setting, held_out) if item.look.day > after)
    return Evidence(tuple(tuple(s) for s in sessions.values()), living)


def _answer(setting: Setting, e: LogEntry, readers: Mapping[tuple[str | None, str], set[str]]) -> Answer:
    r = e.payload
    assert isinstance(r, Reading)
    day, hour = setting.moment(e.at)
    own = next((k for k in setting.now.kits if k.name == r.kit and k.quantity == r.quantity), None)
    several = len(readers[r.kit, r.quantity]) > 1
    basis = r.basis or (own.basis if own else None)
    ion, element = QUANTITIES[r.quantity].ion, QUANTITIES[r.quantity].element
    return Answer(
        entry=e, look=Look(day, r.quantity, hour), reading=r, noise=noise_of(setting.now, r),
        bias=bias_of(r.quantity, kind_of(own, r)),
        reader=f"reader:{e.author}:{r.kit}:{r.quantity}" if several else None,
        unsure=None if ion is None or basis is not None else float(np.log(convert_basis(1.0, ion, element))),
    )  # fmt: skip
