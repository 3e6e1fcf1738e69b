"""A whole fit: what it learns, what it leaves alone, and that it never depends on chance."""

from datetime import timedelta

import numpy as np
import pytest
from tests.fit.conftest import START, dose, entry, loop, reading

from rillbed import engine, fit
from rillbed.fit.cycled import cycled
from rillbed.fit.setting import Setting
from rillbed.garden.log import LogEntry

ON = START + timedelta(days=10)


@pytest.fixture(scope="module")
def fitted(startup):
    return fit.fit(*startup, on=ON)


@pytest.fixture(scope="module")
def ahead(startup, fitted):
    return fit.forecast(*startup, on=ON, horizon_days=50, posterior=fitted)


def test_the_log_of_a_start_narrows_the_day_of_completion(startup, ahead):
    system, log = startup
    plain = engine.forecast(system, log, on=ON, horizon_days=50)

    def band(f):
        return np.diff(np.quantile(np.nan_to_num(f.completion, nan=60.0), [0.1, 0.9]))[0]

    assert band(ahead) < 0.75 * band(plain)


def test_the_fitted_members_show_what_was_read(ahead):
    tan = ahead.quantile("tan_mg_l", 0.5)
    assert 0.1 < tan[10] < 0.9
    assert tan[6] > 1.2


def test_a_start_teaches_the_bacteria_and_not_the_plants(fitted):
    sd = dict(zip(fitted.coordinates.names, fitted.z.std(axis=1), strict=True))
    assert sd["cap_a0"] < 0.6
    assert min(sd[n] for n in ("dm_gain", "et_factor", "tgc_factor", "k_lux_pct")) > 0.75


def test_the_same_log_gives_the_same_members_whatever_its_order(startup, fitted):
    system, log = startup
    again = fit.fit(system, log[::-1], on=ON)
    assert again.digest == fitted.digest


def test_a_corrected_entry_equals_one_never_made(startup):
    system, log = startup
    wrong = reading(10, "no2", 0, tag="wrong")
    right = reading(10, "no2", 5, tag="wrong")
    late = LogEntry(**(right.model_dump(exclude={"uuid", "supersedes"}) | {"uuid": reading(9, "no2", 5).uuid,
                                                                           "supersedes": wrong.uuid}))  # fmt: skip
    mended = fit.fit(system, [*log, wrong, late], on=ON, budget="quick")
    never = fit.fit(system, [*log, right.model_copy(update={"uuid": wrong.uuid})], on=ON, budget="quick")
    assert mended.digest == never.digest


def test_without_evidence_the_prior_stands():
    posterior = fit.fit(loop(), [dose(0, 10.0)], on=ON, members=100)
    assert posterior.reached == 1.0
    plain = engine.forecast(loop(), [dose(0, 10.0)], on=ON, horizon_days=0, members=100)
    _, params = posterior.coordinates.values(posterior.setting.first, posterior.z)
    for name, value in params.items():
        np.testing.assert_allclose(value, plain.params[name], rtol=1e-9, err_msg=name)


def test_every_balance_is_closed_and_the_paths_are_booked_as_unexplained(ahead):
    assert ahead.stop == "reached the horizon of 50 days with every balance closed"
    assert max(v.max() for v in ahead.ledger.values()) < 1e-9
    assert set(ahead.columns) == set(engine.COLUMNS)
    assert np.abs(ahead.columns["n_unexplained"]).max() > 0.0


def test_a_first_answer_is_no_narrower_than_the_whole_fit_and_says_how_far_it_got(startup, fitted):
    quick = fit.fit(*startup, on=ON, budget="quick")
    assert 0.0 < quick.reached <= 1.0
    assert fitted.reached == 1.0
    assert fitted.effective > 150


def test_members_keep_the_bacteria_alive(fitted):
    _, p = fitted.coordinates.values(fitted.setting.first, fitted.z)
    assert (p["decay"] <= 0.25 * np.minimum(p["mu_a"], p["mu_n"]) + 1e-12).all()


def test_a_dose_acts_at_its_hour(startup):
    """A full dose at ten in the evening cannot have been eaten by nine the next morning as one given at dawn."""
    from rillbed.fit.follow import Look
    from rillbed.fit.setting import Setting

    seen = {}
    for hour in (1.0, 22.0):
        setting = Setting.of(loop(seeding="mature"), [dose(2, 10.0, hour=hour)], START + timedelta(days=4))
        c = setting.coordinates()
        look = Look(3, "tan", 9.0)
        run = setting.run(c, c.prior(setting.first, 1, 20), days=4, looks=[look])
        for d in range(4):
            run.day(d)
        seen[hour] = run.seen[look]
        assert max(v.max() for v in run.books.worst.values()) < 1e-9
    assert (seen[22.0] > seen[1.0]).all()


