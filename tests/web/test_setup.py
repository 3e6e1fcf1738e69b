import re
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest
from django.contrib.auth.models import User
from django.test import TestCase

from rillbed import facts, units
from rillbed.garden.errors import GardenError
from rillbed.garden.system import System
from rillbed.tongue import speaking, tongue
from rillbed.web import bridge, clock
from rillbed.web.log.models import LogRow, Loop
from rillbed.web.setup import store
from rillbed.web.setup.filled import told
from rillbed.web.setup.fresh import fresh
from rillbed.web.setup.measures import MEASURES, kept, number, plain, shown
from rillbed.web.setup.refill import filled_from
from rillbed.web.setup.unasked import BED_FIELDS, FIELDS

ON = date(2031, 5, 22)
RICH = {
    "name": "Rich loop",
    "latitude_deg": 51.25,
    "longitude_deg": -0.125,
    "elevation_m": 12.5,
    "time_zone": "Europe/London",
    "place": "greenhouse",
    "tanks": [
        {"name": "Tank", "volume_l": 1135.6235, "volume_typed": "300 gal_us"},
        {"name": "Sump", "volume_l": 200.5, "kind": "sump"},
    ],
    "beds": [
        {
            "name": "Bed",
            "kind": "media",
            "area_m2": 2.2297,
            "area_typed": "24 ft2",
            "medium": "pumice",
            "depth_cm": 30,
            "water_depth_cm": 15.5,
            "water_fraction": 0.45,
        },
        {"name": "Raft", "kind": "raft", "area_m2": 1.2, "water_depth_cm": 20},
    ],
    "aeration": "cascade",
    "source_water": {name: 1.0 + n for n, name in enumerate(("alkalinity_meq_l", "ca_mg_l", "no3_n_mg_l", "p_mg_l"))}
    | {"ph": 7.5, "so4_s_mg_l": 8.25, "free_chlorine_mg_l": 0.0},
    "seeding": "pond",
    "heater_set_c": 21.5,
    "water_temp_c": [8.0 + n for n in range(12)],
    "feed": "pellet_32",
    "kits": [
        {"name": "Nitrate", "quantity": "no3", "basis": "ion", "unit": "mg/L", "steps": [0, 2.5, 5], "wait_minutes": 4},
        {"name": "pH meter", "quantity": "ph", "kind": "meter", "unit": "", "low_open": False},
    ],
    "shelf": ["potassium_bicarbonate", "ammonium_chloride"],
    "ammonia_source": {"source": "ammonia_solution", "strength_pct": 9.5, "density_g_ml": 0.96, "stock_ml": 750},
    "startup_path": "fish_in",
    "started_on": ON - timedelta(days=20),
    "meals_per_day": 3,
    "planned_fish": [{"species": "silver_perch", "count": 12, "weight_g": 8.5, "on": ON}],
    "planned_feed_g_day": 20.5,
}


def first(**changes: str) -> dict[str, str]:
    """A filled form of a first loop, as a browser would send it."""
    filled = fresh(ON) | {"name": "Shed loop", "latitude_deg": "-34", "place": "outdoors", "tanks-0-volume_l": "760"}
    filled |= {"uuid": "00000000-0000-4000-8000-000000000001"}
    return {key: value for key, value in (filled | changes).items() if value or not key.endswith("_open")}


