"""The source water: what it holds, how much at once, what it leaves."""

from datetime import timedelta

import numpy as np
import pytest

from rillbed.engine import COLUMNS, Forecast
from rillbed.garden.errors import GardenError
from rillbed.plan.verdict import SourceFacts, assess
from rillbed.plan.verdict.buildup import drain_l_day

TAP = {
    "alkalinity_meq_l": 2.0, "ph": 7.4, "ca_mg_l": 40, "mg_mg_l": 8, "na_mg_l": 25, "cl_mg_l": 30,
    "free_chlorine_mg_l": 0.0, "chloramine_mg_l": 0.0,
}  # fmt: skip


@pytest.fixture
def tap(loop, read, on):
    """Assess a tap water against a loop at pH 7.2, 1.5 meq/L, 25 degC."""
    own = (read("ph", 7.2, 7.2), read("alkalinity", 1.5, 1.5), read("temperature", 25, 25))

    def build(*log, forecast=None, more=None, elevation_m=0, **source):
        water = {key: value for key, value in (TAP | source).items() if value is not None}
        system = loop(source_water=water, elevation_m=elevation_m)
        return assess(system, [*own, *log], forecast, on=on, more=more)

    return build


@pytest.fixture
def year(on):
    """A year of topping up 10 L a day with 25 mg/L of sodium, in a cubic metre."""

    def build(**columns):
        days, members = 365, 20
        na = (25.0 + 0.25 * np.arange(days + 1))[:, None]
        levels = {"volume_m3": 1.0, "topup_l_day": 10.0, "na_mg_l": na, "temp_c": 25.0, "ph": 7.2} | columns
        table = {
            n: np.broadcast_to(np.asarray(levels.get(n, 0.0), dtype=np.float32), (days + 1, members)) for n in COLUMNS
        }
        return Forecast(
            on, on, days, members, np.full(members, 1 / members), table, np.full(members, np.nan), {}, "", {}, ""
        )

    return build


def codes(found):
    return [item.code for item in found.reasons]


def test_clean_tap(tap):
    found = tap()
    assert (found.level, found.treat_first, found.thiosulfate_g_100_l) == ("safe", False, 0.0)
    assert found.step.share == 0.5
    assert found.step_untreated.share == 0.5


def test_thiosulfate_for_two_hundred_litres(tap):
    """200 L at 2 mg/L Cl2: 2.80 g of the pentahydrate (S2O3 + Cl2, seven grams a gram)."""
    found = tap(free_chlorine_mg_l=2.0)
    assert 2 * found.thiosulfate_g_100_l == pytest.approx(2.80)
    assert found.treat_first
    assert found.level == "danger"
    # 0.02 mg/L is harmful: of 2 mg/L a hundredth of the loop at most
    assert found.step_untreated.share == pytest.approx(0.01)
    assert "source.chlorine_leaves" in codes(found)


def test_chloramine_stays_and_leaves_ammonia(tap):
    """3 mg/L of monochloramine as Cl2 set 0.59 mg/L ammonia-N free; standing does not remove it."""
    found = tap(chloramine_mg_l=3.0)
    reason = next(item for item in found.reasons if item.code == "source.ammonia_at_ph")
    assert reason.values["tan"] == pytest.approx(0.59, abs=0.005)
    assert "source.chloramine_stays" in codes(found)
    assert "source.chlorine_leaves" not in codes(found)
    assert found.thiosulfate_g_100_l == pytest.approx(2.1)


def test_unread_chlorine_is_asked_for_and_never_called_safe(tap):
    found = tap(free_chlorine_mg_l=None, chloramine_mg_l=None)
    assert found.level == "act"
    assert found.treat_first
    assert found.thiosulfate_g_100_l is None
    assert found.step_untreated is None
    assert found.ask[:3] == ("kind", "chlorine", "chloramine")
    stood = tap(free_chlorine_mg_l=None, chloramine_mg_l=None, more=SourceFacts(kind="mains", stood=True))
    assert "source.stood_no_proof" in codes(stood)


