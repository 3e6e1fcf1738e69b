"""Every kind of entry through its form: written, shown again as typed, corrected; and bad input."""

import json
from datetime import timedelta
from uuid import UUID, uuid4

import pytest
from django.test import TestCase

from rillbed import words
from rillbed.garden.chains import effective
from rillbed.garden.log import PAYLOADS
from rillbed.web import bridge, clock
from rillbed.web.log.kinds import KINDS
from rillbed.web.log.models import LogRow

FISH = {"species": "silver_perch", "count": "12", "weight": "40", "weight:unit": "g", "group": "perch"}
LETTUCE = {"crop": "lettuce_loose", "count": "8", "bed": "bed", "stage": "seedling"}

# What a browser sends of each form, and what the log then says.
TYPED = {
    "feeding": ({"amount": "1,5", "amount:unit": "oz", "feed": "pellet_32"}, "Fed the fish 1.5 oz"),
    "fish_in": (FISH | {"group": "second"}, "12 silver perch of 40 g in, second"),
    "fish_weighed": (
        {"group": "perch", "count": "10", "total": "500", "total:unit": "g"},
        "Weighed 10 of perch: 500 g",
    ),
    "fish_out": ({"group": "perch", "count": "1", "total": "", "reason": "moved"}, "Moved out 1 of perch"),
    "fish_died": ({"group": "perch", "count": "1"}, "1 of perch died, not found"),
    "feed_changed": ({"feed": "pellet_32"}, "Feed from now on"),
    "planted": (LETTUCE, "Planted 8 lettuce loose in bed"),
    "picked": ({"planting": "{planting}", "amount": "300", "count": "", "finished": "1"}, "300 g, the last"),
    "removed": ({"planting": "{planting}", "count": "2", "reason": "bolted"}, "Took out 2 of"),
    "spray": ({"substance": "jet of water", "bed": "bed"}, "Sprayed jet of water on bed"),
    "dosed": ({"substance": "potassium_bicarbonate", "amount": "20", "amount:unit": "g"}, "Put in 20 g of potassium"),
    "water_changed": ({"volume": "20", "volume:unit": "gal_us", "treated": "1"}, "Changed 20"),
    "topped_up": ({"volume": "15", "source": "rain", "treated": "1"}, "Topped up 15 L of rain water"),
    "temperature": ({"value": "71", "unit": "degF", "where": "water"}, "Water temperature 71"),
    "reading": ({"quantity": "oxygen", "value": "6.8", "unit": "mg/L", "basis": ""}, "Oxygen 6.8 mg/L"),
    "upkeep": ({"job": "wash_screen", "name": "inlet"}, "Look at the screen, wash it if half covered (inlet)"),
    "cleaned": ({"what": "bed", "fraction": "0.5"}, "Cleaned bed, 5 parts in 10"),
    "equipment_stopped": ({"equipment": "pump", "name": ""}, "Pump stopped"),
    "equipment_started": ({"equipment": "pump", "name": ""}, "Pump runs again"),
    "outage": ({"until": "{now}"}, "Power away for a while"),
    "observation": ({"what": "algae", "text": "on the north wall"}, "Seen: algae. on the north wall"),
    "away": (
        {"name": "Winter break", "first": "2031-12-20", "last": "2032-01-04", "by": "Ann", "feed_share": "0.5"},
        "Away: Winter break, 20 Dec to 4 Jan; Ann feeds half the ration",
    ),
    "note": ({"text": "the pump hums"}, "the pump hums"),
}