def weighed(day, grams):
    return entry(day, "fish_weighed", {"group": "a", "count": 20, "total": {"value": 20 * grams, "unit": "g"}})


def test_weigh_ins_teach_growth_and_set_the_weight():
    """Weighed are fish that grow at a factor of 0.7, one and a half spreads of the prior below its median."""
    from rillbed.fit.setting import Setting

    system = loop(startup_path="running")
    fish = {"species": "nile_tilapia", "count": 20, "weight": {"value": 20, "unit": "g"}, "group": "a"}
    log = [entry(0, "fish_in", fish)]
    on = START + timedelta(days=90)
    setting = Setting.of(system, log, on + timedelta(days=60))
    c = setting.coordinates()
    z = np.zeros((len(c.names), 1))
    z[c.place("tgc_factor")] = np.log(0.7) / 0.2
    truth = setting.run(c, z, days=151)
    for d in range(151):
        truth.day(d)
    grown = truth.columns["fish_weight_g"][:, 0]
    log += [weighed(day, float(grown[day - 1])) for day in (30, 60, 90)]
    posterior = fit.fit(system, log, on=on)
    after, plain = (
        fit.forecast(system, entries, on=on, horizon_days=60, posterior=p)
        for entries, p in ((log, posterior), (log[:1], fit.fit(system, log[:1], on=on)))
    )
    at = {q: after.quantile("fish_weight_g", q)[90] for q in (0.1, 0.9)}
    assert at[0.1] < grown[90] < at[0.9]
    assert at[0.9] / at[0.1] < 1.3
    error = [abs(np.log(np.median(f.columns["fish_weight_g"][150]) / grown[150])) for f in (after, plain)]
    assert error[0] < 0.5 * error[1]
    assert after.quantile("fish_weight_g", 0.1)[150] < grown[150] < after.quantile("fish_weight_g", 0.9)[150]


def test_a_new_reading_starts_where_the_last_fit_ended(startup, fitted):
    """With the fit of ten days at hand, the first answer on day twelve is the whole fit's, within its own noise."""
    system, log = startup
    on = START + timedelta(days=12)
    more = [*log, reading(12, "tan", 0), reading(12, "no2", 5), reading(12, "no3", 5)]
    quick = fit.fit(system, more, on=on, budget="quick", previous=fitted)
    full = fit.fit(system, more, on=on)
    assert quick.reached == 1.0
    for name in ("cap_a0", "mu_n", "cap_ratio"):
        i = quick.coordinates.place(name)
        assert quick.z[i].mean() == pytest.approx(full.z[i].mean(), abs=0.3)
        assert quick.z[i].std() == pytest.approx(full.z[i].std(), rel=0.35)


def test_workers_change_nothing(startup):
    from concurrent.futures import ThreadPoolExecutor

    system, log = startup
    with ThreadPoolExecutor(2) as executor:
        split = fit.fit(system, log, on=ON, budget="quick", executor=executor)
    alone = fit.fit(system, log, on=ON, budget="quick")
    np.testing.assert_allclose(split.z, alone.z, rtol=1e-9, atol=1e-12)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"members": 1}, "members: 1 is too few; allowed from 2"),
        ({"budget": "endless"}, "budget: 'endless' is not known; allowed: quick, full"),
        ({"on": START - timedelta(days=1)}, "on: 2025-03-31 is before the loop's start"),
    ],
)
def test_refusals(startup, change, message):
    with pytest.raises(ValueError, match=message):
        fit.fit(*startup, **({"on": ON} | change))


def test_a_fit_and_a_forecast_end_on_any_day_of_a_path_month():
    # a knot of the paths stands every 30 days; the days beside it once asked for one more than there was
    for last in (28, 29, 30):
        log = [dose(0, 10.0), reading(last, "tan", 1)]
        posterior = fit.fit(loop(), log, on=START + timedelta(days=last), budget="quick", members=20)
        assert posterior.members == 20
        assert 0.0 <= cycled(posterior, members=5) <= 1.0
        made = fit.forecast(loop(), log[:1], on=START, horizon_days=last, members=5)
        assert made.days == last


def test_a_path_does_not_depend_on_how_far_it_is_asked_for():
    c = Setting.of(loop(), [], START).coordinates(days=60)
    z = c.draw(1, 3)
    full = c.path("xi_nitrif", z, 60)
    assert all(np.array_equal(c.path("xi_nitrif", z, days), full[:days]) for days in (1, 29, 30, 31, 59))
    with pytest.raises(ValueError, match="days: 91 is beyond the paths; allowed to 90"):
        c.path("xi_nitrif", z, 91)
