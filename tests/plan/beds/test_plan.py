"""What a planting plan keeps to, and what it says where it cannot."""

import importlib.util
import re
from dataclasses import fields, replace
from datetime import timedelta
from pathlib import Path

import pytest

from rillbed import facts
from rillbed.engine import forecast
from rillbed.garden.errors import GardenError
from rillbed.garden.household import Household
from rillbed.plan.advice import Reason
from rillbed.plan.beds import options, plan, site, why
from rillbed.plan.beds.answers import Lock
from rillbed.plan.beds.behaviour import least_plants, picking_days, sown
from rillbed.plan.beds.plan import Effort, plan_beds
from rillbed.plan.beds.site import Seasons, bed_refusal
from rillbed.words import beds as words
from rillbed.words.beds_phrases import REASONS
from rillbed.words.plain import to_json

spec = importlib.util.spec_from_file_location("planting_loops", Path(__file__).with_name("loops.py"))
loops = importlib.util.module_from_spec(spec)
spec.loader.exec_module(loops)
QUICK = Effort(gap=0.05, nodes=30)
HOME = Household(servings_week={"leafy_western": 6, "basil": 2, "tomato_bush": 3, "carrot": 2})


@pytest.fixture(scope="module")
def loop():
    system, log, added = loops.made_up(3)
    on = loops.START + timedelta(days=60)
    future = loops.rules(system, log, on, added)
    run = forecast(system, log, on=on, horizon_days=143, members=20, future=future)
    return system, log, run, on, added


@pytest.fixture(scope="module")
def first(loop):
    return planned(loop)


def planned(loop, **changes):
    system, log, run, on, added = loop
    about = {"household": HOME, "supplemented": added, "effort": QUICK} | changes
    return plan_beds(system, log, run, on, **about)


def new(found):
    return [b for b in found.batches if b.source != "standing"]


def test_no_bed_tray_or_clearing_is_overdone(loop, first):
    system = loop[0]
    cleared = facts.value("plants.pick_most") * system.bed_area_m2
    for week in first.weeks:
        for bed in system.beds:
            assert week.area_m2[bed.name] <= bed.area_m2 + 1e-6
        ends = [b.area_m2 for b in first.batches if week.start <= b.until < week.start + timedelta(days=7)]
        assert sum(ends) <= cleared + 1e-6
        # Seeds are whole, so that a batch may ask for one place more than its share.
        assert week.tray_places <= system.seed_tray_places + len(new(first))
        assert all(b.left_g >= -1e-6 for b in week.budgets)


def test_each_batch_follows_the_crop_table(first):
    assert new(first)
    for batch in new(first):
        crop = facts.crops()[batch.crop]
        assert batch.until == batch.plant_on + timedelta(days=picking_days(crop)[-1])
        assert all(batch.plant_on < p.on <= batch.until for p in batch.picks)
        if batch.source == "sown":
            assert batch.plant_on - batch.sow_on == timedelta(days=crop.nursery_days)
            assert batch.sow_on >= first.on
            assert batch.seeds == sown(crop, round(batch.count)) or not batch.firm
        if batch.firm:
            assert batch.count == round(batch.count)
            assert batch.why


def test_no_batch_is_smaller_than_a_plateful(loop):
    """One serving a picking, by the table's yield; a line by hand may be smaller."""
    on = loop[3]
    home = Household(servings_week={"garden_cress": 1.5, "radish": 1.5, "pea_podded": 1.0, "spinach": 0.6})
    found = planned(loop, household=home, locked=(Lock("garden_cress", "gravel", on + timedelta(days=21), 3),))
    firm = [b for b in new(found) if b.firm and not b.locked]
    assert {"garden_cress", "radish"} <= {b.crop for b in firm}
    for batch in firm:
        crop = facts.crops()[batch.crop]
        if batch.source != "seedlings":
            assert batch.count * crop.servings_per_plant_per_harvest >= facts.value("beds.least_servings") - 1e-9
    assert least_plants(facts.crops()["garden_cress"]) == 20
    assert least_plants(facts.crops()["lettuce_cos"]) == 1
    assert [b.count for b in new(found) if b.locked] == [3]


def test_roots_stand_in_media_only(first):
    assert {b.bed for b in first.batches if b.crop == "carrot"} <= {"gravel"}


def test_dislikes_are_not_planted(loop):
    home = Household(servings_week={"leafy_western": 6}, dislikes=("lettuce_loose", "lettuce_cos"))
    found = planned(loop, household=home)
    assert new(found)
    assert not {b.crop for b in new(found)} & {"lettuce_loose", "lettuce_cos"}


def test_a_locked_line_is_kept_and_a_plan_says_what_changed(loop, first):
    on = loop[3]
    lock = Lock("basil", "gravel", on + timedelta(days=42), 2)
    again = planned(loop, locked=(lock,), last=first)
    assert "beds.note.unlocked" not in [note.code for note in again.notes]
    kept = [b for b in again.batches if b.locked]
    assert [(b.crop, b.bed, b.plant_on, b.count) for b in kept] == [("basil", "gravel", lock.on, 2)]
    assert any(c.crop == "basil" and c.on == lock.on and c.now == 2 for c in again.changes)
    counts = {(b.crop, b.bed, b.plant_on): b.count for b in new(again) if b.firm}
    for change in again.changes:
        assert counts.get((change.crop, change.bed, change.on), 0) == change.now


