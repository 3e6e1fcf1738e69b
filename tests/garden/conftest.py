from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import count
from uuid import UUID

import pytest

from rillbed import facts
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System

START = datetime(2026, 3, 1, 8, 0, tzinfo=UTC)


@pytest.fixture
def feed() -> str:
    return sorted(facts.feeds())[0]


@pytest.fixture
def supply() -> str:
    return sorted(facts.supplements())[0]


@pytest.fixture
def loop(feed: str) -> System:
    return System.make(
        {
            "name": "invented loop",
            "latitude_deg": -32,
            "longitude_deg": 116,
            "place": "outdoors",
            "tanks": [{"name": "tank", "volume_l": 800}, {"name": "sump", "volume_l": 200, "kind": "sump"}],
            "beds": [{"name": "north", "kind": "raft", "area_m2": 2, "water_depth_cm": 25}],
            "started_on": date(2026, 3, 1),
            "feed": feed,
        }
    )


@pytest.fixture
def make():
    """Build entries: `make(kind, day, hours=0, **fields)`; uuids count up."""
    numbers = count(1)

    def build(kind: str, day: float, *, supersedes: UUID | None = None, stored: float | None = None, **fields):
        at = START + timedelta(days=day)
        data = {"uuid": UUID(int=next(numbers)), "at": at, "kind": kind, "author": "you", "payload": fields}
        data["recorded_at"] = at if stored is None else START + timedelta(days=stored)
        return LogEntry.make(data | {"supersedes": supersedes})

    return build