def test_rain_has_no_chlorine_but_no_buffer(tap):
    found = tap(
        free_chlorine_mg_l=None, chloramine_mg_l=None, alkalinity_meq_l=0.05, ph=5.8, more=SourceFacts(kind="roof")
    )
    assert not found.treat_first
    assert {"source.soft", "source.roof"} <= {*codes(found)}
    assert found.band("alkalinity").level == "watch"
    assert {"zinc", "copper"} <= {*found.ask}


def test_metals(tap):
    """Purdue extension: zinc 0.03-0.05, stress from 0.1. Copper stands on memory and says so."""
    levels = [tap(more=SourceFacts(zinc_mg_l=x)).band("zinc").level for x in (0.01, 0.05, 0.5)]
    assert levels == ["safe", "watch", "act"]
    copper = tap(more=SourceFacts(copper_mg_l=0.1)).band("copper")
    assert copper.grade == "memory"
    assert copper.reasons[0].code == "verdict.memory"


def test_a_test_in_the_log_comes_before_what_was_set_up(tap, read):
    found = tap(read("chlorine", 0.4, 0.6, source_water=True), read("tan", 0.2, 0.3, source_water=True))
    assert found.band("chlorine").level == "danger"
    assert found.band("chlorine").age_days == 0
    assert found.band("tan").level == "watch"
    strip = tap(read("chlorine", 0.0, 0.05, source_water=True)).band("chlorine")
    assert (strip.level, strip.reasons[0].code) == ("watch", "chlorine.no_proof")


def test_pH_and_warmth_bind_the_step(tap):
    like, unlike, far = (tap(ph=ph, alkalinity_meq_l=alk) for ph, alk in ((7.2, 1.5), (8.0, 3.0), (8.8, 5.0)))
    assert like.step.share == 0.5
    assert like.step.share > unlike.step.share > far.step.share
    assert unlike.step.binds == "ph"
    cold = tap(ph=7.2, alkalinity_meq_l=1.5, more=SourceFacts(temp_c=10.0))
    assert cold.step.binds == "temperature"
    assert cold.step.share * 15.0 <= 3.0 + 1e-9
    assert tap(ph=None).step.binds == "unknown"
    assert tap(ph=None).step.share == 0.25


def test_ammonia_in_the_tap_shrinks_the_step(tap, read):
    """At pH 8.3 and 25 degC a tenth of ammonia is un-ionised: 5 mg/L in the source end over 0.05."""
    basic = (read("ph", 8.3, 8.3, hour=10),)
    none, much = (tap(*basic, ph=8.3, more=SourceFacts(tan_mg_l=x)) for x in (0.0, 5.0))
    assert much.step.share < none.step.share


def test_sodium_builds_up(tap, year, on):
    """10 L a day at 25 mg/L leave 7.5 mg/L a month in a cubic metre; 50 is passed after a hundred days."""
    found = next(item for item in tap(forecast=year()).build_up if item.element == "na")
    assert found.per_month == pytest.approx(7.5)
    assert found.reached[1] == on + timedelta(days=101)
    assert found.chance == 1.0
    assert found.drain_l_day == pytest.approx(10.0)
    assert "buildup.passes" in codes(tap(forecast=year()))
    assert found.known


def test_a_source_over_the_limit_cannot_be_drained_down(tap, year):
    found = tap(forecast=year(), na_mg_l=80)
    assert next(item for item in found.build_up if item.element == "na").drain_l_day is None
    assert "buildup.source_over" in codes(found)


def test_balance_of_draining():
    """In balance what comes in goes out: (10 + d) 25 = d 50."""
    d = drain_l_day(10.0, 25.0, 50.0)
    assert (10.0 + d) * 25.0 == pytest.approx(d * 50.0)


@pytest.mark.parametrize(
    ("field", "value", "allowed"),
    [("kind", "sea", "mains"), ("zinc_mg_l", -1.0, "between 0 and 1000"), ("temp_c", 90.0, "between -2 and 50")],
)
def test_impossible_values_are_refused(field, value, allowed):
    with pytest.raises(GardenError, match=allowed):
        SourceFacts(**{field: value})
