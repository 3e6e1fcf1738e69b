from importlib.resources import files
from math import fsum

import pytest

from rillbed import facts
from rillbed.facts.climate import towns_of

MONTHS = [month for town in facts.towns().values() for month in town.months]


def test_every_town_has_its_year_and_a_registered_source():
    assert len(facts.towns()) == 90
    for town in facts.towns().values():
        assert len(town.months) == 12
        assert set(town.source) <= facts.sources().keys()
        assert all(facts.sources()[key].terms for key in town.source)
        assert all(m.tmin_c < m.tavg_c < m.tmax_c and (m.precip_mm is None or m.precip_mm >= 0) for m in town.months)


@pytest.mark.parametrize(
    ("town", "month", "printed"),
    [  # WMO normals 1991-2020, station sheets: tmax, tmin, rh, hours of sun, rain
        ("dublin", 1, (8.0, 2.3, 86, 59.1, 61.8)),
        ("dublin", 7, (19.5, 11.3, 80, 156.5, 61.0)),
        ("chiang_mai", 4, (36.7, 23.4, 57, 253.3, 54.3)),
        ("singapore", 7, (31.4, 25.4, 80, 188.5, 144.8)),
    ],
)
def test_months_as_printed(town, month, printed):
    m = facts.towns()[town].months[month - 1]
    assert (m.tmax_c, m.tmin_c, m.rh_pct, m.sun_h, m.precip_mm) == printed


def test_radiation_of_dublin_as_measured():  # 72.5 MJ/m2 in January, 535.6 in June
    months = facts.towns()["dublin"].months
    assert months[0].ghi_mj_m2_day == pytest.approx(72.5 / 31, abs=0.05)
    assert months[5].ghi_mj_m2_day == pytest.approx(535.6 / 30, abs=0.05)


def test_humidity_sun_and_radiation_say_how_they_were_found():
    def counts(name):
        return {how: sum(getattr(m, name) == how for m in MONTHS) for how in {getattr(m, name) for m in MONTHS}}

    assert counts("rh_how") == {"published": 348, "vapour_pressure": 428, "typical_year": 96, "estimated": 208}
    assert counts("sun_how") == {"published": 672, "estimated": 408}
    assert counts("ghi_how") == {"measured": 60, "typical_year": 96, "sunshine": 612, "day_range": 312}
    assert all(5 <= m.rh_pct <= 100 and 0 < m.sun_h < 24 * 31 and 0 < m.ghi_mj_m2_day < 35 for m in MONTHS)


@pytest.mark.parametrize(("place", "town"), [((53.3, -6.3), "dublin"), ((-17.8, -179.9), "nadi")])
def test_nearest_crosses_the_date_line(place, town):
    assert facts.nearest_town(*place).id == town


def test_column_sums_are_pinned():
    sums = {name: fsum(getattr(m, name) or 0.0 for m in MONTHS)
            for name in ("tmax_c", "tmin_c", "precip_mm", "rh_pct", "sun_h", "ghi_mj_m2_day")}  # fmt: skip
    assert sums == pytest.approx(
        {"tmax_c": 24890.8, "tmin_c": 14353.5, "precip_mm": 92449.6, "rh_pct": 74233.0, "sun_h": 218986.0,
         "ghi_mj_m2_day": 17367.9}
    )  # fmt: skip


def test_a_year_with_a_month_missing_or_twice_is_refused():
    lines = files("rillbed.facts").joinpath("towns.csv").read_text("utf-8").splitlines()
    for broken in (lines[:12], [*lines[:13], lines[12]], [*lines[:25], *lines[1:13]]):
        with pytest.raises(ValueError, match="months 1 to 12 once each"):
            towns_of(broken)
