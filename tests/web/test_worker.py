import time
from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import TransactionTestCase

from rillbed.web import bridge, clock
from rillbed.web.forecasts import store, worker
from rillbed.web.forecasts.models import StoredForecast
from rillbed.web.log.models import Loop


class Beside(TransactionTestCase):
    """The worker has its own connection, so what it should see must really be stored."""

    @pytest.fixture(autouse=True)
    def _given(self, made_up, monkeypatch) -> None:
        self.made_up, self.monkeypatch = made_up, monkeypatch
        monkeypatch.setattr(store, "MEMBERS", 50)

    def setUp(self) -> None:
        self.on = self.made_up.started + timedelta(days=8)
        clock.pretend(self.on)
        self.addCleanup(clock.pretend, None)
        # The tables are emptied after each test; the database lets no row go whose loop is not being erased.
        self.addCleanup(lambda: Loop.objects.update(erasing=True))
        self.loop = self.made_up.loop(self.made_up.system())
        self.client.force_login(self.made_up.keeper())

    def test_a_page_that_is_behind_renews_itself_and_only_then(self) -> None:
        self.monkeypatch.setattr(worker, "running", lambda: True)
        self.monkeypatch.setattr(worker, "wait_for", lambda *_: store.is_fresh(self.loop, self.on))
        assert self.client.get("/")["Refresh"] == "2"
        worker.catch_up()
        assert "Refresh" not in self.client.get("/")

    def test_one_bad_loop_keeps_no_other_from_its_forecast(self) -> None:
        later = self.made_up.system(name="Starts next year", started_on=self.on + timedelta(days=300))
        behind = self.made_up.loop(later)
        second = self.made_up.loop(self.made_up.system(name="Second loop"))
        worker.catch_up()
        assert store.latest(behind, self.on).problem
        for loop in (self.loop, second):
            assert store.latest(loop, self.on).fresh

    def test_a_fault_is_told_once_and_not_run_into_again(self) -> None:
        ran = []

        def broken(*_: object, **__: object) -> None:
            ran.append(time.monotonic())
            raise ZeroDivisionError

        self.monkeypatch.setattr(store, "answered", broken)
        for _ in range(3):
            worker.catch_up()
        assert len(ran) == 2  # the first answer, and the full one
        assert "fault in the program" in self.client.get("/").content.decode()

    def test_old_forecasts_do_not_pile_up(self) -> None:
        self.monkeypatch.setattr(store, "KEPT", 2)
        self.monkeypatch.setattr(store, "answered", lambda *_, **__: (_ for _ in ()).throw(ValueError("no")))
        for days in range(5):
            store.work_out(self.loop, self.on + timedelta(days=days))
        assert StoredForecast.objects.filter(loop=self.loop).count() == 2

    def test_another_model_makes_every_answer_an_old_one(self) -> None:
        worker.catch_up()
        assert store.is_fresh(self.loop, self.on)
        key = StoredForecast.objects.first().key
        self.monkeypatch.setattr(store, "MODEL_VERSION", "another")
        assert not store.is_fresh(self.loop, self.on)
        assert not (old := store.latest(self.loop, self.on)).fresh
        assert old.today is not None
        worker.catch_up()
        assert store.is_fresh(self.loop, self.on)
        assert StoredForecast.objects.first().key != key

    def test_a_log_read_before_is_read_again_once_it_has_grown(self) -> None:
        before = bridge.entries(self.loop)
        assert bridge.entries(self.loop) == before
        with self.assertNumQueries(1):
            bridge.entries(self.loop)
        at = clock.now()
        new = bridge.written(uuid=uuid4(), at=at, author="keeper", kind="note", payload={"text": "hums"})
        bridge.add(self.loop, new)
        assert [*bridge.entries(self.loop)] == [*before, new]
        late = bridge.written(
            uuid=uuid4(), at=at - timedelta(hours=1), author="keeper", kind="note", payload={"text": "told late"}
        )
        bridge.add(self.loop, late)
        read, entry = [], bridge.entry
        self.monkeypatch.setattr(bridge, "entry", lambda row: read.append(row.uuid) or entry(row))
        assert [*bridge.entries(self.loop)] == [*before, late, new]
        assert read == [late.uuid]  # what was read before is not read again
        assert isinstance(bridge.entries(self.loop), tuple)  # the next reader gets the same: nobody may change it

    def test_a_first_answer_comes_before_the_full_one_and_says_so(self) -> None:
        store.work_out(self.loop, self.on, "quick")
        first = store.latest(self.loop, self.on)
        assert (first.quick, first.fresh) == (True, False)
        assert "The full answer is being worked out" in self.client.get("/").content.decode()
        worker.catch_up()
        full = store.latest(self.loop, self.on)
        assert (full.quick, full.fresh) == (False, True)

    def test_an_entry_during_a_fit_makes_the_worker_begin_anew(self) -> None:
        told = []

        def overtaken(system, log, *, progress=None, budget="full", **_: object) -> None:
            told.append((budget, len(log)))
            if told == [("quick", 1), ("full", 1)]:
                note = bridge.written(uuid=uuid4(), at=clock.now(), author="k", kind="note", payload={"text": "hums"})
                bridge.add(self.loop, note)
                progress(0.5)
            raise ValueError("no more")

        self.monkeypatch.setattr(store, "answered", overtaken)
        worker.catch_up()
        assert told == [("quick", 1), ("full", 1), ("quick", 2), ("full", 2)]

    def test_a_fit_is_kept_and_read_back_as_it_was(self) -> None:
        from rillbed.web.forecasts import fits

        at = clock.now()
        payload = {"quantity": "tan", "unit": "mg/L", "basis": "n", "low": 0.5, "high": 1.0}
        bridge.add(self.loop, bridge.written(uuid=uuid4(), at=at, author="keeper", kind="reading", payload=payload))
        worker.catch_up()
        kept, made = fits.last(self.loop, store.made_with()), store._fits[self.loop.pk]
        assert kept.coordinates == made.coordinates
        assert abs(kept.z - made.z).max() < 1e-5
        assert fits.last(self.loop, "another program") is None
