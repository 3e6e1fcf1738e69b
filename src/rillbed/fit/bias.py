"""A kit's bias and basis: never known, so every plausible one is carried along and weighed by what the kit said so far.

Given what the water holds, the readings of one kit depend on its own bias only, so summing over a line of biases is
exact and spares the sampler a direction per kit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import ndtr

from rillbed import facts
from rillbed.engine.result import Array
from rillbed.fit.coordinates import Coordinates
from rillbed.fit.follow import Look
from rillbed.fit.likelihood import together

if TYPE_CHECKING:
    from rillbed.fit.evidence import Answer

LINE = np.linspace(-3.6, 3.6, 17)  # in spreads; closer than the narrowest posterior needs
CHANCE = np.exp(-0.5 * LINE**2) / np.exp(-0.5 * LINE**2).sum()


@dataclass
class Bias:
    """What one kit may be, and how probable that is by now for each member.

    Attributes
    ----------
    shift : (options,)
        Bias of each option: a ln factor, or a shift of pH.
    ion : (options,) of bool
        Whether the card counts the whole ion in this option.
    chance : (options, members)
        Sums to 1 over the options.
    """

    shift: Array
    ion: Array
    chance: Array

    @classmethod
    def of(cls, answer: Answer, members: int) -> Bias:
        """Start with what is known of such kits."""
        middle, spread = answer.bias
        shift, chance, ion = middle + spread * LINE, CHANCE, np.zeros(len(LINE), bool)
        if answer.unsure is not None:
            share = facts.value("fit.basis_ion")
            shift, ion = np.tile(shift, 2), np.repeat([False, True], len(LINE))
            chance = np.concatenate([(1.0 - share) * chance, share * chance])
        return cls(shift, ion, np.repeat(chance[:, None], members, axis=1))

    def take_in(self, session: Sequence[Answer], seen: Mapping[Look, Array], c: Coordinates, z: Array) -> Array:
        """Weigh the options by a session; gives its ln probability given all before, (members,)."""
        p = self.probability(session, seen, c, z) * self.chance
        total = np.maximum(p.sum(axis=0), 1e-300)
        self.chance = p / total
        return np.asarray(np.log(total))

    def below(self, answer: Answer, seen: Mapping[Look, Array], c: Coordinates, z: Array) -> Array:
        """Probability of an answer lower than this one, given all before, (members,)."""
        total = np.zeros(z.shape[1])
        for ion in (False, True):
            mine = self.ion == ion
            if mine.any():
                x = answer.on_scale(seen, self.shift[mine][:, None] + self._own(answer, c, z))
                low = answer.ends(ion)[0]
                clean = ndtr((low - x) / answer.noise.sd)
                slips = answer.noise.slip * (0.5 if np.isfinite(low) else 0.0)
                total = total + (((1.0 - answer.noise.slip) * clean + slips) * self.chance[mine]).sum(axis=0)
        return total

    @staticmethod
    def _own(answer: Answer, c: Coordinates, z: Array) -> Array | float:
        if answer.reader is None:
            return 0.0
        spread = facts.value("fit.ph_bias") if answer.quantity == "ph" else facts.value("fit.reader_spread")
        return np.asarray(spread * z[c.place(answer.reader)])

    def probability(self, session: Sequence[Answer], seen: Mapping[Look, Array], c: Coordinates, z: Array) -> Array:
        """Probability of a session under each option, (options, members)."""
        first = session[0]
        own = self._own(first, c, z)
        parts = []
        for ion in (False, True):
            shift = self.shift[self.ion == ion]
            if len(shift):
                on_scale = [a.on_scale(seen, shift[:, None] + own) for a in session]
                parts.append(together(on_scale, [a.ends(ion) for a in session], first.noise))
        return np.concatenate(parts)
