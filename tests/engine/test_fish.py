"""Fish in the engine: growth and ration from one set of figures, and nitrogen that stays found."""

from dataclasses import replace

import numpy as np
import pytest

from rillbed import facts
from rillbed.engine import fish, pack
from rillbed.engine.inputs import Event, Feed, Fish
from rillbed.engine.state import MINERALS

NONE, FULL = np.zeros(1), np.full(1, 9.0)
WELL = fish.Felt(NONE, NONE, NONE, FULL)
TYPICAL = {name: np.ones(1) for name in ("tgc_factor", "fcr_factor")} | {"uneaten": NONE + 0.03, "faecal": NONE + 0.12}


PLAIN = Fish(
    tgc=1.0, tgc_at_c=28.0, fcr=1.5, tan_limit=2.0, no2_limit=0.3, cl_guard=0.03, o2_want=5.0, o2_crit=2.0, t_stop=17.0,
    t_low=17.0, t_best=30.0, t_high=38.0, table=(), harvest_g=1000.0, end_g=6000.0,
)  # fmt: skip
FOOD = Feed(protein=0.32, content={}, to_fish={}, dissolved={})


def group(weight, count=10.0, **kind):
    return fish.Group(replace(PLAIN, **kind), "g", count, np.full(1, float(weight)))


def want(g, temp=28.0, felt=WELL):
    return fish.full_ration(g, fish.able(g, np.full(1, temp), TYPICAL)) * fish.appetite(g.kind, felt)


def eat(g, grams, temp=28.0, felt=WELL):
    return fish.eat(g, fish.able(g, np.full(1, temp), TYPICAL), FOOD, grams, fish.appetite(g.kind, felt), TYPICAL)


def test_a_season_at_full_ration_is_the_published_growth():
    # 30 g at a coefficient of 1.0 and 26 degC for 84 days: 146.99 g in daily steps
    g, given = group(30, tgc_at_c=26.0), 0.0
    for _ in range(84):
        grams = want(g, 26.0)
        meal = eat(g, grams, 26.0)
        g.weight = g.weight + meal.gain
        given += float(grams[0])
    assert g.weight == pytest.approx(146.99, abs=0.006)
    assert given == pytest.approx(g.kind.fcr * g.count * (g.weight[0] - 30.0))  # feed is the ratio times the gain


def test_feed_beyond_appetite_is_left_as_solids():
    g = group(20)
    full, half_more = (eat(g, x * want(g)) for x in (1.0, 1.5))
    np.testing.assert_allclose(half_more.gain, full.gain)
    np.testing.assert_allclose(half_more.dissolved_n, full.dissolved_n)
    np.testing.assert_allclose(half_more.solids_n - full.solids_n, half_more.given_n / 3.0)


def test_fish_that_cannot_eat_grow_no_more_than_unfed_ones():
    g, choked = group(50), fish.Felt(NONE, NONE, NONE, NONE)
    unfed, offered = eat(g, NONE), eat(g, NONE + 9.0, felt=choked)
    assert unfed.gain == offered.gain < 0.0
    assert want(g, felt=choked) == 0.0


def test_chloride_keeps_nitrite_from_spoiling_the_appetite():
    g = group(50)
    bad = fish.Felt(NONE, NONE + 0.9, NONE, FULL)
    assert want(g, felt=bad) == 0.0
    assert want(g, felt=replace(bad, cl=NONE + 30.0)) == want(g)  # 30 g/m3 keep 0.9 g/m3 out, here
    assert want(group(50, cl_guard=0.0), felt=replace(bad, cl=NONE + 30.0)) == 0.0
    catfish, bass = pack.fish_of("channel_catfish"), pack.fish_of("largemouth_bass")
    assert catfish.cl_guard == pytest.approx(1 / 32.845, rel=1e-4)  # ten parts of chloride to one of the ion
    assert bass.cl_guard == 0.0


def test_the_feed_table_caps_the_ration_in_any_water():
    bound = group(500, table=((100.0, 0.030), (500.0, 0.010)))
    for temp in (22.0, 30.0):
        response = fish.warmth(bound.kind, np.asarray(temp))
        assert want(bound, temp) / (bound.count * 500.0) == pytest.approx(0.010 * response)
        assert want(bound, temp) < want(group(500), temp)


def test_no_feed_below_the_temperature_the_species_stops_at():
    assert want(group(50, t_stop=19.0), 18.5) == 0.0
    assert want(group(50, t_stop=17.0), 18.5) > 0.0


