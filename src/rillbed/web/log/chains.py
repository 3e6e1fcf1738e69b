"""The log as people read it: each thing that happened once, with its earlier versions and its way back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from rillbed.garden.log import LogEntry


@dataclass(frozen=True)
class Chain:
    """One thing that happened: the entry that counts now and, oldest first, what it replaced.

    `now` is of kind ``withdrawn`` when it was taken back.
    """

    now: LogEntry
    before: tuple[LogEntry, ...]

    @property
    def first(self) -> LogEntry:
        """Return the entry that was written first."""
        return self.before[0] if self.before else self.now

    @property
    def standing(self) -> bool:
        """Whether it still counts."""
        return self.now.kind != "withdrawn"


def chains(log: Sequence[LogEntry]) -> list[Chain]:
    """Return every chain of corrections, the latest happening first."""
    known = {entry.uuid: entry for entry in log}
    groups: dict[UUID, list[tuple[int, LogEntry]]] = {}
    for entry in log:
        root, depth = entry, 0
        while root.supersedes is not None and root.supersedes in known and depth <= len(known):
            root, depth = known[root.supersedes], depth + 1
        groups.setdefault(root.uuid, []).append((depth, entry))
    found = []
    for group in groups.values():
        # The order of `garden.chains.effective`: recorded last counts, then the longer chain.
        ordered = [entry for _, entry in sorted(group, key=lambda one: (one[0] > 0, one[1].recorded_at, one[0]))]
        found.append(Chain(ordered[-1], tuple(ordered[:-1])))
    return sorted(found, key=lambda chain: (chain.first.at, chain.first.uuid), reverse=True)


def chain_of(log: Sequence[LogEntry], uuid: UUID) -> Chain | None:
    """Return the chain that an entry belongs to, None if there is no such entry."""
    return next((one for one in chains(log) if uuid in {one.now.uuid, *(old.uuid for old in one.before)}), None)
