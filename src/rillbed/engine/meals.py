"""Feed of one day: what the groups eat and keep, what dissolves, what stays as solids, what minerals come with it."""

from collections.abc import Sequence
from datetime import timedelta

import numpy as np

from rillbed import facts
from rillbed.engine import fish as fishes
from rillbed.engine import stoichiometry as st
from rillbed.engine.future import Pause
from rillbed.engine.inputs import Event, Feed
from rillbed.engine.result import Array
from rillbed.engine.state import MINERALS, S, added
from rillbed.engine.world import World
from rillbed.science import solids
from rillbed.science.feed import element_fate, nitrogen_g

ALK_RELEASE = np.array([[st.ALK[f"release_{e}"]] for e in MINERALS])


def feed(w: World, d: int) -> Array:
    """Feed of day `d`: grows the fish, puts solids and minerals into the water; gives dissolved N to come (g)."""
    today = [e for e in w.events.get(d, ()) if e.kind == "feed"]
    given = blend([(e.feed or w.feed, e.values["grams"]) for e in today]) if today else w.feed
    able = [fishes.able(g, np.asarray(w.temp), w.p) for g in w.groups]
    full = [fishes.full_ration(g, now) for g, now in zip(w.groups, able, strict=True)]
    w.row["full_ration_g_day"] = sum(full, np.zeros(w.members))
    hunger = [fishes.appetite(g.kind, w.felt) for g in w.groups]
    wants = [want * share for want, share in zip(full, hunger, strict=True)]
    portions = _logged(w, today, wants) if today else _ruled(w, d, wants)
    dissolved, grams_all, left_all, solids_all = np.zeros((4, w.members))
    for g, now, grams, share in zip(w.groups, able, portions, hunger, strict=True):
        meal = fishes.eat(g, now, given, grams, share, w.p)
        g.weight = g.weight + meal.gain
        grams_all, left_all = grams_all + grams, left_all + meal.left
        dissolved, solids_all = dissolved + meal.dissolved_n, solids_all + meal.solids_n
        w.gain("n_feed", meal.given_n)
        w.gain("n_fish", np.maximum(meal.kept_n, 0.0))
        w.gain("n_fasting", np.maximum(-meal.kept_n, 0.0))
    if today and not w.groups:
        grams_all = grams_all + _rots(w, given, sum(e.values["grams"] for e in today))
    _solids(w, solids_all)
    w.books.add("n", dissolved)
    _minerals(w, given, grams_all, left_all)
    w.feed_mean = w.feed_mean + -np.expm1(-facts.choice("breath.mean_per_day")) * (grams_all - w.feed_mean)
    w.row["feed_g_day"] = grams_all
    return dissolved


def blend(parts: list[tuple[Feed, float]]) -> Feed:
    """Give one feed that brings what the parts (feed, grams) bring together."""
    total = sum(grams for _, grams in parts)
    if len(parts) == 1 or total <= 0.0:
        return parts[0][0]
    shares = [(feed, grams / total) for feed, grams in parts]
    elements = sorted({e for feed, _ in parts for e in feed.content})
    content = {e: sum(f.content.get(e, 0.0) * x for f, x in shares) for e in elements}
    brought = {e: sum(f.content.get(e, 0.0) * f.dissolved.get(e, 0.0) * x for f, x in shares) for e in elements}
    kept = {e: sum(f.content.get(e, 0.0) * f.to_fish.get(e, 0.0) * x for f, x in shares) for e in elements}
    dissolved = {e: brought[e] / content[e] for e in elements if content[e] > 0.0}
    to_fish = {e: kept[e] / content[e] for e in elements if content[e] > 0.0}
    protein = sum(f.protein * x for f, x in shares)
    return Feed(protein=protein, content=content, to_fish=to_fish, dissolved=dissolved)


def _logged(w: World, today: list[Event], wants: list[Array]) -> list[Array]:
    """Share out what was given: to the named group, else by appetite, and by mass where nobody has any."""
    portions = [np.zeros(w.members) for _ in w.groups]
    for e in today:
        named = [i for i, g in enumerate(w.groups) if e.label == g.name] or range(len(w.groups))
        appetite = sum((wants[i] for i in named), np.zeros(w.members))
        mass = sum((w.groups[i].count * w.groups[i].weight for i in named), np.zeros(w.members))
        for i in named:
            by_mass = w.groups[i].count * w.groups[i].weight / np.maximum(mass, 1e-12)
            share = np.where(appetite > 1e-9, wants[i] / np.maximum(appetite, 1e-9), by_mass)
            portions[i] = portions[i] + share * e.values["grams"] * e.values.get("scoop", 1.0)
    return portions


def _ruled(w: World, d: int, wants: list[Array]) -> list[Array]:
    if not w.free(d):
        return [want * _pause(w, d, w.away) for want in wants]
    share: Array | float = w.future.feed_share
    if w.future.feed_g_day is not None:
        total = sum(wants, np.zeros(w.members))
        share = np.minimum(w.future.feed_g_day / np.maximum(total, 1e-9), 1.0)
    return [want * share * _pause(w, d, w.future.pauses) for want in wants]


def _pause(w: World, d: int, pauses: Sequence[Pause]) -> float:
    """Share of the ration that is given on a day away from home."""
    today = w.start + timedelta(days=d)
    return min((p.feed_share for p in pauses if p.first <= today <= p.last), default=1.0)


def _rots(w: World, given: Feed, grams: float) -> float:
    """Feed without fish is an organic source of ammonia."""
    n = float(nitrogen_g.inner(grams, given.protein))
    w.y[S.ORGANIC] += n / w.volume
    w.books.add("n", n)
    w.gain("n_dose", n)
    return grams


def _solids(w: World, solids_n: Array) -> None:
    share = w.p["solids_share_media"] if w.loop.media else w.p["solids_share_raft"]
    stays, leaves = solids.split_g.inner(solids_n, share)
    w.y[S.SOLIDS] += stays / w.volume
    w.gain("n_solids_out", leaves)
    w.books.add("n", stays)


def _minerals(w: World, given: Feed, grams: Array, left: Array) -> None:
    """Dissolve the minerals of what was eaten; those of fish, faeces and leftovers stay out of the water."""
    eaten = (1.0 - w.p["uneaten"]) * (1.0 - left / np.maximum(grams, 1e-12))
    rows, (content, to_fish, to_water) = given.brings
    if len(content):
        held = grams * content * 1e-3
        amounts = element_fate.inner(held, to_fish, to_water, 1.0 - eaten).dissolved
        w.books.add_ions(amounts, rows)
        amounts = amounts / w.volume
        w.y[rows] += amounts
        w.y[S.ALK] += added(ALK_RELEASE[rows.start - S.K : rows.stop - S.K] * amounts)
