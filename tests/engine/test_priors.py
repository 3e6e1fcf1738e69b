import numpy as np
import pytest

from rillbed.engine import priors

TABLE = {"mu_a": (0.6, 0.3), "mu_n": (0.54, 0.3), "decay": (0.06, 0.35), "k_tan": (0.6, 0.4)}


def test_a_member_does_not_depend_on_how_many_there_are_or_on_its_chunk():
    whole = priors.draw(TABLE, 7, 100)
    few = priors.draw(TABLE, 7, 10)
    late = priors.draw(TABLE, 7, 25, first=75)
    for name, value in whole.items():
        np.testing.assert_array_equal(few[name], value[:10])
        np.testing.assert_array_equal(late[name], value[75:])


def test_a_new_parameter_redraws_nobody():
    more = priors.draw({"aaa": (1.0, 1.0), **TABLE}, 7, 20)
    np.testing.assert_array_equal(more["k_tan"], priors.draw(TABLE, 7, 20)["k_tan"])


def test_medians_spread_correlation_and_the_decay_rule():
    d = priors.draw(TABLE, 1, 4000)
    assert np.median(d["k_tan"]) == pytest.approx(0.6, rel=0.03)
    assert np.std(np.log(d["k_tan"])) == pytest.approx(0.4, rel=0.05)
    assert np.corrcoef(np.log(d["mu_a"]), np.log(d["mu_n"]))[0, 1] == pytest.approx(0.5, abs=0.08)
    assert (d["decay"] <= 0.25 * np.minimum(d["mu_a"], d["mu_n"]) + 1e-12).all()


def test_the_seed_changes_with_the_loop():
    assert priors.loop_seed("a", "2024-01-01") != priors.loop_seed("b", "2024-01-01")
