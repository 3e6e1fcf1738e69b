"""A loop of ten years: the worker answers, the fit outlives a restart, and every page opens."""

import pytest
from django.test import TestCase
from tests.fit.conftest import START, loop
from tests.fit.test_answers import FINE
from tests.fit.test_window import ON, ten_years

from rillbed.fit import refit
from rillbed.fit.window import begin_of
from rillbed.plan.ahead import ahead
from rillbed.web import bridge, clock
from rillbed.web.forecasts import fits, store, worker
from rillbed.web.frame.pages import doors


class TenYears(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up, monkeypatch) -> None:
        self.made_up = made_up
        monkeypatch.setattr(store, "MEMBERS", 40)
        monkeypatch.setattr(store, "QUICK_MEMBERS", 40)
        monkeypatch.setitem(refit.EFFORTS, "full", refit.EFFORTS["quick"])  # the test is of the age, not of the fit

    def setUp(self) -> None:
        clock.pretend(ON)
        self.addCleanup(clock.pretend, None)
        self.loop = self.made_up.loop(loop(kits=(FINE,)))
        self.log = ten_years()
        bridge.add(self.loop, *self.log)
        self.client.force_login(self.made_up.keeper())

    def test_first_and_full_answers_are_worked_out_and_every_page_opens(self) -> None:
        worker.catch_up()
        answer = store.latest(self.loop, ON)
        assert answer.fresh
        assert not answer.problem
        assert answer.outlook.rows[0].on > begin_of(START, ON)
        for door in doors("/"):
            assert self.client.get(door.path).status_code == 200, door.path
        before = store._fits[self.loop.pk]
        again = fits.last(self.loop, store.made_with())
        assert again.setting.start == before.setting.start == begin_of(START, ON)
        assert again.coordinates == before.coordinates
        log = bridge.entries(self.loop)
        first = bridge.first_system(log)
        ran = [ahead(first, log, on=ON, horizon_days=20, members=40, posterior=p) for p in (before, again)]
        middle, kept = (f.quantile("fish_weight_g", 0.5)[-1] for f in ran)
        assert kept == pytest.approx(middle, rel=0.1)