class SetUp(TestCase):
    def setUp(self) -> None:
        self.keeper = User.objects.create_user("keeper")
        self.client.force_login(self.keeper)
        clock.pretend(ON)
        self.addCleanup(clock.pretend, None)

    def send(self, status: int = 302, **filled: str) -> str:
        answer = self.client.post("/setup", filled)
        assert answer.status_code == status, answer.content.decode()
        return answer.content.decode()

    def standing(self) -> System:
        found = store.standing(Loop.objects.get())
        assert found is not None
        return found.system

    def form(self) -> dict[str, str]:
        """The form of the loop as its page shows it."""
        page = self.client.get("/setup")
        return filled_from(self.standing()) | {"uuid": str(page.context["uuid"]), "seen": page.context["seen"]}

    def test_begin_leads_to_the_form_of_a_first_loop(self) -> None:
        assert 'href="/setup"' in self.client.get("/begin").content.decode()
        page = self.client.get("/setup")
        assert page.status_code == 200
        assert "Question 1 of" in page.content.decode()

    def test_first_form_makes_a_loop_that_begins_with_its_set_up(self) -> None:
        self.send(**first())
        loop = Loop.objects.get()
        (entry,) = bridge.entries(loop)
        assert (loop.name, entry.kind, entry.author) == ("Shed loop", "set_up", "keeper")
        assert entry.at == datetime(2031, 5, 22, tzinfo=UTC)
        assert self.standing().tank_volume_m3 == 0.76
        assert {kit.quantity for kit in self.standing().kits} == {"tan", "no2", "no3", "ph", "alkalinity"}

    def test_the_same_form_twice_makes_one_loop(self) -> None:
        self.send(**first())
        kept = Loop.objects.get()
        assert store.save(None, self.standing(), LogRow.objects.get().uuid, self.keeper, correction=False) == kept
        assert Loop.objects.count() == LogRow.objects.count() == 1

    def test_one_more_loop_has_a_form_and_a_log_of_its_own(self) -> None:
        self.send(**first())
        page = self.client.get("/setup/new").content.decode()
        assert 'action="/setup/new"' in page
        assert "Question 1 of" in page
        form = first(name="Barn loop", uuid="00000000-0000-4000-8000-000000000002")
        assert self.client.post("/setup/new", form)["Location"] == "/"
        assert [loop.name for loop in Loop.objects.order_by("pk")] == ["Shed loop", "Barn loop"]
        assert [len(bridge.entries(loop)) for loop in Loop.objects.all()] == [1, 1]
        assert "Barn loop" in self.client.get("/setup").content.decode()

    def test_refused_answers_stay_as_typed_and_nothing_is_stored(self) -> None:
        for name, typed, said in (
            ("tanks-0-volume_l", "-5", "Must be more than 0"),
            ("tanks-0-volume_l", "many", "Needs a number"),
            ("tanks-0-volume_l", "1,300", "write 1300 or 1.300"),
            ("name", "", "It is required"),
            ("place", "", "It is required"),
            ("source_water-ph", "17", "Must be 12 or less"),
            ("kits-2-steps", "0 5 2", "Steps must rise"),
            ("meals_per_day", "2.5", "Needs a whole number"),
            ("started_on", "2031-13-01", "Needs a date"),
            ("started_on", "2031-05-23", "Must not be after today"),
            ("time_zone", "Mars/Base", "Needs a zone name"),
            ("water_temp_c-3", "9", "All twelve months are needed"),
        ):
            page = self.send(400, **first(**{name: typed}))
            field = page.split(f'id="f-{name}"')[1]
            assert said in page, (name, typed)
            assert "Nothing is stored yet" in page
            if typed and name != "place":
                assert f'value="{typed}"' in field[:400]
            assert 'value="Shed loop"' in page or name == "name"
        assert not Loop.objects.exists()

    def test_units_and_symbols_keep_their_small_letter(self) -> None:
        names = {"kits-0-name": "pH drops", "kits-0-quantity": "ph", "kits-0-steps": "6 7 8", "kits-0-kind": "drops"}
        page = self.send(400, **first(**names, **{"tanks-0-volume_l": "0"}))
        for unit in ("mg/L", "mS/cm", "meq/L", "pH"):
            assert re.search(rf"<option [^>]*>{unit}</option>", page), unit
        assert ">pH drops</span>" in page
        assert not re.findall(r">\s*(?:Mg/L|MS/cm|Meq/L|PH|DKH|ΜG/L)\b", page)
        assert ">Not known</option>" in page, "words still begin with a capital"

    def test_refusal_stands_at_its_field_and_is_tied_to_it(self) -> None:
        page = self.send(400, **first(**{"tanks-0-volume_l": "0"}))
        assert 'id="f-tanks-0-volume_l-problem"' in page
        assert 'aria-describedby="f-tanks-0-volume_l-problem" aria-invalid="true"' in page

    def test_everything_that_is_wrong_is_said_at_once(self) -> None:
        wrong = {"tanks-0-volume_l": "-5", "heater_set_c": "warm", "place": "", "source_water-ph": "17"}
        page = self.client.post("/setup", first(**wrong))
        assert {id for _, id in page.context["wrong"]} == {f"f-{name}" for name in wrong}
        assert ("Fish tank, Water in use", "f-tanks-0-volume_l") in page.context["wrong"]

    def test_what_is_wrong_is_named_as_its_label_stands(self) -> None:
        wrong = {"kits-0-name": "drops", "kits-0-quantity": "ph", "kits-0-kind": "drops", "kits-0-wait_minutes": "x"}
        wrong |= {"kits-0-unit": "", "kits-0-basis": "", "kits-0-steps": "6 7 8"}
        page = self.send(400, **first(**wrong, **{"source_water-ph": "17"}))
        head = page.split('role="alert"')[1].split("</div>")[0]
        assert re.findall(r"<a [^>]*>([^<]*)</a>", head) == ["pH", "Drops, Wait before reading"]
        assert "</a>; <a" in head

    def test_two_rows_of_one_name_are_refused_at_the_second(self) -> None:
        more = {"tanks-1-name": "Fish tank", "tanks-1-volume_l": "50", "tanks-1-kind": "sump"}
        assert 'id="f-tanks-1-name-problem"' in self.send(400, **first(**more))

    def test_a_loop_of_sumps_alone_is_refused(self) -> None:
        assert "at least one tank must be of kind fish".capitalize() in self.send(
            400, **first(**{"tanks-0-kind": "sump"})
        )

    def test_amounts_are_kept_as_typed(self) -> None:
        typed = {"tanks-0-volume_l": "300", "tanks-0-volume_l:unit": "gal_us", "heater_set_c": "75"}
        typed |= {
            "heater_set_c:unit": "degF",
            "beds-0-name": "Bed",
            "beds-0-area_m2": "24",
            "beds-0-area_m2:unit": "ft2",
        }
        self.send(**first(**typed))
        system = self.standing()
        assert system.tanks[0].volume_l == pytest.approx(units.convert(300, "gal_us", "L"), abs=1e-4)
        assert (system.tanks[0].volume_typed, system.beds[0].area_typed) == ("300 gal_us", "24 ft2")
        assert system.beds[0].area_m2 == pytest.approx(24 / 10.7639, rel=1e-4)
        assert system.heater_set_c == pytest.approx((75 - 32) / 1.8, abs=0.005)
        page = self.client.get("/setup").content.decode()
        assert '<option value="gal_us" selected>' in page
        assert '<option value="ft2" selected>' in page

    def test_gallons_of_both_kinds_differ_by_a_fifth(self) -> None:
        us, imperial = (kept("v", "volume", {"v": "100", "v:unit": unit}) for unit in ("gal_us", "gal_imp"))
        assert us is not None
        assert imperial is not None
        assert imperial / us == pytest.approx(1.20095, abs=1e-5)

    def test_change_is_one_new_entry_and_the_old_one_stays(self) -> None:
        self.send(**first())
        self.send(**self.form() | {"tanks-0-volume_l": "800", "name": "Barn loop"})
        old, new = bridge.entries(Loop.objects.get())
        assert (old.kind, new.kind, new.supersedes) == ("set_up", "set_up", None)
        assert old.payload.system.tanks[0].volume_l == 760
        assert self.standing().tanks[0].volume_l == 800
        assert Loop.objects.get().name == "Barn loop"

    def test_a_slip_put_right_takes_the_place_of_the_old_entry(self) -> None:
        self.send(**first())
        self.send(**self.form() | {"tanks-0-volume_l": "670", "holds": "then"})
        log = bridge.entries(Loop.objects.get())
        assert len(log) == 2
        assert bridge.first_system(log).tanks[0].volume_l == 670

    def test_saving_without_a_change_writes_nothing(self) -> None:
        self.send(**first())
        self.send(**self.form())
        assert LogRow.objects.count() == 1

    def test_the_day_it_was_filled_cannot_move_under_the_log(self) -> None:
        self.send(**first())
        self.send(**self.form() | {"started_on": "2030-01-01", "meals_per_day": "4"})
        assert (self.standing().started_on, self.standing().meals_per_day) == (ON, 4)

    def test_a_change_by_somebody_else_is_not_overwritten_unseen(self) -> None:
        self.send(**first())
        mine, theirs = self.form(), self.form()
        self.send(**theirs | {"meals_per_day": "3"})
        page = self.send(400, **mine | {"meals_per_day": "5"})
        assert "Somebody changed the set-up" in page
        assert self.standing().meals_per_day == 3
        seen = self.client.get("/setup").context["seen"]
        self.send(**mine | {"meals_per_day": "5", "seen": seen})
        assert self.standing().meals_per_day == 5

    def test_add_a_row_keeps_everything_typed_and_stores_nothing(self) -> None:
        page = self.send(200, **first(more="tanks", name="Half typed", **{"tanks-0-volume_l": "abc"}))
        assert 'name="tanks-1-volume_l"' in page
        assert 'value="Half typed"' in page
        assert 'value="abc"' in page
        assert not Loop.objects.exists()

    def test_a_row_left_out_is_gone(self) -> None:
        self.send(**first(**{"kits-0-out": "1"}))
        assert "tan" not in {kit.quantity for kit in self.standing().kits}

    def test_shelf_keeps_what_is_pressed(self) -> None:
        answer = self.client.post("/setup", first() | {"shelf": ["potassium_bicarbonate", "urea"]})
        assert answer.status_code == 302
        assert self.standing().shelf == ("potassium_bicarbonate", "urea")
        assert 'value="urea" checked' in self.client.get("/setup").content.decode()

    def test_steps_of_the_users_own_card_are_kept(self) -> None:
        self.send(**first(**{"kits-2-steps": "0  3; 0,5e1, 12.5", "kits-2-basis": "ion"}))
        kit = self.standing().kits[2]
        assert (kit.quantity, kit.basis, kit.steps) == ("no3", "ion", (0, 3, 5, 12.5))

    def test_what_the_form_does_not_ask_is_kept(self) -> None:
        beds = [{**RICH["beds"][0], "shade_share": 0.25, "shades": ["Raft"], "headroom_cm": 90}, RICH["beds"][1]]
        more = {
            "beds": beds,
            "products": [{"id": "own_feed", "name": "Feed", "k": 8}],
            "prices": [{"supply": "own_feed", "per_kg": 12}],
            "shelf": ["urea", "own_feed"],
            "household": {"servings_week": {"lettuce_cos": 3}},
            "seed_tray_places": 40,
        }
        before = System.make(RICH | more)
        store.save(None, before, UUID(int=7), self.keeper, correction=False)
        seen = self.client.get("/setup").context["seen"]
        filled = {key: value for key, value in filled_from(before).items() if value or not key.endswith("_open")}
        self.client.post(
            "/setup",
            filled | {"seen": seen, "uuid": str(UUID(int=8)), "meals_per_day": "5", "shelf": ["urea", "own_feed"]},
        )
        assert self.standing() == before.model_copy(update={"meals_per_day": 5})
        assert 'value="own_feed"' in self.client.get("/log/add/dosed").content.decode()

    def test_page_of_a_rich_loop_says_what_the_answers_come_to(self) -> None:
        loop = store.save(None, System.make(RICH), UUID(int=7), self.keeper, correction=False)
        page = self.client.get("/setup").content.decode()
        assert facts.species()["silver_perch"].legal_caution.split(".")[0] in page
        assert "not known: decides how much water must leave" in page
        assert loop.name == "Rich loop"