def test_the_same_question_again_changes_little(loop, first):
    again = planned(loop, last=first)
    moved = sum(abs(c.now - c.before) for c in again.changes)
    assert moved <= 0.1 * sum(b.count for b in new(first) if b.firm)


def test_a_lock_that_finds_no_room_is_let_go_and_said(loop):
    on = loop[3]
    most = int(loop[0].beds[1].area_m2 * facts.crops()["basil"].spacing_default_plants_m2)
    locks = (Lock("basil", "gravel", on, most), Lock("basil", "gravel", on + timedelta(days=7), most))
    found = planned(loop, locked=locks, clear_all=True)
    (let_go,) = (n for n in found.notes if n.code == "beds.note.unlocked")
    assert let_go.values["on"] == locks[1].on.isoformat()
    # The bed is full of basil, with no room for the two carrots that make a plateful.
    assert {n.code for n in found.notes} <= {"beds.note.unlocked", "beds.note.instead"}


@pytest.mark.parametrize(
    ("lock", "text"),
    [
        (("moonflower", "gravel", 3), "locked.crop"),
        (("basil", "attic", 3), "locked.bed"),
        (("basil", "gravel", 100_000), "find a place"),
        (("basil", "gravel", 0), "at least 1"),
    ],
)
def test_what_cannot_be_locked_is_named(loop, lock, text):
    crop, bed, count = lock
    with pytest.raises(GardenError, match=text):
        planned(loop, locked=(Lock(crop, bed, loop[3], count),))


def test_without_a_household_it_asks_for_one(loop):
    system, log, run, on, _ = loop
    with pytest.raises(GardenError, match="servings_week"):
        plan_beds(system.model_copy(update={"household": None}), log, run, on)


def test_a_wish_nothing_can_meet_says_why(loop):
    found = planned(loop, household=Household(servings_week={"garlic": 3}))
    assert not new(found)
    assert [r.values["crop"] for r in found.refused] == ["garlic"]
    assert "garlic" in words.reason(found.refused[0]).lower()
    (note,) = found.notes
    other = str(note.values["for_crop"])
    assert facts.crops()[other].crop_group == facts.crops()["garlic"].crop_group
    assert new(planned(loop, household=Household(servings_week={other: 3})))


def test_height_shade_and_kind_of_bed_refuse(loop):
    gravel, raft = loop[0].beds[1], loop[0].beds[0]
    crops = facts.crops()
    low = gravel.model_copy(update={"headroom_cm": 100.0})
    assert bed_refusal(crops["tomato_indet"], low).code == "beds.height"
    assert bed_refusal(crops["tomato_bush"], low) is None
    shading = gravel.model_copy(update={"shades": (raft.name,)})
    assert bed_refusal(crops["cucumber"], shading).code == "beds.shades"
    assert bed_refusal(crops["carrot"], raft).code == "beds.kind"


def test_frost_and_long_days_refuse_out_of_doors(loop):
    # Toronto, by its normals: basil dies in March, spinach bolts in June (14 h and more north of 43 degrees).
    system = loop[0].model_copy(
        update={"place": "outdoors", "town": None, "latitude_deg": 43.7, "longitude_deg": -79.4}
    )
    year, crops = Seasons(system), facts.crops()
    spring = loops.START.replace(month=3, day=20)
    assert year.refusal(crops["basil"], spring, 60).code in {"beds.sow_air", "beds.frost"}
    assert year.coldest_c(spring) < 0.0
    june = year._week(crops["spinach"], loops.START.replace(month=6, day=15))
    assert june.code == "beds.bolts"
    assert june.values["hours"] > 15.0


def test_every_code_has_a_sentence_and_every_answer_its_words(first):
    text = "".join(Path(module.__file__).read_text("utf-8") for module in (options, plan, site, why))
    codes = set(re.findall(r'"(beds\.[a-z_.]+[a-z])"', text)) - set(facts.facts())
    codes |= {"beds.why.clearing", "beds.why.trays"}
    assert codes <= set(REASONS)
    said = [words.batch(b) for b in first.batches] + [words.line(x) for w in first.weeks for x in w.lines]
    said += (
        [words.budget(w) for w in first.weeks] + [words.served(w) for w in first.wishes] + list(words.summary(first))
    )
    said += [words.reason(r) for b in first.batches for r in (*b.why, *b.cautions)]
    said += [words.reason(r) for r in first.refused] + list(words.changes(first.changes))
    assert all(text and "{" not in text and "_" not in text for text in said)
    assert words.reason(Reason("beds.why.trays", {"on": "2031-05-01", "most": 40.0, "left": 0.2})).startswith(
        "The trays"
    )
    assert '"worth"' in to_json(first)
    assert {f.name for f in fields(first)} >= {"gap", "bound", "kept"}


def test_more_certainty_never_gives_a_plan_worth_more(loop):
    tight = replace(QUICK, gap=0.01)
    even = planned(loop, confidence=0.5, effort=tight)
    sure = planned(loop, confidence=0.95, effort=tight)
    assert sure.worth <= even.bound + 1e-6
    assert sure.kept >= 0.95