# Kind, what is typed, the field that is refused, what it says is allowed.
BAD = (
    ("feeding", {"amount": "-3", "feed": "pellet_32"}, "amount", "more than 0"),
    ("feeding", {"amount": "much", "feed": "pellet_32"}, "amount", "Needs a number"),
    ("feeding", {"amount": "", "feed": "pellet_32"}, "amount", "It is required"),
    ("feeding", {"amount": "5", "feed": "moon dust"}, "feed", "Not a known feed"),
    ("fish_died", {"group": "perch", "count": "99"}, "count", "12 fish are in perch"),
    ("fish_weighed", {"group": "nobody", "count": "1", "total": "50"}, "group", "Not a known group"),
    ("planted", LETTUCE | {"bed": ""}, "bed", "Exactly one of bed and tray"),
    ("planted", LETTUCE | {"count": "2.5"}, "count", "Needs a whole number"),
    ("picked", {"planting": "{planting}", "count": "9"}, "count", "8 plants are left"),
    ("dosed", {"substance": "potassium_nitrate", "amount": "5", "strength_pct": "120"}, "strength_pct", "100 or less"),
    ("temperature", {"value": "71", "unit": "degC", "where": "water"}, "value", "Water lies between -2 and 50"),
    ("reading", {"quantity": "ph", "value": "14.5", "unit": ""}, "value", "pH lies between 2 and 12"),
    ("reading", {"quantity": "no3", "low": "20", "high": "10", "unit": "mg/L"}, "high", "Must not be below low"),
    ("reading", {"quantity": "oxygen", "value": "7", "unit": "dKH"}, "unit", "mg/L"),
    ("away", {"name": "x", "first": "2031-12-20", "last": "2031-12-01", "feed_share": "0"}, "last", "not be before"),
    ("away", {"name": "x", "first": "2031-12-20", "last": "2032-12-01", "feed_share": "0"}, "last", "at most 120"),
    ("away", {"name": "x", "first": "2031-12-20", "last": "2031-12-24", "feed_share": "0.5"}, "by", "Who feeds"),
    ("away", {"name": "", "first": "2031-12-20", "last": "2031-12-24", "feed_share": "0"}, "name", "required"),
    ("note", {"text": "later", "at": "2044-01-01T08:00"}, "at", "must not be in the future"),
    ("note", {"text": "before", "at": "2001-01-01T08:00"}, "at", "The loop began on"),
)  # fmt: skip


