from datetime import date

import pytest

from rillbed.garden.errors import GardenError
from rillbed.garden.files import parse_system, write_system
from rillbed.garden.household import Household, wishable
from rillbed.garden.system import System

LOOP = {
    "name": "made up", "latitude_deg": 50.0, "place": "indoors", "tanks": [{"name": "tank", "volume_l": 500}],
    "started_on": date(2031, 1, 1),
}  # fmt: skip


def test_the_finest_wish_has_the_crop():
    home = Household(servings_week={"basil": 2, "herb_warm": 3, "herb": 4}, dislikes=("dill",))
    assert home.crops_of("basil") == ("basil",)
    assert home.wish_of("basil") == "basil"
    groups = {crop for crop in wishable()["herb"]} - set(wishable()["herb_warm"]) - {"dill"}
    assert set(home.crops_of("herb")) == groups
    assert home.wish_of("carrot") is None


@pytest.mark.parametrize(
    ("data", "field"),
    [
        ({"servings_week": {"moonflower": 1}}, "moonflower"),
        ({"servings_week": {}}, "servings_week"),
        ({"servings_week": {"basil": -1}}, "servings_week"),
        ({"servings_week": {"basil": 1}, "dislikes": ["basil"]}, "dislikes"),
        ({"servings_week": {"basil": 1}, "keeps_weeks": {"basil": 99}}, "keeps_weeks"),
    ],
)
def test_what_cannot_be_is_named(data, field):
    with pytest.raises(GardenError, match=field):
        Household.make(data)


def test_a_system_with_a_household_is_written_and_read_back(tmp_path):
    beds = [
        {"name": "a", "kind": "raft", "area_m2": 1, "shade_share": 0.3, "headroom_cm": 60},
        {"name": "b", "kind": "media", "area_m2": 1, "shades": ["a"]},
    ]
    home = {"servings_week": {"leafy": 7.0, "basil": 2.0}, "keeps_weeks": {"basil": 0}}
    system = System.make({**LOOP, "beds": beds, "household": home, "seed_tray_places": 60})
    path = tmp_path / "system.toml"
    write_system(system, path)
    assert parse_system(path.read_text("utf-8")) == system
    assert System.make(LOOP).household is None


def test_a_bed_shades_another_bed_of_the_loop():
    with pytest.raises(GardenError, match="shades"):
        System.make({**LOOP, "beds": [{"name": "a", "kind": "raft", "area_m2": 1, "shades": ["a"]}]})
