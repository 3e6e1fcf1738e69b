"""Conductivity as evidence: of all salts together, where those of the source water are told."""

from datetime import timedelta

import numpy as np
import pytest
from tests.fit.conftest import START, entry, loop

from rillbed import fit
from rillbed.fit.evidence import evidence_of, followed
from rillbed.fit.follow import Look
from rillbed.fit.setting import Setting
from rillbed.garden.system import SourceWater

TOLD = SourceWater(
    alkalinity_meq_l=2.0, ca_mg_l=40.0, mg_mg_l=8.0, na_mg_l=15.0, cl_mg_l=20.0, so4_s_mg_l=8.0, k_mg_l=2.0
)
DAYS = (10, 20, 30, 40, 50, 60)
ON = START + timedelta(days=60)
FISH = {"species": "nile_tilapia", "count": 30, "weight": {"value": 80, "unit": "g"}, "group": "a"}


def metered(day, ms_cm):
    return entry(day, "reading", {"quantity": "ec", "value": ms_cm, "unit": "mS/cm"})


def water_of(setting, source, days):
    """Conductivity on some days of a loop whose members stand away from the middle in one thing."""
    c = setting.coordinates()
    z = np.zeros((len(c.names), 1))
    z[c.place(source)] = 1.5
    looks = [Look(day, "ec", 9.0) for day in days]
    run = setting.run(c, z, days=max(days) + 1, looks=looks)
    for d in range(max(days) + 1):
        run.day(d)
    return {look: float(run.seen[look][0]) for look in looks}


def test_it_counts_only_where_the_salts_of_the_source_water_are_told():
    log = [metered(10, 0.6)]
    on = START + timedelta(days=10)
    assert len(evidence_of(Setting.of(loop(source_water=TOLD), log, on)).answers) == 1
    for name in ("alkalinity_meq_l", "ca_mg_l", "mg_mg_l", "na_mg_l", "cl_mg_l", "so4_s_mg_l"):
        less = loop(source_water=TOLD.model_copy(update={name: None}))
        assert "ec" not in followed(Setting.of(less, log, on))
        assert evidence_of(Setting.of(less, log, on)).answers == ()


def test_the_model_gives_what_a_meter_shows_of_such_water():
    # water of 2 meq/L of alkalinity with calcium and a little salt: 0.2 to 0.4 mS/cm; 0.016 mol/L of strength per mS/cm
    setting = Setting.of(loop(source_water=TOLD, startup_path="running"), [], START)
    seen = water_of(setting.until(setting.system, [], ON), "tgc_factor", (0,))
    told = {"ca": (40.0, 40.078, 2), "mg": (8.0, 24.305, 2), "na": (15.0, 22.99, 1), "cl": (20.0, 35.45, 1),
            "s": (8.0, 32.06, 2), "k": (2.0, 39.098, 1)}  # fmt: skip
    strength = 0.5e-3 * (2.0 + sum(mg / mass * z**2 for mg, mass, z in told.values()))
    assert seen[Look(0, "ec", 9.0)] == pytest.approx(strength / 0.016, rel=0.05)
    assert 0.2 < seen[Look(0, "ec", 9.0)] < 0.4


def course(after=0.0):
    """A loop with fish, metered as it is; from day 40 on with more salt than anybody wrote down."""
    system = loop(source_water=TOLD, startup_path="running")
    log = [entry(0, "fish_in", FISH)]
    seen = water_of(Setting.of(system, log, ON), "tgc_factor", DAYS)
    return system, log + [
        metered(day, round(seen[Look(day, "ec", 9.0)] + (after if day >= 40 else 0.0), 3)) for day in DAYS
    ]


def test_a_meter_that_fits_is_evidence_and_hardly_teaches_of_nutrients():
    # published: nutrients of such loops cannot be told from conductivity; its trend tells of salt and of top-ups
    system, log = course()
    posterior = fit.fit(system, log, on=ON, budget="quick", members=200)
    assert [a.quantity for a in posterior.evidence.answers] == ["ec"] * len(DAYS)
    assert posterior.held_out == ()
    assert min(posterior.spreads.get(name, 1.0) for name in ("tgc_factor", "fcr_factor", "coupled_share")) > 0.8


def test_salt_that_nobody_wrote_down_is_asked_for():
    system, log = course(after=0.3)
    found = fit.fit(system, log, on=ON, budget="quick", members=200).held_out
    assert [(one.day, one.quantity, one.event) for one in found[:1]] == [(40, "ec", "more_came_in")]
    assert found[0].misread < 0.1
    assert found[0].size == pytest.approx(0.3, abs=0.15)
