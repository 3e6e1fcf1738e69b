"""Jobs: asked for once, held by one worker, taken over from one that is gone."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import transaction
from django.db.models.functions import Now
from django.test import TestCase

from rillbed.web import clock
from rillbed.web.forecasts import jobs, store, worker
from rillbed.web.forecasts.models import Job, StoredForecast, Worker


class Jobs(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up, monkeypatch) -> None:
        self.made_up, self.monkeypatch = made_up, monkeypatch

    def setUp(self) -> None:
        self.on = self.made_up.started + timedelta(days=8)
        clock.pretend(self.on)
        self.addCleanup(clock.pretend, None)
        self.loop = self.made_up.loop(self.made_up.system())

    def ask(self, digest: str = "one", kind: str = "made-up", rank: int = 1) -> None:
        jobs.ask(self.loop, kind, digest, rank)

    def states(self) -> list[str]:
        return list(Job.objects.order_by("pk").values_list("state", flat=True))

    def gone(self) -> None:
        Job.objects.update(lease_until=Now() - timedelta(seconds=1))

    def test_it_is_asked_for_once_and_a_state_that_passed_asks_no_more(self) -> None:
        self.ask("one")
        self.ask("one")
        assert Job.objects.count() == 1
        self.ask("two")
        assert list(Job.objects.values_list("digest", flat=True)) == ["two"]

    def test_the_most_urgent_is_taken_first_and_by_one_only(self) -> None:
        self.ask("late", "slow", 2)
        self.ask("soon", "quick", 0)
        taken = [jobs.claim(("slow", "quick"), f"w{n}") for n in range(3)]
        assert [one and one.job.digest for one in taken] == ["soon", "late", None]
        assert jobs.claim(("other",), "w") is None

    def test_a_lease_that_runs_out_gives_the_job_to_another_and_the_first_stores_nothing(self) -> None:
        self.ask()
        first = jobs.claim(("made-up",), "first")
        assert jobs.claim(("made-up",), "second") is None
        self.gone()
        second = jobs.claim(("made-up",), "second")
        assert second.job == first.job
        with pytest.raises(jobs.Lost), jobs.holding(first), jobs.storing():
            pytest.fail("stored by a worker that had lost the job")
        with jobs.holding(second), jobs.storing():
            pass
        assert second.ended
        assert self.states() == ["done"]

    def test_a_lease_that_is_renewed_is_kept(self) -> None:
        self.ask()
        held = jobs.claim(("made-up",), "first")
        self.gone()
        jobs.renew([held.token])
        assert jobs.claim(("made-up",), "second") is None

    def test_what_fails_while_it_is_stored_leaves_the_job_open(self) -> None:
        self.ask()
        held = jobs.claim(("made-up",), "w")
        with pytest.raises(ZeroDivisionError), jobs.holding(held), jobs.storing():
            raise ZeroDivisionError
        assert not held.ended
        assert self.states() == ["taken"]

    def test_a_job_put_back_was_no_try_and_one_that_ends_its_workers_is_given_up(self) -> None:
        self.ask()
        jobs.put_back(jobs.claim(("made-up",), "w"))
        assert Job.objects.get().tries == 0
        for _ in range(jobs.MOST_TRIES):
            assert jobs.claim(("made-up",), "w") is not None
            self.gone()
        assert jobs.claim(("made-up",), "w") is None
        assert [job.tries for job in jobs.given_up()] == [jobs.MOST_TRIES]
        assert self.states() == ["failed"]
        assert jobs.given_up() == []

    def test_a_forecast_given_up_is_told_on_the_page(self) -> None:
        worker.ask(worker.FORECASTS, self.loop)
        assert sorted(Job.objects.values_list("kind", flat=True)) == ["first", "full"]
        Job.objects.update(state="taken", tries=jobs.MOST_TRIES)
        self.gone()
        worker.catch_up()
        assert "begun several times" in store.latest(self.loop, self.on).problem

    def test_an_answer_thrown_away_is_asked_for_again_but_not_at_once(self) -> None:
        self.monkeypatch.setattr(store, "answered", lambda *_, **__: (_ for _ in ()).throw(ValueError("no")))
        worker.catch_up()
        assert self.states() == ["done", "done"]
        StoredForecast.objects.all().delete()
        worker.ask(worker.FORECASTS, self.loop)
        assert self.states() == ["done", "done"]
        Job.objects.update(ended_at=Now() - timedelta(seconds=2 * jobs.AGAIN_S))
        worker.catch_up()
        assert store.latest(self.loop, self.on).problem == "no"

    def test_a_loop_that_is_erased_takes_its_jobs_along(self) -> None:
        from rillbed.web.log.erase import erase

        self.ask()
        held = jobs.claim(("made-up",), "w")
        erase(self.loop)
        assert not Job.objects.exists()
        with pytest.raises(jobs.Lost), transaction.atomic():
            jobs.end(held)

    def test_old_jobs_do_not_pile_up(self) -> None:
        self.ask("old")
        jobs.end(jobs.claim(("made-up",), "w"))
        Job.objects.update(ended_at=Now() - timedelta(days=jobs.KEPT_DAYS + 1))
        self.ask("new")
        jobs.end(jobs.claim(("made-up",), "w"))
        assert list(Job.objects.values_list("digest", flat=True)) == ["new"]

    def test_a_worker_says_that_it_lives_and_is_forgotten_a_day_later(self) -> None:
        self.monkeypatch.setattr(worker, "name", f"here:{uuid4()}")
        worker.beat()
        assert worker.calls.living(Worker) == [worker.name]
        Worker.objects.update(seen_at=Now() - timedelta(minutes=5), name="gone")
        assert worker.calls.living(Worker) == []
        Worker.objects.update(seen_at=Now() - timedelta(days=2))
        worker.beat()
        assert list(Worker.objects.values_list("name", flat=True)) == [worker.name]
