"""What must hold whatever is read: knowing less is never safer, and salt never harms against nitrite."""

from datetime import UTC, date, datetime
from uuid import UUID

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan import verdict
from rillbed.plan.verdict import LEVELS

ON = date(2031, 4, 21)
AT = datetime(2031, 4, 21, 6, tzinfo=UTC)
LOOP = System.make(
    {
        "name": "Made-up loop", "latitude_deg": -34.0, "place": "greenhouse", "startup_path": "running",
        "tanks": [{"name": "tank", "volume_l": 900}], "started_on": date(2031, 4, 1), "heater_set_c": 25,
    }
)  # fmt: skip
MIDDLES = {"tan": (0.3, 8.0), "no2": (0.3, 6.0), "ph": (6.0, 8.8), "alkalinity": (0.3, 2.5), "oxygen": (1.0, 12.0)}
WIDTHS = {"tan": 0.3, "no2": 0.3, "ph": 1.0, "alkalinity": 0.3, "oxygen": 1.0}
UNITS = {"ph": "", "alkalinity": "meq/L"}
SPECIES = st.sampled_from(["nile_tilapia", "rainbow_trout", "largemouth_bass", "channel_catfish", "redclaw"])


def verdict_on(species, **ends):
    entries = [{"kind": "fish_in", "payload": {"species": species, "count": 9, "weight": {"value": 80, "unit": "g"}}}]
    for quantity, (low, high) in ends.items():
        payload = {"quantity": quantity, "unit": UNITS.get(quantity, "mg/L"), "low": low, "high": high, "basis": "n"}
        entries.append({"kind": "reading", "payload": payload})
    log = [
        LogEntry.make(entry | {"uuid": UUID(int=n + 1), "at": AT, "author": "somebody"})
        for n, entry in enumerate(entries)
    ]
    return verdict.judge(LOOP, log, on=ON)


def distance(band):
    """How bad the worst value is, larger for worse: little is bad of oxygen and (at these values) alkalinity."""
    return -band.worst if band.code in ("o2", "alkalinity") else band.worst


@settings(deadline=None, max_examples=60)
@given(
    SPECIES,
    st.sampled_from(sorted(MIDDLES)),
    st.fixed_dictionaries({name: st.floats(*ends) for name, ends in MIDDLES.items()}),
    st.floats(0.0, 1.0),
    st.floats(0.0, 1.0),
)
def test_a_wider_interval_never_lowers_the_worst(species, widened, middles, narrow, wide):
    narrow, wide = sorted((narrow, wide))

    def ends(width):
        return {
            name: (x - width * WIDTHS[name], x + width * WIDTHS[name]) if name == widened else (x, x)
            for name, x in middles.items()
        }

    tight, loose = verdict_on(species, **ends(narrow)), verdict_on(species, **ends(wide))
    for code in ("o2", "nh3_n", "no2_n", "co2", "tan", "alkalinity"):
        before, after = tight.band(code), loose.band(code)
        assert distance(after) >= distance(before) - 1e-9


@settings(deadline=None, max_examples=60)
@given(SPECIES, st.floats(0.0, 20.0), st.floats(0.0, 500.0), st.floats(0.0, 500.0))
def test_more_chloride_never_worsens_nitrite(species, no2, less, more):
    less, more = sorted((less, more))
    before, after = (verdict_on(species, no2=(no2, no2), cl=(cl, cl)).band("no2_n") for cl in (less, more))
    assert LEVELS.index(after.level) <= LEVELS.index(before.level)
    for level in LEVELS:
        assert after.chance(level) <= before.chance(level) + 1e-12


# Un-ionised ammonia, as printed, worked out from growers' accounts with Emerson 1975: TAN, pH, degC, mg/L NH3-N.
@pytest.mark.parametrize(
    ("tan", "ph", "temp_c", "printed", "level"),
    [(8.0, 7.2, 24.0, "0.066", "act"), (2.0, 6.5, 25.0, "0.004", "safe"), (2.0, 8.2, 24.0, "0.15", "act"),
     (6.0, 6.0, 20.0, "0.002", "safe"), (6.0, 8.0, 20.0, "0.23", "danger")],
)  # fmt: skip
def test_growers_accounts(judged_at, tan, ph, temp_c, printed, level):
    band = judged_at(tan, ph, temp_c)
    assert f"{band.worst:.{len(printed) - 2}f}" == printed
    assert LEVELS.index(band.level) >= LEVELS.index(level)


@pytest.fixture
def judged_at(judged, read, fish):
    def build(tan, ph, temp_c):
        water = (read("tan", tan, tan), read("ph", ph, ph), read("temperature", temp_c, temp_c))
        return judged(fish("nile_tilapia"), *water).band("nh3_n")

    return build
