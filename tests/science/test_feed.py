import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillbed.science import feed

SHARE = st.floats(0.0, 1.0)


def test_textbook_chain_is_the_sizing_factor():
    # 0.16 N in protein, 0.80 assimilated, 0.80 excreted, 0.90 as ammonia; printed with two digits
    assert pytest.approx(feed.N_OF_PROTEIN * 0.80 * 0.80 * 0.90, abs=0.0005) == feed.SIZING_TAN_PER_PROTEIN


def test_sizing_is_above_what_the_balance_dissolves_for_a_stock_that_converts_well():
    # 32 % protein, conversion 1.5, 2.45 % N in fish, 3 % left, 12 % voided: 27.2 g dissolve of 51.2, sizing says 29.4
    given_n = feed.nitrogen_g(1000.0, 0.32)
    fate = feed.nitrogen_fate(given_n, 1000.0 / 1.5, 0.03, 0.12)
    assert fate.dissolved == pytest.approx(27.2, abs=0.06)
    assert feed.sizing_tan_g_day(1000.0, 0.32) > fate.dissolved
    # the sizing factor, retention and solids together are more than the feed holds: it can be no part of a balance
    assert feed.sizing_tan_g_day(1000.0, 0.32) + fate.retained + fate.solids == pytest.approx(53.4, abs=0.06)


@given(st.floats(0.0, 1e4), st.floats(-50.0, 1e5), SHARE, SHARE)
def test_nitrogen_closes_and_nothing_is_made(given_g, gain, uneaten, faecal):
    fate = feed.nitrogen_fate(given_g, gain, uneaten, faecal)
    assert fate.given == pytest.approx(given_g, abs=1e-9)
    assert min(fate.faecal, fate.uneaten, fate.dissolved) >= -1e-9
    assert fate.retained <= feed.MOST_KEPT * given_g + 1e-9


def test_fish_that_lose_weight_give_their_nitrogen_back():
    fate = feed.nitrogen_fate(0.0, -40.0, 0.03, 0.12)
    assert fate.dissolved == pytest.approx(40.0 * feed.FISH_N)


@given(st.floats(0.0, 1e3), st.floats(0.0, 0.6), st.floats(0.0, 0.37), SHARE)
def test_every_element_closes_with_no_negative_part(given_g, fish, water, uneaten):
    fate = feed.element_fate(given_g, fish, water, uneaten)
    assert fate.given == pytest.approx(given_g, abs=1e-9)
    assert min(fate.retained, fate.faecal, fate.uneaten, fate.dissolved) >= -1e-9


def test_arrays_of_members_go_through():
    fate = feed.element_fate(2.0, 0.15, 0.75, np.array([0.0, 0.03, 0.2]))
    assert fate.dissolved.shape == (3,)
    assert np.all(np.diff(fate.dissolved) < 0.0)


@pytest.mark.parametrize(("fish", "water"), [(0.6, 0.5), (-0.1, 0.5), (0.1, -0.2)])
def test_shares_that_cannot_be_are_refused(fish, water):
    with pytest.raises(ValueError, match=r"to_fish .* and dissolved .*: must be at least 0 and sum to at most"):
        feed.element_fate(1.0, fish, water)
