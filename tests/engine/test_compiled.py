"""The hours in machine code against the same words run by numpy."""

from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

import numpy as np
import pytest

from rillbed.engine import compiled
from rillbed.engine.future import Future
from rillbed.engine.inputs import Event

needs_compiler = pytest.mark.skipif(not compiled.installed(), reason="the extra `fast` is not installed")
STOCKED = [Event(0, "fish_in", {"count": 25, "weight_g": 20}, "any"), Event(0, "plant", {"count": 30}, "any")]
STARTING = {
    "days": 90, "future": Future(refill_to_mg_l=2.0, full_load_mg_l=2.0, base_floor_meq_l=1.0, base_target_meq_l=2.0),
}  # fmt: skip
CASES = {
    "stocked": {"loop": {"volume_m3": 1.3, "bed_area_m2": 3.0}, "days": 60, "events": STOCKED},
    "starting": {"loop": {}, **STARTING},
    "hard": {"loop": {"source": {"alk": 9.0}}, **STARTING},  # above pH 8.8, where the full speciation steps in
    "stands still": {
        "loop": {"volume_m3": 1.3}, "days": 12,
        "events": [
            *STOCKED, Event(3, "air_off", {"from_h": 2.0, "to_h": 9.5}),
            Event(5, "flow_off", {"from_h": 0.0, "to_h": 24.0}),
        ],
    },
}  # fmt: skip


def went(play, way, case, **how):
    given = {"members": 37} | case | how
    with compiled.by(way):
        return play(given.pop("loop"), given.pop("days"), **given)


@needs_compiler
@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_what_is_stored_is_that_of_numpy(play, case):
    fast, plain = (went(play, way, case) for way in ("compiled", "numpy"))
    for name, column in plain.columns.items():
        if name == "n_unexplained":  # what rounding leaves open
            assert np.abs(fast.columns[name] - column).max() < 1e-9
        else:
            np.testing.assert_allclose(fast.columns[name], column, rtol=3e-7, atol=1e-12, err_msg=name)
    np.testing.assert_array_equal(fast.completion, plain.completion)
    np.testing.assert_allclose(fast.y, plain.y, rtol=1e-9, atol=1e-12)


@needs_compiler
def test_the_hard_case_needs_the_full_speciation(play):
    assert went(play, "compiled", CASES["hard"]).columns["ph"].max() > 8.9


@needs_compiler
@pytest.mark.parametrize("way", ["compiled", "numpy"])
def test_a_member_is_the_same_to_the_last_bit_in_any_company(play, way):
    whole = went(play, way, CASES["stocked"], days=20)
    for first, members in ((0, 1), (1, 16), (17, 20)):
        part = went(play, way, CASES["stocked"], days=20, first=first, members=members)
        np.testing.assert_array_equal(part.y, whole.y[:, first : first + members])
        for name, column in part.columns.items():
            np.testing.assert_array_equal(column, whole.columns[name][:, first : first + members], err_msg=name)


@needs_compiler
@pytest.mark.filterwarnings("ignore:.*fork:DeprecationWarning")
def test_a_second_thread_changes_nothing_also_after_a_fork(play, monkeypatch):
    alone = went(play, "compiled", CASES["stocked"], days=5)
    monkeypatch.setattr(compiled, "SHARED_FROM", 2)
    monkeypatch.setattr(compiled.os, "cpu_count", lambda: 2)
    np.testing.assert_array_equal(went(play, "compiled", CASES["stocked"], days=5).y, alone.y)
    used = compiled._hand()
    with ProcessPoolExecutor(1, mp_context=get_context("fork")) as pool:
        assert pool.submit(_has_its_own, id(used)).result(30)


def _has_its_own(used: int) -> bool:
    return compiled._hand().submit(id, compiled._hand()).result(20) != used


@needs_compiler
def test_the_elementary_functions_are_good_to_the_last_digits():
    from rillbed.engine import elementary

    rng = np.random.default_rng(3)
    wide = np.concatenate([rng.uniform(-700, 700, 2000), rng.normal(0, 1e-8, 500), rng.normal(0, 1, 2000), [0.0]])
    for own, of_numpy, x in (
        (elementary.exp, np.exp, wide), (elementary.expm1, np.expm1, wide),
        (elementary.log10, np.log10, np.exp(wide)),
    ):  # fmt: skip
        truth = of_numpy(x)
        ours = np.array([own(v) for v in x])
        scale = np.maximum(np.abs(truth), 1e-2 if own is elementary.log10 else 0.0)
        assert (np.abs(ours - truth) <= 4 * np.spacing(scale)).all(), of_numpy.__name__
    assert np.isnan(elementary.maximum(np.nan, 0.0))  # a state that is no number stays visible
    assert np.isnan(elementary.exp(np.nan))


def test_without_the_extra_numpy_does_it_all(play, monkeypatch):
    monkeypatch.setattr(compiled, "installed", lambda: False)
    assert compiled.way() == "numpy"
    monkeypatch.setattr(compiled, "_lanes", None)
    assert np.isfinite(play({}, 3, members=2).y).all()
    with (
        pytest.raises(ValueError, match="by: 'compiled' is not possible here; allowed: numpy"),
        compiled.by("compiled"),
    ):
        pass


def test_rows_of_the_state_and_of_the_hour_are_the_same():
    from rillbed.engine.pools import Pools
    from rillbed.engine.state import S

    assert [name.upper() for name in Pools._fields[: S.CAP_N + 1]] == [row.name for row in S][: S.CAP_N + 1]
