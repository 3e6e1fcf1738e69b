"""Beds, the household and own products: asked, kept, planned beside the pages, and bent by hand."""

import html
import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import TestCase

from rillbed import facts, words
from rillbed.garden.fold import state_at
from rillbed.plan.beds.answers import Line
from rillbed.plan.beds.plan import Effort
from rillbed.web import bridge, clock
from rillbed.web.beds.page import _batch_of, _job
from rillbed.web.forecasts import plans, store
from rillbed.web.forecasts.models import PlanLine
from rillbed.web.log.models import LogRow
from rillbed.words.numbers import NBSP

HOME = {"servings_week": {"leafy_western": 4.0}, "buys_seedlings": True}


class Pages(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up, monkeypatch) -> None:
        self.made_up = made_up
        monkeypatch.setattr(store, "MEMBERS", 30)
        monkeypatch.setattr(store, "QUICK_MEMBERS", 30)
        monkeypatch.setattr(plans, "MEMBERS", 30)
        monkeypatch.setattr(plans, "HORIZON_DAYS", 24 * 7)
        monkeypatch.setattr(plans, "Effort", lambda seconds: Effort(gap=0.2, nodes=20))

    def setUp(self) -> None:
        self.on = self.made_up.started + timedelta(days=40)
        clock.pretend(self.on)
        self.addCleanup(clock.pretend, None)
        self.client.force_login(self.made_up.keeper())

    def begin(self, **more) -> None:
        self.loop = self.made_up.loop(self.made_up.system(startup_path="running", heater_set_c=22, **more))
        told = {"species": "nile_tilapia", "count": 20, "weight": {"value": 120, "unit": "g"}, "group": "fish"}
        at = clock.now() - timedelta(days=35)
        bridge.add(self.loop, bridge.written(uuid=uuid4(), at=at, author="k", kind="fish_in", payload=told))

    def planned(self) -> str:
        store.work_out(self.loop, self.on)
        plans.work_out(self.loop, self.on)
        return self.page()

    def page(self) -> str:
        return html.unescape(self.client.get("/beds").content.decode())

    def test_without_a_household_it_asks_for_one_and_still_shows_room(self) -> None:
        self.begin()
        assert "Say what your household eats" in self.page()
        assert "Room over the coming year" in self.planned()

    def test_a_plan_is_made_beside_the_pages_and_says_why(self) -> None:
        self.begin(household=HOME, shelf=["potassium_sulfate", "iron_dtpa", "calcium_chloride", "magnesium_sulfate"])
        assert "being worked out" in self.page()
        page = self.planned()
        assert "servings a week in the firm weeks" in page
        assert "futures;" in page
        assert plans.latest(self.loop, self.on).fresh
        bridge.add(
            self.loop,
            bridge.written(uuid=uuid4(), at=clock.now(), author="k", kind="note", payload={"text": "later"}),
        )
        assert "does not know the last entries yet" in self.page()

    def test_what_a_later_plan_asks_for_beside_it_is_another_job(self) -> None:
        self.begin(household=HOME, shelf=["potassium_sulfate", "iron_dtpa", "calcium_chloride", "magnesium_sulfate"])
        self.planned()
        log = bridge.entries(self.loop)
        plan, state = plans.latest(self.loop, self.on).plan, state_at(bridge.first_system(log), log, self.on)
        lines = [Line("transplant", self.on, "basil", "bed", count) for count in (4.0, 4.2, 6.0)]
        four, same, six = (_job(line, plan, state, self.loop, self.on) for line in lines)
        assert four.uuid == same.uuid, "the same job pressed twice is written once"
        for job in (four, same, six):
            told = {"uuid": str(job.uuid), "kind": job.kind, "payload": job.payload, "back": "beds"}
            assert self.client.post("/done", told).status_code == 302
        written = [one.payload.count for one in bridge.entries(self.loop) if one.kind == "planted"]
        assert written == [4, 6]

    def test_the_feed_rule_is_the_readers_choice_in_the_unit_they_like(self) -> None:
        self.begin(household=HOME)
        usual = self.planned()
        row = facts.feed_rate_bands()["leafy"]
        assert f"{row.low_g_m2_day:g} to {row.high_g_m2_day:g} g a day for each m²" in usual
        wide = html.unescape(self.client.get("/beds?band=leafy_wide&unit=part").content.decode())
        assert "2 to 5 m² for each 100 g a day" in wide  # 20 to 50 g/m2 a day
        assert usual.partition("the feed rule")[2][:20] != wide.partition("the feed rule")[2][:20]
        foot = html.unescape(self.client.get("/beds?band=leafy&unit=ft2").content.decode())
        assert "3.7 to 4.6 g a day for each ft²" in foot  # 40 and 50 over 10.76
        ounces = html.unescape(self.client.get("/beds?band=leafy&unit=oz_ft2").content.decode())
        assert "0.13 to 0.16 oz a day for each ft²" in ounces  # over 28.35 again
        assert self.client.get("/beds?band=no_such&unit=stone").status_code == 200

    def test_it_says_why_the_views_differ_when_nitrate_outgrows_and_what_each_element_would_lift(self) -> None:
        self.begin(household=HOME)
        page = self.planned()
        room = store.latest(self.loop, self.on).today.room
        assert "Why they differ: that much feed holds" in page
        per_g = room.rule_n_g_m2_day[0] / room.rule_band_g_m2_day[0]
        wide, row = self.client.get("/beds?band=leafy_wide").content.decode(), facts.feed_rate_bands()["leafy_wide"]
        told = html.unescape(wide).partition("that much feed holds ")[2].replace(NBSP, " ")
        low, high = (words.number(end * per_g) for end in (row.low_g_m2_day, row.high_g_m2_day))
        assert told.startswith(f"{low} g to {high} g of nitrogen")
        assert room.outgrown is not None  # 20 fish and one small bed
        assert "more nitrate is made than full beds can use" in page
        for name in plans.latest(self.loop, self.on).room[0].with_m2:
            assert f"next batch with {words.quantity(name)} kept up, m²" in page

    def test_a_bed_that_holds_too_much_is_named_with_how_much(self) -> None:
        self.begin(household=HOME)
        bed, row = bridge.standing_system(self.loop).beds[0], facts.crops()["basil"]
        for share in (0.4, 1.1):  # together half a bed too much
            told = {"crop": "basil", "count": round(bed.area_m2 * row.spacing_default_plants_m2 * share), "bed": "bed"}
            at = clock.now() - timedelta(days=1)
            bridge.add(self.loop, bridge.written(uuid=uuid4(), at=at, author="k", kind="planted", payload=told))
            assert ("too much at the usual spacing" in self.page()) == (share > 1.0)

    def test_the_reasons_of_a_job_are_those_of_its_own_batch(self) -> None:
        self.begin(household=HOME)
        self.planned()
        plan = plans.latest(self.loop, self.on).plan
        for week in plan.weeks:
            for line in week.lines:
                batch = _batch_of(line, plan)
                assert batch is not None, line
                days = [batch.sow_on, batch.plant_on, *(pick.on for pick in batch.picks)]
                assert line.on in days, (line, batch)

    def test_what_feed_cost_is_said_where_its_price_is_known(self) -> None:
        self.begin(household=HOME, feed="pellet_32")
        page = html.unescape(self.client.get("/products").content.decode())
        assert "What a kilogram costs" in page
        said = {"prices": "1", "uuid": str(uuid4()), "price-pellet_32": "-2"}
        assert self.client.post("/products", said).status_code == 400
        assert bridge.standing_system(self.loop).prices == ()
        said = {"prices": "1", "uuid": str(uuid4()), "price-pellet_32": "2,5"}
        assert self.client.post("/products", said).status_code == 302
        assert 'value="2.5"' in self.client.get("/products").content.decode()
        at = clock.now() - timedelta(days=30)
        key = uuid4()
        told = {"crop": "basil", "count": 10, "bed": "bed"}
        bridge.add(self.loop, bridge.written(uuid=key, at=at, author="k", kind="planted", payload=told))
        fed = {"amount": {"value": 400, "unit": "g"}, "feed": "pellet_32"}
        bridge.add(self.loop, bridge.written(uuid=uuid4(), at=at, author="k", kind="feeding", payload=fed))
        got = {"planting": str(key), "amount": {"value": 500, "unit": "g"}}
        bridge.add(self.loop, bridge.written(uuid=uuid4(), at=clock.now(), author="k", kind="picked", payload=got))
        assert "Feed for a kilogram picked: 2 by your price." in self.page()  # 0.4 kg at 2.5 over 0.5 kg

    def test_a_line_by_hand_is_kept_and_the_plan_is_made_around_it(self) -> None:
        self.begin(household=HOME)
        on = self.on + timedelta(days=21)
        told = {"uuid": str(uuid4()), "crop": "lettuce_loose", "bed": "bed", "on": str(on), "count": "7"}
        for _ in range(2):
            assert self.client.post("/beds/keep", told)["Location"] == "/beds"
        assert PlanLine.objects.count() == 1
        page = self.planned()
        plan = plans.latest(self.loop, self.on).plan
        assert [(b.count, b.plant_on) for b in plan.batches if b.locked] == [(7, on)] or "kept" in page
        assert self.client.post("/beds/drop", {"uuid": told["uuid"]}).status_code == 302
        assert not plans.lines(self.loop)
        assert not plans.latest(self.loop, self.on).fresh

    def test_a_line_that_cannot_be_is_said_at_its_field_and_kept_in_the_form(self) -> None:
        self.begin(household=HOME)
        good = {"crop": "lettuce_loose", "bed": "bed", "on": str(self.on), "count": "5"}
        for change, said in (
            ({"crop": "moonflower"}, "Choose one from the list."),
            ({"bed": "attic"}, "Choose one of the beds."),
            ({"on": "soon"}, "Needs a date"),
            ({"on": "2001-01-01"}, "Must not be before today"),
            ({"count": "some"}, "Needs a number"),
            ({"count": "5000"}, "find a place in bed"),
            ({"on": str(self.on + timedelta(days=400))}, "Must lie within the 52 weeks"),
            ({"crop": "carrot"}, ""),
        ):
            answer = self.client.post("/beds/keep", good | change | {"uuid": str(uuid4())})
            assert answer.status_code == 400, change
            assert said in html.unescape(answer.content.decode()), change
        assert not PlanLine.objects.exists()

    def test_as_many_as_the_form_lets_in_are_planned_and_one_more_is_refused(self) -> None:
        self.begin(household=HOME)
        bed, row = bridge.standing_system(self.loop).beds[0], facts.crops()["lettuce_loose"]
        most = int(bed.area_m2 * row.spacing_default_plants_m2)
        assert most < int(bed.area_m2 * row.spacing_max_plants_m2)
        told = {"crop": "lettuce_loose", "bed": "bed", "on": str(self.on + timedelta(days=21))}
        refused = self.client.post("/beds/keep", told | {"count": str(most + 1), "uuid": str(uuid4())})
        assert f"At most {most} of it find a place in bed." in html.unescape(refused.content.decode())
        assert self.client.post("/beds/keep", told | {"count": str(most), "uuid": str(uuid4())}).status_code == 302
        self.planned()
        found = plans.latest(self.loop, self.on)
        assert found.problem == ""
        assert found.plan is not None

    def test_a_line_whose_bed_is_gone_is_left_out_and_said_so(self) -> None:
        self.begin(household=HOME)
        line = {"loop": self.loop, "key": uuid4(), "crop": "basil", "bed": "attic", "on": self.on, "count": 1}
        PlanLine.objects.create(author="k", made_at=clock.now(), **line)
        page = self.planned()
        assert plans.latest(self.loop, self.on).plan is not None
        assert "Left out of the plan: must be one of the beds: bed." in page

    def test_another_keepers_line_does_not_exist(self) -> None:
        self.begin(household=HOME)
        line = {"loop": self.loop, "key": uuid4(), "crop": "basil", "bed": "bed", "on": self.on, "count": 1}
        PlanLine.objects.create(author="k", made_at=clock.now(), **line)
        other = self.made_up.keeper("other")
        self.made_up.loop(self.made_up.system(name="Other"), other)
        self.client.force_login(other)
        assert self.client.post("/beds/drop", {"uuid": str(line["key"])}).status_code == 404

    # the household

    def test_what_is_eaten_is_kept_and_shows_again(self) -> None:
        self.begin()
        told = {"uuid": str(uuid4()), "wish-0": "leafy", "servings-0": "7", "wish-1": "basil", "servings-1": "1,5",
                "dislike-rocket": "1", "seed_tray_places": "60"}  # fmt: skip
        assert self.client.post("/household", told)["Location"] == "/beds"
        home = bridge.standing_system(self.loop).household
        assert home.servings_week == {"leafy": 7.0, "basil": 1.5}
        assert home.dislikes == ("rocket",)
        assert bridge.standing_system(self.loop).seed_tray_places == 60
        page = self.client.get("/household").content.decode()
        assert 'value="1.5"' in page
        assert re.search(r'name="dislike-rocket" value="1" checked', page)

    def test_a_household_that_cannot_be_is_refused_and_nothing_is_lost(self) -> None:
        self.begin()
        rows = LogRow.objects.count()
        for told, said in (
            ({"wish-0": "leafy", "servings-0": "lots"}, "Needs a number"),
            ({"wish-0": "leafy", "servings-0": "-1"}, "Must be above 0"),
            ({"wish-0": "", "servings-0": "3"}, "Choose one from the list"),
            ({"wish-0": "basil", "servings-0": "3", "dislike-basil": "1"}, "dislikes"),
        ):
            answer = self.client.post("/household", told | {"uuid": str(uuid4())})
            assert answer.status_code == 400
            assert said in html.unescape(answer.content.decode()), told
        assert LogRow.objects.count() == rows

    # own products

    def test_a_label_becomes_a_product_on_the_shelf_and_can_go_again(self) -> None:
        self.begin()
        told = {"uuid": str(uuid4()), "name": "Green drops 4-3-6", "basis": "pct", "n": "4", "p": "3", "k": "6"}
        assert self.client.post("/products", told)["Location"] == "/products"
        system = bridge.standing_system(self.loop)
        assert system.products[0].shares["k"] == pytest.approx(0.06 * 0.8302, rel=1e-3)  # as K2O on the label
        assert system.products[0].id in system.shelf
        gone = {"uuid": str(uuid4()), "remove": system.products[0].id}
        clock.pretend(self.on + timedelta(days=1))
        assert self.client.post("/products", gone).status_code == 302
        assert not bridge.standing_system(self.loop).products

    def test_a_label_over_a_hundred_is_refused_with_its_sum(self) -> None:
        self.begin()
        for more, said in (
            ({"n": "60", "p": "30", "k": "20"}, "more than 100 %"),
            ({"basis": "g_l", "n": "40"}, "density"),
            ({}, "at least one nutrient"),
            ({"n": "four"}, "Needs a number"),
            ({"name": "", "n": "4"}, ""),
        ):
            answer = self.client.post("/products", {"uuid": str(uuid4()), "name": "Drops"} | more)
            assert answer.status_code == 400, more
            assert said.lower() in html.unescape(answer.content.decode()).lower(), more
        assert not bridge.standing_system(self.loop).products