def test_nitrogen_of_the_fish_follows_their_weight(play):
    events = [Event(0, "fish_in", {"count": 10, "weight_g": 60}, "f"), Event(40, "feed", {"grams": 0.0})]
    events += [Event(d, "feed", {"grams": 0.0}) for d in range(41, 60)]
    run = play({"temp_c": (26.0,) * 12}, 60, members=5, events=events, species={"f": {}})
    kept, lost = (run.columns[name].astype(float).sum(axis=0) for name in ("n_fish", "n_fasting"))
    gained = run.groups[0].weight - 60.0
    np.testing.assert_allclose(kept - lost, 10 * gained * PLAIN.n_body, rtol=1e-5)
    assert (lost > 0.0).all()


def test_every_species_grows_as_its_row_says():
    for key, row in facts.species().items():
        kind = pack.fish_of(key)
        assert kind.t_best > (kind.t_low + kind.t_high) / 2.0, key  # or the response is no curve with one top
        g = fish.Group(kind, key, 1.0, np.full(1, 50.0))
        if row.tgc_typical_per1000 is not None and kind.t_stop < kind.tgc_at_c and row.harvest_weight_g >= 50:
            published = 3.0 * row.tgc_typical_per1000 * row.tgc_ref_temp_c / 1000.0 * 50.0 ** (2 / 3)
            assert fish.able(g, np.full(1, row.tgc_ref_temp_c), TYPICAL).gain == pytest.approx(published), key
        assert 0.0 < want(g, kind.t_best) / 50.0 < 0.06, key


def test_only_a_table_of_its_own_caps_a_species():
    assert pack.fish_of("nile_tilapia").table[-1] == pytest.approx(
        (500.0, 0.013)
    )  # Rakocy 1989, SRAC Publ. 282, table 1
    assert pack.fish_of("rainbow_trout").table == ()  # its line was worked out from the growth coefficient itself
    # redclaw: four lines of practice and no coefficient; 35-100 g in 6-9 months were published, so at seven and a half:
    claws = fish.Group(pack.fish_of("redclaw"), "c", 1.0, np.full(1, 5.0))
    for _ in range(228):
        claws.weight = claws.weight + fish.able(claws, np.full(1, 27.5), TYPICAL).gain
    assert 35.0 < claws.weight < 100.0


def test_a_species_without_a_coefficient_eats_by_its_table(monkeypatch):
    row = replace(
        facts.species()["redclaw"], fcr_typical=2.0, ctmi_topt_c=27.5, feed_pctbwd_at_topt_20g=2.5,
        feed_pctbwd_at_topt_50g=2.0, ctmi_tmin_c=16.0, ctmi_tmax_c=34.5, tgc_typical_per1000=None,
    )  # fmt: skip
    monkeypatch.setattr(facts, "species", lambda: {"claws": row}, raising=False)
    g = fish.Group(pack.fish_of("claws"), "c", 1.0, np.full(1, 50.0))
    assert want(g, 27.5) == pytest.approx(1.0)


def test_leftovers_keep_their_minerals_out_of_the_water(play):
    food = {"content": {"k": 9.0}, "to_fish": {"k": 0.15}, "dissolved": {"k": 0.75}}
    loop, still = {"feed": food, "temp_c": (26.0,) * 12}, {"uneaten": (0.03, 0.0), "et_factor": (0.0, 0.0)}

    def potassium(grams):
        events = [Event(0, "fish_in", {"count": 10, "weight_g": 60}, "f"), Event(1, "feed", {"grams": grams})]
        run = play(loop, 2, members=1, table=still, events=events, species={"f": {}})
        y, before = run.columns["k_mg_l"].astype(float)[[1, 0], 0]
        return y - before

    eaten, piled = potassium(5.0), potassium(500.0)
    assert eaten == pytest.approx(9e-3 * 0.75 * 5.0, rel=0.01)  # g in a cubic metre, with the usual leftovers
    assert piled < 9e-3 * 0.75 * 500.0 / 10.0


def test_minerals_of_a_feed_come_from_the_table_of_elements():
    feed = pack.feed_of(next(iter(facts.feeds())))
    for element, share in feed.dissolved.items():
        row = facts.element_fractions()[element]
        assert (feed.content[element], feed.to_fish[element], share) == (row.content_g_kg, row.to_fish, row.dissolved)
    assert set(feed.dissolved) == set(MINERALS)
