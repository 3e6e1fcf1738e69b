import pytest

from rillbed import facts


def test_every_town_has_its_year_and_a_registered_source():
    assert len(facts.towns()) == 90
    for town in facts.towns().values():
        assert len(town.months) == 12
        assert town.source in facts.sources()
        assert all(m.tmin_c < m.tavg_c < m.tmax_c and (m.precip_mm is None or m.precip_mm >= 0) for m in town.months)


def test_dublin_january_as_printed():  # WMO normals 1991-2020, station 3969
    january = facts.towns()["dublin"].months[0]
    assert (january.tmax_c, january.tmin_c, january.precip_mm) == (8.0, 2.3, 61.8)


@pytest.mark.parametrize(("place", "town"), [((53.3, -6.3), "dublin"), ((-17.8, -179.9), "nadi")])
def test_nearest_crosses_the_date_line(place, town):
    assert facts.nearest_town(*place).id == town


def test_column_sums_are_pinned():
    months = [m for town in facts.towns().values() for m in town.months]
    assert sum(m.tmax_c for m in months) == pytest.approx(24890.8)
    assert sum(m.tmin_c for m in months) == pytest.approx(14353.5)
    assert sum(m.precip_mm or 0 for m in months) == pytest.approx(92449.6)
