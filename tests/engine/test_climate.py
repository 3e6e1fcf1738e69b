"""Weather where the loop stands, from the normals of a town."""

from datetime import date

import numpy as np
import pytest

from rillbed import engine, facts
from rillbed.engine import climate
from rillbed.garden.system import Bed, SourceWater, System, Tank
from rillbed.science import light


def loop(town="dublin", place="outdoors", **more):
    t = facts.towns()[town]
    return System(
        name="t", latitude_deg=t.latitude_deg, longitude_deg=t.longitude_deg, elevation_m=t.elevation_m, town=town,
        place=place, tanks=(Tank(name="tank", volume_l=1000),), started_on=date(2025, 4, 1), **more,
    )  # fmt: skip


@pytest.mark.parametrize("town", list(facts.towns()))
def test_every_town_gives_a_possible_year_in_every_place(town):
    for place in ("outdoors", "greenhouse", "indoors"):
        c = climate.climate_of(loop(town, place))
        for months in (c.air_c, c.water_c, c.et_mm, c.open_mm, c.light_mol):
            assert len(months) == 12
            assert np.isfinite(months).all()
        assert min(c.et_mm) >= 0.0
        assert max(c.et_mm) < 13.0  # FAO-56, table 2: 12 in arid heat at most
        assert min(c.water_c) >= 1.0
        assert min(c.light_mol) >= 0.0
        assert max(c.light_mol) < 65.0


def test_reference_evapotranspiration_agrees_with_the_form_that_needs_temperature_alone():
    # Hargreaves was fitted to this equation; year means over 90 towns lie close, single humid or windy ones do not
    ratio = []
    for town in facts.towns():
        s = loop(town)
        months = facts.towns()[town].months
        year = sum(climate.reference_mm(s, month, i) for i, month in enumerate(months))
        ra = [light.extraterrestrial_mj_m2_day(s.latitude_deg, date(2025, i + 1, 15).timetuple().tm_yday)
              for i in range(12)]  # fmt: skip
        simple = sum(
            0.0023 * (0.5 * (m.tmax_c + m.tmin_c) + 17.8) * (m.tmax_c - m.tmin_c) ** 0.5 * 0.408 * r
            for m, r in zip(months, ra, strict=True)
        )
        ratio.append(year / simple)
    assert np.median(ratio) == pytest.approx(1.0, abs=0.1)
    assert min(ratio) > 0.6
    assert max(ratio) < 1.6


def test_south_is_warm_when_north_is_cold():
    north, south = climate.climate_of(loop("dublin")), climate.climate_of(loop("perth"))
    assert north.light_mol[6] > north.light_mol[0]
    assert south.light_mol[0] > south.light_mol[6]


def test_cover_takes_light_and_wind_and_gives_warmth():
    out, under = climate.climate_of(loop()), climate.climate_of(loop(place="greenhouse"))
    np.testing.assert_allclose(np.array(under.et_mm) / out.et_mm, facts.choice("climate.greenhouse_et_share"))
    np.testing.assert_allclose(
        np.array(under.light_mol) / out.light_mol, facts.choice("climate.greenhouse_light_share")
    )
    assert (np.array(under.water_c) > out.water_c).all()


def test_a_room_knows_no_winter():
    room = climate.climate_of(loop(place="indoors"))
    assert min(room.air_c) == facts.choice("climate.indoor_air_c")
    assert len(set(room.light_mol)) == 1
    warm = climate.climate_of(loop(place="indoors", water_temp_c=(28.0,) * 12))
    assert (np.array(warm.open_mm) > room.open_mm).all()  # warmer water, more loss
    assert warm.et_mm == room.et_mm


def test_what_the_user_measured_goes_before_the_normals():
    own = tuple(float(t) for t in range(12, 24))
    assert climate.climate_of(loop(water_temp_c=own)).water_c == own


def test_without_a_town_the_nearest_counts():
    named = loop()
    bare = named.model_copy(update={"town": None})
    assert climate.climate_of(bare) == climate.climate_of(named)


def test_more_water_cools_more_slowly():
    deep = Bed(name="b", kind="raft", area_m2=4.0, water_depth_cm=30)
    assert climate.cools_h(loop(beds=(deep,))) > climate.cools_h(loop()) > 12.0


def test_rain_on_open_beds_dilutes_and_runs_over():
    water = SourceWater(alkalinity_meq_l=4.0, na_mg_l=25.0)

    def year(place, kind):
        s = loop(
            "dublin",
            place,
            water_temp_c=(14.0,) * 12,
            beds=(Bed(name="b", kind=kind, area_m2=9.0),),
            source_water=water,
        )
        return engine.forecast(s, (), on=s.started_on, horizon_days=365, members=6, future=engine.Future())

    wet, covered, closed = year("outdoors", "media"), year("greenhouse", "media"), year("outdoors", "nft")
    january = facts.towns()["dublin"].months[0].precip_mm
    assert climate.climate_of(loop()).rain_mm[0] * 31 == pytest.approx(january)
    for name in ("alkalinity_meq_l", "na_mg_l"):
        assert (wet.columns[name][365] < 0.6 * covered.columns[name][365]).all()
        assert (wet.columns[name][365] < closed.columns[name][365]).all()
    assert wet.columns["volume_m3"].max() <= 1.0 + 1e-6
    assert wet.stop.endswith("every balance closed")
    assert wet.columns["n_water"].sum() > 0.0
