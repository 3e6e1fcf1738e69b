import pytest

from rillbed import facts
from rillbed.plan.beds.site import grows_in, suits
from rillbed.plan.crops import best_in_season, easiest_in_season


@pytest.mark.parametrize("kind", ["nft", "raft", "media"])
def test_room_offers_only_what_the_beds_can_hold(kind):
    # FAO 589 App. 1: roots in media only; rafts and channels carry leaves and herbs.
    for air in (8.0, 16.0, 22.0, 28.0):
        offered = easiest_in_season(air, 40, (kind,))
        assert offered
        assert all(suits(facts.crops()[name], kind) != "no" for name in offered)
        assert best_in_season(air, (kind,)) == offered[0]


def test_a_bed_of_another_kind_changes_the_offer():
    everything = set(easiest_in_season(22.0, 80))
    channels = set(easiest_in_season(22.0, 80, ("nft",)))
    assert channels < everything


def test_roots_and_heavy_heads_stand_in_media():
    for name in ("carrot", "beetroot", "cabbage", "eggplant"):
        assert grows_in(facts.crops()[name], ("media",))
        assert not grows_in(facts.crops()[name], ("nft",))
    assert grows_in(facts.crops()["cucumber"], ("raft",))
    assert grows_in(facts.crops()["carrot"], ())
