from __future__ import annotations

import pytest

from rillbed.garden import files, schema
from rillbed.garden.kits import Kit
from rillbed.garden.log import PAYLOADS
from rillbed.garden.readings import Reading

# Molar masses: nitrate 62.0049, nitrite 46.0055, ammonium 18.0385, phosphate 94.9714, N 14.0067, P 30.9738 (IUPAC).
RATIOS = {"no3": 14.0067 / 62.0049, "no2": 14.0067 / 46.0055, "tan": 14.0067 / 18.0385, "p": 30.9738 / 94.9714}

BY_HAND = """entry,at,kind,author,supersedes,field,value,unit,low,high
1,2026-03-01T08:00+00:00,reading,you,,no3,10,mg/L,7.5,15
1,,,,,basis,ion,,,
1,,,,,dilution,2,,,
2,2026-03-02T08:00+00:00,fish_in,helper,,species,goldfish,,,
2,,,,,count,12,,,
2,,,,,weight,5,g,,
2,,,,,group,reds,,,
3,2026-03-02T08:00+00:00,fish_in,helper,2,species,goldfish,,,
3,,,,,count,10,,,
3,,,,,weight,5,g,,
4,2026-03-03T08:00+00:00,temperature,you,,water,21.5,degC,,
"""


def test_a_log_written_by_hand(tmp_path):
    path = tmp_path / "log.csv"
    path.write_text(BY_HAND, encoding="utf-8-sig")
    nitrate, fish, fixed, warm = files.read_log(path)
    low, high = nitrate.payload.interval
    assert (low, high) == (pytest.approx(15 * RATIOS["no3"], rel=1e-3), pytest.approx(30 * RATIOS["no3"], rel=1e-3))
    assert nitrate.payload.value == 10
    assert nitrate.payload.unit == "mg/L"
    assert (fish.payload.count, fixed.supersedes) == (12, fish.uuid)
    assert warm.payload.temp_c == 21.5
    for name in ("again.csv", "again.jsonl"):
        files.write_log([nitrate, fish, fixed, warm], tmp_path / name)
        assert files.read_log(tmp_path / name) == [nitrate, fish, fixed, warm]


@pytest.mark.parametrize("quantity", sorted(RATIOS))
def test_ion_readings_become_the_element(quantity):
    reading = Reading.make({"quantity": quantity, "value": 10, "unit": "mg/L", "basis": "ion"})
    assert reading.canonical_value == pytest.approx(10 * RATIOS[quantity], rel=1e-3)
    assert Reading.make({"quantity": quantity, "value": 10, "unit": "mg/L"}).canonical_value == pytest.approx(10)


def test_the_ends_of_a_kit_are_open():
    kit = Kit.make({"name": "k", "quantity": "ph", "unit": "", "steps": [6, 6.5, 7]})
    assert Reading.of_step(kit, 6).interval == (None, 6.25)
    assert Reading.of_step(kit, 6.5).interval == (6.25, 6.75)
    assert Reading.of_step(kit, 7).interval == (6.75, None)


def test_text_that_looks_like_a_formula_stays_text(make):
    notes = [make("note", day, text=text) for day, text in enumerate(("=1+1", "'quoted", "-", "@x", "a\r\nb", ""))]
    written = files.log_to_csv(notes)
    assert ",=1+1" not in written
    assert files.log_from_csv(written) == notes


def test_a_system_file_survives_disk(loop, tmp_path):
    files.write_system(loop, tmp_path / "system.toml")
    assert files.read_system(tmp_path / "system.toml") == loop


def test_volumes_are_summed_in_cubic_metres(loop):
    assert loop.tank_volume_m3 == pytest.approx(1.0)
    assert loop.fish_tank_volume_m3 == pytest.approx(0.8)
    assert loop.bed_area_m2 == pytest.approx(2.0)
    assert loop.total_volume_m3 == pytest.approx(1.0 + 2 * 0.25)


def test_schemas_name_every_kind_and_field():
    published = schema.log_schema()
    kinds = [choice["properties"]["kind"]["const"] for choice in published["oneOf"]]
    assert kinds == list(PAYLOADS)
    for choice in published["oneOf"]:
        assert choice["properties"]["payload"]["$ref"].removeprefix("#/$defs/") in published["$defs"]
    assert "volume_l" in schema.system_schema()["$defs"]["Tank"]["properties"]
    assert set(schema.entry_schema("planted")["required"]) == {"crop", "count"}
