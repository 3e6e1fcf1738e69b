from datetime import date

import pytest

from rillbed.garden.system import System
from rillbed.plan.doses import Water


@pytest.fixture
def system():
    """A made-up loop of one cubic metre."""
    return System.make(
        {
            "name": "Made-up loop",
            "latitude_deg": -34.0,
            "place": "greenhouse",
            "tanks": [{"name": "tank", "volume_l": 1000}],
            "started_on": date(2031, 4, 1),
        }
    )


@pytest.fixture
def soft():
    """Soft water that slides: 1000 L, pH 6.5, little alkalinity, hardly any ammonia."""

    def build(**spans):
        known = {"ph": (6.4, 6.6), "alkalinity": (0.3, 0.5), "tan": (0.0, 0.25), "temperature": (24.0, 24.0)}
        return Water(1000.0, known | spans)

    return build
