import pytest

SYSTEM = """
format = 1
name = "Made-up loop"
latitude_deg = -34.0
place = "greenhouse"
started_on = 2031-04-01
startup_path = "fishless"

[[tanks]]
name = "tank"
volume_l = 900

[[beds]]
name = "bed"
kind = "raft"
area_m2 = 2.0
water_depth_cm = 5

[ammonia_source]
source = "ammonium_chloride"
"""


@pytest.fixture
def system_text():
    """A made-up loop as a system file."""
    return SYSTEM


@pytest.fixture
def files(tmp_path, system_text):
    """Path of that file; logs stand beside it."""
    path = tmp_path / "system.toml"
    path.write_text(system_text)
    return path
