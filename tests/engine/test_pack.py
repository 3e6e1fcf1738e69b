"""What a dose brings, with tables of our own so that only the arithmetic is tested."""

from types import SimpleNamespace

import pytest

from rillbed import facts
from rillbed.engine import pack

TABLES = {
    "ammonia_sources": {
        "solution": SimpleNamespace(form="solution"),
        "salt": SimpleNamespace(form="salt", n_pct=26.18, cl_pct=66.28),
        "emulsion": SimpleNamespace(form="organic", n_pct=5.0, p_pct=0.44, k_pct=0.83),
    },
    "supplements": {},
    "feeds": {"feed": SimpleNamespace(protein_pct=32.0)},
}


@pytest.fixture(autouse=True)
def _tables(monkeypatch):
    for name, table in TABLES.items():
        monkeypatch.setattr(facts, name, lambda table=table: table, raising=False)


def dose(substance, grams=None, ml=None, strength=None, density=None):
    return pack.dose_grams(
        SimpleNamespace(substance=substance, grams=grams, ml=ml, strength_pct=strength, density_g_ml=density)
    )


def test_ammonia_solution_brings_its_alkalinity():
    # 25 mL of 10 % ammonia for 2 mg/L N in 1000 L: worked example of the nitrogen digest, W10
    brought = dose("solution", ml=25.0, strength=10.0, density=0.9576)
    assert brought["tan"] == pytest.approx(2.0, rel=0.02)
    assert brought["alk"] == pytest.approx(brought["tan"] / 14.007)


def test_salt_brings_chloride_and_no_alkalinity():
    brought = dose("salt", grams=7.6)  # W10: 7.6 g for the same
    assert brought["tan"] == pytest.approx(2.0, rel=0.01)
    assert brought["cl"] == pytest.approx(5.04, rel=0.01)
    assert "alk" not in brought


def test_organic_nitrogen_is_still_to_come():
    assert set(dose("emulsion", grams=10.0)) == {"organic", "p", "k"}
    assert dose("feed", grams=10.0)["organic"] == pytest.approx(0.512)