class Entries(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up) -> None:
        self.made_up = made_up

    def setUp(self) -> None:
        clock.pretend(self.made_up.started + timedelta(days=8))
        self.addCleanup(clock.pretend, None)
        self.loop = self.made_up.loop(self.made_up.system())
        self.client.force_login(self.made_up.keeper())
        self.earlier = (clock.now() - timedelta(days=2)).strftime("%Y-%m-%dT%H:%M")
        self.send("fish_in", FISH | {"at": self.earlier})
        self.planting = self.send("planted", LETTUCE | {"at": self.earlier})

    def typed(self, typed: dict[str, str]) -> dict[str, str]:
        now = clock.now().strftime("%Y-%m-%dT%H:%M")
        return {name: text.format(planting=self.planting, now=now) for name, text in typed.items()}

    def send(self, kind: str, typed: dict[str, str]) -> str:
        key = str(uuid4())
        answer = self.client.post(f"/log/add/{kind}", typed | {"uuid": key})
        assert answer.status_code == 302, (kind, answer.content.decode())
        return key

    def test_every_kind_that_people_write_has_a_form(self) -> None:
        assert {one.key for one in KINDS} == set(PAYLOADS) - {"set_up", "withdrawn"} == set(TYPED)
        listed = self.client.get("/log").content.decode()
        for one in KINDS:
            assert f'href="/log/add/{one.key}"' in listed
            assert self.client.get(f"/log/add/{one.key}").status_code == 200, one.key
        assert self.client.get("/log/add/set_up").status_code == 404

    def test_every_kind_is_written_and_shows_again_what_was_typed(self) -> None:
        for kind, (typed, said) in TYPED.items():
            filled = self.typed(typed) | ({"at": self.earlier} if kind == "outage" else {})
            key = self.send(kind, filled)
            assert said in self.client.get("/log").content.decode().replace("\u00a0", " "), kind
            page = self.client.get(f"/log/{key}/correct")
            if kind in ("picked",):
                self.client.post("/log/withdraw", {"uuid": str(uuid4()), "entry": [key]})
            shown = {one.name: one.value for one in page.context["fields"]}
            for name, text in filled.items():
                if name not in ("at",) and ":" not in name:
                    assert shown[name] == text.replace(",", "."), (kind, name)

    def test_saving_a_correction_untouched_changes_nothing_that_counts(self) -> None:
        for kind, (typed, _) in TYPED.items():
            key = self.send(kind, self.typed(typed) | ({"at": self.earlier} if kind == "outage" else {}))
            before = next(one for one in bridge.entries(self.loop) if one.uuid == UUID(key))
            page = self.client.get(f"/log/{key}/correct")
            form = {"uuid": str(uuid4()), "at": page.context["at"]}
            for one in page.context["fields"]:
                if one.field.kind != "check" or one.value:
                    form[one.name] = one.value or ("1" if one.field.kind == "check" else "")
                form.update((one.unit_name, unit.value) for unit in one.units if unit.chosen)
            answer = self.client.post(f"/log/{key}/correct", form)
            assert answer.status_code == 302, (kind, answer.content.decode())
            assert LogRow.objects.filter(supersedes=key, kind=kind).count() == 1
            after = next(one for one in effective(bridge.entries(self.loop)) if one.uuid == UUID(key))
            assert (after.kind, after.at, after.payload) == (before.kind, before.at, before.payload), kind
            self.client.post("/log/withdraw", {"uuid": str(uuid4()), "entry": [key]})

    def test_bad_input_is_answered_at_its_field_and_nothing_is_stored_or_lost(self) -> None:
        count = LogRow.objects.count()
        for kind, typed, name, said in BAD:
            filled = self.typed(typed)
            answer = self.client.post(f"/log/add/{kind}", filled | {"uuid": str(uuid4())})
            assert answer.status_code == 400, kind
            wrong = {one.name: one.problem for one in answer.context["fields"]}
            wrong["at"] = answer.context["at_problem"]
            assert said in wrong[name], (kind, name, wrong)
            kept = {one.name: one.value for one in answer.context["fields"]} | {"at": answer.context["at"]}
            for field, text in filled.items():
                assert kept[field] == text, (kind, field)
            assert "Nothing is stored yet" in answer.content.decode()
        assert LogRow.objects.count() == count

    def test_sent_again_without_its_time_or_anything_else_it_is_harmless(self) -> None:
        key, rows = str(uuid4()), LogRow.objects.count()
        assert self.client.post("/log/add/note", {"uuid": key, "text": "wet hands", "at": ""}).status_code == 302
        for typed in ({"text": "wet hands", "at": ""}, {"text": "", "at": ""}, {"text": "wet hands", "at": "soon"}):
            answer = self.client.post("/log/add/note", typed | {"uuid": key})
            assert (answer.status_code, answer["Location"]) == (302, "/log"), typed
        assert LogRow.objects.count() == rows + 1

    def test_a_form_that_lost_its_key_gets_a_new_one_and_loses_nothing(self) -> None:
        rows = LogRow.objects.count()
        for lost in ("", "moon"):
            answer = self.client.post("/log/add/note", {"uuid": lost, "text": "wet hands"})
            assert answer.status_code == 400
            assert "wet hands" in answer.content.decode()
            assert "lost its key" in answer.context["problem"]
            assert UUID(str(answer.context["uuid"]))
        assert LogRow.objects.count() == rows

    def test_a_range_corrected_to_one_number_keeps_nothing_of_the_range(self) -> None:
        key = self.send("reading", {"quantity": "no3", "low": "10", "high": "20", "unit": "mg/L", "basis": "n"})
        form = {"quantity": "no3", "value": "40", "unit": "mg/L", "basis": "n", "uuid": str(uuid4())}
        assert self.client.post(f"/log/{key}/correct", form).status_code == 302
        (now,) = (one for one in effective(bridge.entries(self.loop)) if one.kind == "reading")
        assert now.payload.interval == (40, 40)

    def test_the_whole_chain_of_corrections_stays_to_be_seen_with_who_and_when(self) -> None:
        key = last = self.send("note", {"text": "first"})
        for text in ("second", "third"):
            new = str(uuid4())
            assert self.client.post(f"/log/{last}/correct", {"uuid": new, "text": text}).status_code == 302
            last = new
        told = f"keeper, {words.day(clock.now().date())}"

        def line() -> str:
            entries = self.client.get("/log").content.decode().split('id="entries"')[1]
            return next(li for li in entries.split("<li") if "third" in li)

        assert line().index("third") < line().index("first") < line().index("second")
        assert line().count(told) == 3
        assert line().count('class="gone"') == 2
        self.client.post("/log/withdraw", {"uuid": str(uuid4()), "entry": [key]})
        assert line().count('class="gone"') == 4
        assert f"Taken back, by {told}" in line()

    def test_a_job_is_done_as_advised_or_otherwise(self) -> None:
        advised = {"substance": "potassium_bicarbonate", "amount": {"value": 30, "unit": "g"}}
        job = {"kind": "dosed", "payload": json.dumps(advised)}
        self.client.post("/done", job | {"uuid": str(uuid4())})
        other = {"amount": "1", "amount:unit": "oz"}
        self.client.post("/done", job | other | {"uuid": str(uuid4())})
        doses = [one.payload for one in bridge.entries(self.loop) if one.kind == "dosed"]
        assert sorted(str(dose.amount) for dose in doses) == ["1 oz", "30 g"]
        assert {dose.substance for dose in doses} == {"potassium_bicarbonate"}

    def test_a_job_done_otherwise_and_wrong_keeps_what_was_typed(self) -> None:
        advised = {"substance": "potassium_bicarbonate", "amount": {"value": 30, "unit": "g"}}
        key = str(uuid4())
        form = {"kind": "dosed", "payload": json.dumps(advised), "uuid": key, "amount": "x", "amount:unit": "g"}
        answer = self.client.post("/done", form)
        assert answer.status_code == 400
        shown = {one.name: one for one in answer.context["fields"]}
        assert (shown["amount"].value, shown["amount"].problem) == ("x", "Needs a number.")
        assert shown["substance"].value == "potassium_bicarbonate"
        again = {one.name: one.value for one in answer.context["fields"] if one.value} | {"amount": "25"}
        hidden = dict(answer.context["hidden"])
        assert self.client.post("/done", hidden | again | {"uuid": key})["Location"] == "/"
        assert LogRow.objects.get(uuid=key).payload["amount"] == {"value": 25, "unit": "g"}

    def test_a_planting_without_its_bed_asks_for_it(self) -> None:
        advised = {"crop": "lettuce_loose", "stage": "seedling", "count": 4}
        form = {"kind": "planted", "payload": json.dumps(advised), "uuid": str(uuid4()), "count": "3"}
        answer = self.client.post("/done", form)
        assert answer.status_code == 400
        shown = {one.name: one for one in answer.context["fields"]}
        assert "Exactly one of bed and tray" in shown["bed"].problem
        assert (shown["count"].value, shown["crop"].value) == ("3", "lettuce_loose")
        assert self.client.post("/done", form | {"bed": "bed"}).status_code == 302
        assert LogRow.objects.get(uuid=form["uuid"]).payload["count"] == 3

    def test_nothing_but_work_goes_in_as_done(self) -> None:
        target = LogRow.objects.get(kind="fish_in").uuid
        for kind in ("set_up", "withdrawn", "nonsense"):
            form = {"uuid": str(uuid4()), "kind": kind, "payload": "{}", "supersedes": str(target)}
            assert self.client.post("/done", form).status_code == 400