def test_a_form_filled_from_a_loop_gives_the_same_loop_back() -> None:
    system = System.make(RICH)
    filled = filled_from(system)
    read = told({key: value for key, value in filled.items() if value or not key.endswith("_open")}, system.shelf)
    assert not read.problems
    assert System.make(read.data) == system


def test_every_field_of_the_garden_types_is_asked_for_or_carried_over() -> None:
    rich = System.make(RICH | {"town": next(iter(facts.towns()))})
    data = told(filled_from(rich), ("urea",)).data
    assert set(System.model_fields) - {"format"} == {*data, *FIELDS}
    assert not set(data) & set(FIELDS)
    for name in ("tanks", "beds", "kits", "planned_fish"):
        kind = System.model_fields[name].annotation.__args__[0]
        carried = set(BED_FIELDS) if name == "beds" else set()
        assert set(kind.model_fields) - carried == {key for row in data[name] for key in row}


def test_place_comes_from_the_town_and_moves_with_it() -> None:
    here, there = list(facts.towns().values())[:2]
    system = System.make(told(first(town=here.id, latitude_deg="", longitude_deg=""), ()).data)
    assert (system.latitude_deg, system.elevation_m) == (here.latitude_deg, here.elevation_m)
    moved = System.make(told(filled_from(system) | {"town": there.id}, ()).data)
    assert moved.latitude_deg == there.latitude_deg


