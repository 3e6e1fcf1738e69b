import numpy as np
import pytest

from rillbed.plan.batch import Element, binding, capacity, draw_of_one, grams_to_add, largest_batch


def steady(level, days=40, members=100):
    return np.full((days, members), level)


def lone_draw(uptake=0.01, loss=0.0, volume=1.0, days=40, members=100):
    return draw_of_one(np.full((days, 1), uptake), steady(loss, days, members), steady(volume, days, members))


def test_a_constant_store_without_inflow_is_shared_out_exactly():
    # 22 mg/L in 1 m3 with a floor of 2 is 20 g; one plant takes 0.01 g x 40 d = 0.4 g: 50 plants.
    found = capacity({"n": Element(steady(22.0), lone_draw(), 2.0)})
    assert found.plants == pytest.approx(np.full(100, 50.0))
    assert largest_batch(found, np.ones(100), 0.8) == 50
    assert binding(found, np.ones(100))[0].day == 39


def test_loss_shrinks_the_draw_to_the_closed_form():
    draw = lone_draw(uptake=0.01, loss=0.1, days=30)
    decay = np.exp(-0.1)
    assert draw[29, 0] == pytest.approx(0.01 * (1 - decay**30) / (1 - decay), rel=1e-12)


def test_joint_quantile_is_not_the_smaller_of_two_quantiles():
    # Half the members are short of one element, the other half of another: each alone would pass at 60 %.
    low, high = steady(4.0), steady(42.0)
    first, second = low.copy(), high.copy()
    first[:, 50:], second[:, 50:] = 42.0, 4.0
    both = capacity({"n": Element(first, lone_draw(), 2.0), "k": Element(second, lone_draw(), 2.0)})
    alone = capacity({"n": Element(first, lone_draw(), 2.0)})
    assert largest_batch(both, np.ones(100), 0.6) == 5
    assert largest_batch(alone, np.ones(100), 0.45) == 100
    assert {item.limit: item.chance for item in binding(both, np.ones(100))} == {"k": 0.5, "n": 0.5}


def test_more_confidence_never_carries_more():
    rng = np.random.default_rng(3)
    pool = np.maximum(rng.normal(20, 8, size=(1, 200)), 0) * np.ones((40, 1))
    found = capacity({"n": Element(pool, lone_draw(members=200), 2.0)})
    sizes = [largest_batch(found, np.ones(200), q) for q in (0.5, 0.6, 0.7, 0.8, 0.9)]
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[0] > sizes[-1]


def test_a_pool_under_its_floor_carries_nothing_and_too_few_members_tell_nothing():
    found = capacity({"fe": Element(steady(0.1), lone_draw(), 0.3)})
    assert largest_batch(found, np.ones(100), 0.8) == 0
    assert largest_batch(found, np.ones(100), 0.95) is None


def test_grams_to_add_close_the_gap_they_name():
    element = Element(steady(5.0), lone_draw(), 5.0)
    assert grams_to_add(element, 10, steady(1.0), np.ones(100), 0.8) == pytest.approx(10 * 0.4)


def test_bad_input_is_named():
    with pytest.raises(ValueError, match="elements"):
        capacity({})
    with pytest.raises(ValueError, match="confidence"):
        largest_batch(capacity({"n": Element(steady(9.0), lone_draw(), 2.0)}), np.ones(100), 1.0)