class Cautions(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up) -> None:
        self.made_up = made_up

    def setUp(self) -> None:
        clock.pretend(self.made_up.started + timedelta(days=8))
        self.addCleanup(clock.pretend, None)
        self.loop = self.made_up.loop(self.made_up.system())
        self.client.force_login(self.made_up.keeper())

    def test_a_spray_that_harms_is_asked_about_before_it_is_written(self) -> None:
        rows = LogRow.objects.count()
        told = {"uuid": str(uuid4()), "substance": "pyrethrum"}
        answer = self.client.post("/log/add/spray", told)
        assert answer.status_code == 400
        assert "Stop and read before it is used." in answer.content.decode()
        assert 'value="pyrethrum"' in answer.content.decode()
        assert LogRow.objects.count() == rows
        assert self.client.post("/log/add/spray", told | {"anyway": "1"}).status_code == 302
        assert LogRow.objects.count() == rows + 1

    def test_a_gentle_one_is_written_at_once(self) -> None:
        assert (
            self.client.post("/log/add/spray", {"uuid": str(uuid4()), "substance": "jet of water"}).status_code == 302
        )

    def test_forms_carry_the_cautions_of_what_is_done(self) -> None:
        for kind, word in (
            ("picked", "Rinse"), ("planted", "manure"), ("fish_in", "fisheries office"), ("outage", "residual-current"),
            ("upkeep", "Unplug"), ("dosed", "gloves"), ("fish_died", "authority"),
        ):  # fmt: skip
            page = self.client.get(f"/log/add/{kind}").content.decode()
            assert word.lower() in page.lower(), kind

    def test_the_law_of_a_kind_of_fish_is_told_when_it_goes_in(self) -> None:
        told = {"uuid": str(uuid4()), "species": "nile_tilapia", "count": "3", "weight": "40"}
        page = self.client.post("/log/add/fish_in", told, follow=True).content.decode()
        assert "Prohibited or declared invasive" in page