def test_numbers_as_people_write_them() -> None:
    for typed, value in (("0,5", 0.5), ("1 300", 1300), ("1\u202f300.5", 1300.5), ("\u22123", -3), ("0,125", 0.125)):
        assert number("x", typed) == value
    for typed, said in (
        ("1,300", "write 1300 or 1.3000"), ("1,500.0", "write 1500.0, with no sign between"),
        ("1.500,5", "write 1500.5, with no sign between"), ("1,300,000", "write 1300000, with no sign between"),
        ("two", "needs a number"), ("1.2.3", "needs a number"), ("", "needs a number"), ("nan", "needs a number"),
        ("inf", "needs a number"), ("1_000", "needs a number"), ("9" * 400, "fewer digits"),
    ):  # fmt: skip
        with pytest.raises(GardenError, match=re.escape(said)):
            number("x", typed)


def test_a_decimal_comma_makes_the_point_of_thousands_ambiguous() -> None:
    with speaking(tongue(["de-DE"])):
        for typed, value in (("0,5", 0.5), ("0.5", 0.5), ("12.25", 12.25), ("0.125", 0.125), ("-3,5", -3.5)):
            assert number("x", typed) == value
        for typed, said in (("1.500", "write 1500 or 1,5000"), ("1.500,0", "write 1500,0, with no sign between")):
            with pytest.raises(GardenError, match=re.escape(said)):
                number("x", typed)
        for value in (2.125, 999.999, 0.125, 1.5, 1500.0, 3.7854, -7.375):
            assert number("x", plain(value)) == value, "what a form shows can be sent back"
        assert number("x", shown("x", "volume", 8.0436, "2.125 gal_us")["x"]) == 2.125


def test_every_unit_offered_is_one_that_converts() -> None:
    for measure in MEASURES:
        for unit, _ in MEASURES[measure].choices:
            assert kept("x", measure, {"x": "1", "x:unit": unit}) is not None
    with pytest.raises(GardenError, match="unit must be one of"):
        kept("x", "volume", {"x": "1", "x:unit": "ft2"})
