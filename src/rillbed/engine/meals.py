"""Feed of one day: what the groups eat and keep, what dissolves, what stays as solids, what minerals come with it."""

import numpy as np

from rillbed.engine import fish as fishes
from rillbed.engine import stoichiometry as st
from rillbed.engine.result import Array
from rillbed.engine.state import MINERALS, S
from rillbed.engine.world import World

MEAN_RATE = 0.5  # 1/day, running mean of feed that breathing follows
BITE = 1.3  # most a fish can gain, as a multiple of full-ration growth
MOST_MINERAL = 0.95


def feed(w: World, d: int) -> Array:
    """Feed of day `d`: grows the fish, puts solids and minerals into the water; gives dissolved N to come (g)."""
    m, loop, p = w.members, w.loop, w.p
    logged = [e.values["grams"] for e in w.events.get(d, ()) if e.kind == "feed"]
    wants, fcrs = [], []
    for g in w.groups:
        fcr = g.kind.fcr * p["fcr_factor"]
        wants.append(fishes.ration(g, np.asarray(w.temp), p["tgc_factor"], fcr, w.felt))
        fcrs.append(fcr)
    total = sum(wants, np.zeros(m))
    scale: Array | float
    if logged:
        scale = sum(logged) / np.maximum(total, 1e-9)
    elif w.free(d) and w.future.feed_g_day is not None:
        scale = np.minimum(w.future.feed_g_day / np.maximum(total, 1e-9), 1.0)
    else:
        scale = w.future.feed_share if w.free(d) else 1.0
    dissolved, grams_all, solids_all = np.zeros(m), np.zeros(m), np.zeros(m)
    for g, want, fcr in zip(w.groups, wants, fcrs, strict=True):
        grams = want * scale
        most = BITE * fishes.gain_max(g, np.asarray(w.temp), p["tgc_factor"])
        gain = np.minimum(grams / fcr / g.count, most)
        total_n, kept, out, solids = fishes.nitrogen_split(
            loop.feed, grams, gain * g.count, g.kind.n_body, p["uneaten"], p["faecal"]
        )
        g.weight = g.weight + gain
        dissolved, grams_all, solids_all = dissolved + out, grams_all + grams, solids_all + solids
        w.gain("n_feed", total_n)
        w.gain("n_fish", kept)
    mineral = p["solids_share_media"] if loop.media else p["solids_share_raft"]
    stays = solids_all * np.minimum(mineral, MOST_MINERAL)
    w.y[S.SOLIDS] += stays / w.volume
    w.gain("n_solids_out", solids_all - stays)
    w.books.add("n", stays + dissolved)
    for e, share in loop.feed.dissolved.items():
        amount = grams_all * loop.feed.content[e] * 1e-3 * share
        w.y[MINERALS[e]] += amount / w.volume
        w.y[S.ALK] += st.ALK[f"release_{e}"] * amount / w.volume
        w.books.add(e, amount)
    w.feed_mean = w.feed_mean + (1 - np.exp(-MEAN_RATE)) * (grams_all - w.feed_mean)
    w.row["feed_g_day"] = grams_all
    return dissolved
