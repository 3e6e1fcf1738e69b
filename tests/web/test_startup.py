import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.test import TestCase

from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.answers import Band, CyclingPlan, Sowing
from rillbed.web import bridge, clock
from rillbed.web.forecasts import store
from rillbed.web.frame.loops import keep
from rillbed.web.startup.checks import checks, verdict
from rillbed.web.startup.ledger import ledger
from rillbed.web.startup.stages import PATHS, stages
from rillbed.words import startup

STARTED = date(2031, 4, 1)
ON = STARTED + timedelta(days=12)
PLAN = CyclingPlan(
    path="fishless",
    stage="nitrite",
    advice=(),
    completion=(ON + timedelta(days=8), ON + timedelta(days=12), ON + timedelta(days=18)),
    chance_within_horizon=1.0,
    dots=(ON,) * 20,
    still_to_come_mg_l=0.0,
    ready_load_g_day=Band(0.5, 0.7, 0.9),
    planned_load_g_day=0.6,
    sowing=Sowing(ON + timedelta(days=30), 0.8, 21, 42),
)


def loop_of(**more: object) -> System:
    """A made-up loop that is being started with an ammonia salt."""
    values = {
        "name": "Made-up loop",
        "latitude_deg": -34.0,
        "place": "indoors",
        "heater_set_c": 25,
        "tanks": [{"name": "tank", "volume_l": 1000}],
        "beds": [{"name": "bed", "kind": "media", "area_m2": 1, "medium": "pumice", "depth_cm": 30}],
        "seeding": "pond",
        "ammonia_source": {"source": "ammonium_chloride"},
        "started_on": STARTED,
    }
    return System.make(values | more)


def entry(day: int, kind: str, **payload: object) -> LogEntry:
    at = datetime.combine(STARTED + timedelta(days=day), datetime.min.time(), UTC) + timedelta(hours=9)
    return LogEntry.make({"uuid": uuid4(), "at": at, "kind": kind, "payload": payload})


def read(day: int, quantity: str, low: float | None, high: float | None) -> LogEntry:
    unit = "" if quantity == "ph" else "mg/L"
    basis = {} if quantity == "ph" else {"basis": "n"}
    return entry(day, "reading", quantity=quantity, unit=unit, low=low, high=high, **basis)


def state_of(found: list, words: str) -> str:
    return next(check.state for check in found if words in check.what)


@pytest.mark.parametrize(
    ("low", "high", "state"), [(0.0, 0.2, "met"), (0.1, 0.4, "part"), (0.5, 1.0, ""), (2.0, None, "")]
)
def test_a_test_counts_by_the_worst_value_it_allows(low: float, high: float | None, state: str) -> None:
    assert state_of(checks(loop_of(), [read(3, "no2", low, high)], PLAN), "Nitrite") == state


def test_what_was_never_tested_is_not_known() -> None:
    found = checks(loop_of(), [], replace(PLAN, planned_load_g_day=None))
    assert not any(check.state for check in found)
    unknown = [check for check in found if check.about.startswith("not known")]
    assert len(unknown) == len(found) - 1  # the proof is known to be missing
    assert verdict(found, PLAN) == "Not yet. 0 of 7 are met."


def test_chlorine_is_clear_only_when_both_kinds_are_told() -> None:
    for told, state in (
        ({"free_chlorine_mg_l": 0}, ""),
        ({"free_chlorine_mg_l": 0, "chloramine_mg_l": 0}, "met"),
        ({"free_chlorine_mg_l": 0, "chloramine_mg_l": 0.5}, ""),
    ):
        assert state_of(checks(loop_of(source_water=told), [], PLAN), "chlorine") == state


def test_planned_feed_is_carried_only_when_proved_and_the_low_end_does() -> None:
    for stage, planned, state in (
        ("ready", 0.4, "met"),
        ("ready", 0.6, "part"),
        ("nitrite", 0.4, "part"),
        ("nitrite", 2.0, ""),
    ):
        plan = replace(PLAN, stage=stage, planned_load_g_day=planned)
        assert state_of(checks(loop_of(), [], plan), "planned feed") == state


def test_nitrate_has_risen_only_when_the_intervals_part() -> None:
    apart = [read(1, "no3", 0, 1), read(9, "no3", 5, 10)]
    together = [read(1, "no3", 0, 5), read(9, "no3", 2, 10)]
    assert state_of(checks(loop_of(), apart, PLAN), "Nitrate") == "met"
    assert state_of(checks(loop_of(), together, PLAN), "Nitrate") == "part"


def test_all_met_says_yes() -> None:
    water = {"free_chlorine_mg_l": 0, "chloramine_mg_l": 0}
    log = [read(1, "no3", 0, 1), *(read(9, q, 0, 0.1) for q in ("tan", "no2")), read(9, "no3", 5, 10)]
    found = checks(
        loop_of(source_water=water), [*log, read(9, "ph", 7, 7.5)], replace(PLAN, stage="ready", planned_load_g_day=0.4)
    )
    assert verdict(found, replace(PLAN, stage="ready")) == "Yes. All are met."


def test_with_fish_in_the_water_nothing_is_dosed_or_proved() -> None:
    plan = replace(PLAN, path="fish_in")
    assert not any("24 hours" in check.what for check in checks(loop_of(startup_path="fish_in"), [], plan))
    assert stages(plan) == []
    assert "Ready" not in " ".join(startup.verdict(plan))


def test_one_station_is_here_and_those_before_are_done() -> None:
    for stage, states in (
        ("new", ["here", "", "", ""]),
        ("nitrite", ["done", "here", "", ""]),
        ("ready", ["done", "done", "done", "here"]),
    ):
        assert [station.state for station in stages(replace(PLAN, stage=stage))] == states


