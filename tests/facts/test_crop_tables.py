"""Crop figures against printed tables: water use, germination, days to market and yields, each with its source."""

import pytest

from rillbed import facts

# FAO-56 (Allen et al. 1998), Table 12: Kc ini, mid, end in a subhumid climate, as read in a reproduction.
KC = {
    "lettuce_cos": (0.70, 1.00, 0.95), "spinach": (0.70, 1.00, 0.95), "cabbage": (0.70, 1.05, 0.95),
    "cauliflower": (0.70, 1.05, 0.95), "broccoli": (0.70, 1.05, 0.95), "carrot": (0.70, 1.05, 0.95),
    "celery": (0.70, 1.05, 1.00), "onion": (0.70, 1.05, 0.75), "garlic": (0.70, 1.00, 0.70),
    "radish": (0.70, 0.90, 0.85), "beetroot": (0.50, 1.05, 0.95), "turnip": (0.50, 1.10, 0.95),
    "mint": (0.60, 1.15, 1.10), "capsicum": (0.60, 1.05, 0.90), "eggplant": (0.60, 1.05, 0.90),
    "cucumber": (0.60, 1.00, 0.75), "zucchini": (0.50, 0.95, 0.75), "melon": (0.50, 0.85, 0.60),
    "bean_bush": (0.50, 1.05, 0.90), "pea_podded": (0.50, 1.15, 1.10), "broad_bean": (0.50, 1.15, 1.10),
    "strawberry": (0.40, 0.85, 0.75),
}  # fmt: skip
# Harrington & Minges 1954, in Maynard & Hochmuth 1997: days to emerge at 20 and at 25 degC.
EMERGE = {
    "lettuce_cos": (3, 2), "spinach": (6, 5), "cabbage": (6, 5), "cauliflower": (6, 5), "beetroot": (6, 5),
    "carrot": (7, 6), "parsley": (14, 13), "onion": (5, 4), "radish": (4, 4), "pea_podded": (8, 6),
    "bean_bush": (11, 8), "tomato_indet": (8, 6), "capsicum": (13, 8), "eggplant": (13, 8), "cucumber": (6, 4),
    "melon": (8, 4),
}  # fmt: skip
# North Dakota State Univ. H-912 (2010): days to market from planting; true where counted from a transplant.
MARKET = {
    "bean_bush": (46, 65, False), "beetroot": (50, 80, False), "carrot": (60, 85, False), "radish": (22, 40, False),
    "pea_podded": (58, 77, False), "eggplant": (70, 85, True), "capsicum": (60, 80, True),
    "brussels_sprouts": (90, 100, True), "kohlrabi": (55, 65, False),
}  # fmt: skip


@pytest.mark.parametrize("crop", KC)
def test_water_use_is_that_of_fao_56(crop):
    row = facts.crops()[crop]
    assert (row.kc_ini, row.kc_mid, row.kc_end) == KC[crop]


@pytest.mark.parametrize("crop", EMERGE)
def test_seed_comes_up_in_the_days_that_were_measured(crop):
    row = facts.crops()[crop]
    at_20, at_25 = EMERGE[crop]
    assert row.germ_days_min <= at_20
    assert at_25 <= row.germ_days_max


@pytest.mark.parametrize("crop", MARKET)
def test_days_to_the_first_picking_meet_those_to_market(crop):
    row = facts.crops()[crop]
    low, high, from_transplant = MARKET[crop]
    nursery = 0 if from_transplant or row.first_harvest_counted_from == "sowing" else row.nursery_days
    assert row.first_harvest_days_min + nursery <= high
    assert low <= row.first_harvest_days_max + nursery


def test_okra_is_known_to_be_later_than_print():
    # H-912: 50 to 60 days. Ours never come before 65 from sowing: the cautious side, kept in sight here.
    row = facts.crops()["okra"]
    assert row.first_harvest_days_min + row.nursery_days - 60 == 5


@pytest.mark.parametrize(
    ("crop", "kg_m2_year", "within"),
    [
        # Rakocy et al. 2004: basil over tilapia, 23.4 staggered and 25.0 batch.
        ("basil", 24.2, 0.15),
        # Barbosa et al. 2015, IJERPH 12:6879: hydroponic lettuce 41 +/- 6.1.
        ("lettuce_butterhead", 41.0, 0.15),
    ],
)
def test_a_years_yield_is_that_of_beds_in_print(crop, kg_m2_year, within):
    row = facts.crops()[crop]
    assert row.yield_kg_fresh_m2_per_crop * 365.0 / row.days_in_bed_default == pytest.approx(kg_m2_year, rel=within)


# New England Vegetable Management Guide, Table 15: low and excellent yields of fields, kg/m2.
FIELD = {
    "beetroot": (2.24, 3.36), "broccoli": (0.56, 1.12), "cabbage": (2.24, 4.48), "carrot": (2.24, 3.36),
    "cauliflower": (0.90, 2.24), "endive": (2.35, 2.91), "kohlrabi": (1.57, 3.36), "leek": (3.14, 4.04),
}  # fmt: skip


@pytest.mark.parametrize("crop", FIELD)
def test_yields_stay_near_what_good_fields_give(crop):
    low, excellent = FIELD[crop]
    assert low <= facts.crops()[crop].yield_kg_fresh_m2_per_crop <= 1.7 * excellent
