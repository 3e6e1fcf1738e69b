"""What the fit leaves: members that the log believes, and how sure it is of them."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from rillbed.engine.result import Array
from rillbed.fit import sampler
from rillbed.fit.contradiction import Contradiction, contradictions
from rillbed.fit.coordinates import Coordinates
from rillbed.fit.directions import Direction, directions, spreads
from rillbed.fit.evidence import Evidence
from rillbed.fit.sampler import Bell, Cloud
from rillbed.fit.setting import Setting
from rillbed.fit.sharpen import Sharper, sharpen
from rillbed.fit.skill import Foreseen, skill


@dataclass(frozen=True)
class Posterior:
    """Members of one loop, fitted to its log.

    Attributes
    ----------
    z : (names, members)
        Standard numbers of the members, all of one weight; see `coordinates`.
    weights : (points,)
        Weights of all simulated points.
    reached : float
        Share of the log's weight that was taken in; under 1 after a first answer that needs the whole fit.
    effective : float
        Effective number of points behind the members.
    earlier : Posterior, optional
        The fit to the checkpoint before; its `skill` and `held_out` come first.
    """

    setting: Setting
    evidence: Evidence
    coordinates: Coordinates
    z: Array
    cloud: Cloud | None
    weights: Array
    reached: float
    effective: float
    earlier: Posterior | None = None

    @classmethod
    def of_prior(cls, setting: Setting, evidence: Evidence, c: Coordinates, members: int) -> Posterior:
        """Give the prior's members: the log says nothing yet."""
        z = c.prior(setting.first, setting.seed, members)
        return cls(setting, evidence, c, z, None, np.full(members, 1.0 / members), 1.0, float(members))

    @classmethod
    def of(
        cls,
        setting: Setting,
        evidence: Evidence,
        c: Coordinates,
        cloud: Cloud,
        reached: float,
        members: int,
        earlier: Posterior | None = None,
    ) -> Posterior:
        """Draw the members from the weighted points."""
        w = cloud.weights(cloud.log_l, reached)
        return cls(
            setting,
            evidence,
            c,
            cloud.z[:, sampler.systematic(w, members)],
            cloud,
            w,
            reached,
            sampler.ess(w),
            earlier,
        )

    def bell_for(self, c: Coordinates) -> Bell:
        """Give a bell with the middle and spread these members have, over a list that has all their names."""
        even = np.full(self.members, 1.0 / self.members)
        z, w = (self.z, even) if self.cloud is None else (self.cloud.z, self.weights)
        basis = np.zeros((len(self.coordinates.names), 0))
        if self.cloud is not None:
            basis = sampler.followed(self.cloud, self.evidence.errors, 1.0)
        moved = np.zeros((len(c.names), basis.shape[1]))
        for i, name in enumerate(self.coordinates.names):
            moved[c.place(name)] = basis[i]
        return replace(sampler.bell_over(basis, z, w), basis=moved)

    def extended(self, setting: Setting, days: int, members: int) -> tuple[Coordinates, Array]:
        """Give members that reach day `days` of a setting: what the log could not move is drawn for each of them."""
        c = setting.coordinates(self.evidence.nuisances, days)
        z = c.draw(setting.seed, members, stream="ahead:")
        source = self.z if self.cloud is None else self.cloud.z
        mine = source[:, sampler.systematic(self.weights, members)]
        if self.cloud is None and members == self.members:
            mine = self.z
        for i, name in enumerate(self.coordinates.names):
            if name in c.names:
                z[c.place(name)] = mine[i]
        return c, z

    @cached_property
    def directions(self) -> tuple[Direction, ...]:
        """Combinations the log has taught, best known first; nothing else may be reported as learned."""
        return directions(self, self.evidence.errors)

    @cached_property
    def spreads(self) -> dict[str, float]:
        """Spread of every single name over the prior's, where the log has narrowed it."""
        return spreads(self)

    @cached_property
    def skill(self) -> tuple[Foreseen, ...]:
        """How each reading was foreseen before it was used."""
        return (*(self.earlier.skill if self.earlier else ()), *skill(self))

    @cached_property
    def held_out(self) -> tuple[Contradiction, ...]:
        """Readings that contradict all the others, as questions."""
        return (*(self.earlier.held_out if self.earlier else ()), *contradictions(self))

    def sharpen(self, outcome: Array | None = None) -> tuple[Sharper, ...]:
        """List what would sharpen the forecast; see `sharpen.sharpen`."""
        return sharpen(self, outcome)

    @cached_property
    def digest(self) -> str:
        """Fingerprint of the members."""
        return hashlib.sha256(np.ascontiguousarray(self.z).tobytes()).hexdigest()

    @property
    def members(self) -> int:
        """How many members stand for it."""
        return int(self.z.shape[1])