def test_ledger_of_an_organic_source_keeps_what_is_still_bound() -> None:
    system = loop_of(ammonia_source={"source": "fish_feed"})
    fed = entry(0, "dosed", substance="fish_feed", amount="100 g")
    day0, later = (ledger(system, [fed], STARTED + timedelta(days=days)) for days in (0, 10))
    assert day0 is not None
    assert later is not None
    assert day0.slow
    assert float(later.total[2]) < float(day0.total[2])
    for book in (day0, later):
        assert float(book.total[1]) + float(book.total[2]) == pytest.approx(float(book.total[0]), abs=0.011)


def test_ledger_of_a_salt_is_free_at_once() -> None:
    book = ledger(loop_of(), [entry(0, "dosed", substance="ammonium_chloride", amount="7.6 g")], ON)
    assert book is not None
    # Nitrogen of ammonium chloride from the atomic weights: 14.007 / 53.492.
    assert float(book.total[0]) == pytest.approx(7.6 * 14.007 / 53.492, abs=0.006)
    assert (book.slow, book.total[2]) == (False, "0")
    assert ledger(loop_of(), [], ON) is None


class StartUp(TestCase):
    def setUp(self) -> None:
        self.keeper = User.objects.create_user("keeper")
        self.client.force_login(self.keeper)
        clock.pretend(ON)
        self.addCleanup(clock.pretend, None)
        self.members, store.MEMBERS = store.MEMBERS, 20
        self.addCleanup(setattr, store, "MEMBERS", self.members)

    def begin(self, system: System, *log: LogEntry) -> str:
        from rillbed.web.log.models import Loop

        self.loop = Loop.objects.create(name=system.name)
        keep(self.loop, self.keeper)
        bridge.add(self.loop, entry(0, "set_up", system=system.model_dump(mode="json")), *log)
        store.work_out(self.loop, ON)
        return self.page()

    def page(self) -> str:
        answer = self.client.get("/startup")
        assert answer.status_code == 200
        return answer.content.decode()

    def test_without_a_loop_it_says_how_to_begin(self) -> None:
        assert self.client.get("/startup")["Location"] == "/begin"

    def test_before_the_forecast_it_says_that_it_is_worked_out(self) -> None:
        from rillbed.web.log.models import Loop

        loop = Loop.objects.create(name="x")
        keep(loop, self.keeper)
        bridge.add(loop, entry(0, "set_up", system=loop_of().model_dump(mode="json")))
        assert "Working out the start-up" in self.page()

    def test_a_new_start_says_what_to_stir_in_with_its_cautions_and_done_writes_it(self) -> None:
        page = self.begin(loop_of())
        assert "Stir in" in page
        assert "No animals in the water while ammonia is dosed." in page
        assert "Never bring ammonia near bleach" in page
        assert "One dot is one chance in twenty" in page
        assert "holds no readings yet" in page
        for path in PATHS:
            assert path.title in page
        assert "No fish: bacteria first <span" in page
        fields = {
            name: page.split(f'name="{name}" value="')[1].split('"')[0].replace("&quot;", '"')
            for name in ("uuid", "kind", "payload")
        }
        assert fields["kind"] == "dosed"
        assert self.client.post("/done", fields).status_code == 302
        assert [one.kind for one in bridge.entries(self.loop)] == ["set_up", "dosed"]

    def test_high_nitrite_says_wait_and_shows_readings_on_the_bands(self) -> None:
        log = (
            entry(0, "dosed", substance="ammonium_chloride", amount="7.6 g"),
            read(11, "tan", 0, 0.2),
            read(11, "no2", 5, None),
        )
        page = self.begin(loop_of(), *log)
        assert "Add no ammonia today" in page
        assert 'class="obs"' in page
        assert "5 or more" in page
        assert "Ammonia through the start-up." in page
        assert "Stir in" not in page

    def test_a_running_loop_tells_how_it_was_started_and_what_it_carries(self) -> None:
        fish = {"species": "nile_tilapia", "count": 9, "weight": "12 g"}
        log = (
            entry(0, "dosed", substance="ammonium_chloride", amount="7.6 g"),
            entry(2, "dosed", substance="ammonium_chloride", amount="7.6 g"),
            read(3, "tan", 1, 2),
            read(3, "no2", 2, 5),
            *(read(day, quantity, 0, 0.1) for day in (8, 9) for quantity in ("tan", "no2")),
            entry(10, "fish_in", **fish),
        )
        page = self.begin(loop_of(), *log).replace("\u00a0", " ").replace("\u2060", "")
        assert "There is nothing to start" in page
        # Nitrogen of ammonium chloride from the atomic weights: 2 x 7.6 g x 14.007 / 53.492 = 3.98 g.
        assert re.search(r"2 times, (3\.98|4) g of nitrogen, 1 Apr to 3 Apr", page)
        assert "2–5 mg/L as N, 4 Apr 2031" in page
        assert "from 10 Apr 2031 on" in page
        assert "First fish</dt><dd>11 Apr 2031" in page
        assert re.search(r"Feed they can carry</dt><dd>[\d.]+–[\d.]+ g a day", page)
        assert "feed 20 g of each 100 g of the ration" in page
        assert 'href="/setup#start"' in page
        for path in PATHS:
            assert path.title in page

    def test_running_loop_has_nothing_to_start(self) -> None:
        assert "There is nothing to start" in self.begin(loop_of(startup_path="running"))
