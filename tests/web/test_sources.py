import inspect
from dataclasses import is_dataclass
from xml.etree import ElementTree

from django.contrib.auth.models import User
from django.test import TestCase

from rillbed import facts
from rillbed.web.sources.figures import GRADES, entries, tables
from rillbed.web.sources.mix import frames


class Sources(TestCase):
    def setUp(self) -> None:
        self.client.force_login(User.objects.create_user("keeper"))

    def show(self, query: str = "") -> str:
        answer = self.client.get(f"/sources{query}")
        assert answer.status_code == 200
        return answer.content.decode()

    def test_page_asks_to_sign_in(self) -> None:
        self.client.logout()
        assert self.client.get("/sources").status_code == 302

    def test_page_works_before_any_loop_is_set_up(self) -> None:
        assert f"{len(entries())} entries stand behind the answers" in self.show()

    def test_grade_filter_keeps_only_that_grade(self) -> None:
        for grade, (_, name, _) in GRADES.items():
            answer = self.client.get("/sources", {"grade": grade})
            assert answer.context["found"] == sum(one.grade == grade for one in entries())
            assert {line.grade for line in answer.context["lines"]} == {name}

    def test_two_grades_pressed_show_both(self) -> None:
        found = self.client.get("/sources", {"grade": ["memory", "derived"]}).context["found"]
        assert found == sum(one.grade in ("memory", "derived") for one in entries())

    def test_text_filter_looks_at_names_and_authors(self) -> None:
        for query in ("silver perch", "Somerville"):
            answer = self.client.get("/sources", {"find": query})
            assert 0 < answer.context["found"] < len(entries())
            assert all(
                word in line.entry.haystack for line in answer.context["lines"] for word in query.lower().split()
            )

    def test_nothing_found_says_so_and_keeps_what_was_typed(self) -> None:
        page = self.show("?find=%3Cno%20such%20word%3E")
        assert "No entry fits" in page
        assert 'value="&lt;no such word&gt;"' in page

    def test_every_entry_is_reached_by_turning_pages(self) -> None:
        seen, sheet = [], 1
        while True:
            answer = self.client.get("/sources", {"about": "species", "sheet": sheet})
            seen += [line.entry for line in answer.context["lines"]]
            if not answer.context["sheet"].has_next():
                break
            sheet += 1
        assert seen == [one for one in entries() if one.table == "species"]

    def test_wrong_address_parts_are_harmless(self) -> None:
        self.show("?sheet=99999")
        self.show("?sheet=x&grade=best&about=nothing")


def test_symptoms_and_sprays_stand_with_their_sources_and_figures() -> None:
    by_key = {(one.table, one.key): one for one in entries()}
    nitrogen = by_key["symptoms", "n_short"]
    assert nitrogen.title == "Too little nitrogen"
    assert set(nitrogen.sources) == {"kentucky_manual", "ifas_ep081"}
    assert {pair.name: pair.value for pair in nitrogen.figures}.items() >= {
        "prior": "0.09",
        "seen, × as often: where old": "4",
        "read, × as often: N short": "5",
    }.items()
    assert ("verdict", "never") in {(pair.name, pair.value) for pair in by_key["sprays", "rotenone"].figures}
    assert len([one for one in entries() if one.table == "symptoms"]) == len(facts.symptoms())
    assert len([one for one in entries() if one.table == "sprays"]) == len(facts.sprays())


def test_every_table_of_graded_records_is_listed() -> None:
    listed = set(tables())
    for name, function in inspect.getmembers(facts, inspect.isfunction):
        if name == "sources" or inspect.signature(function).parameters:
            continue
        rows = function()
        first = next(iter(rows.values() if isinstance(rows, dict) else rows), None)
        if is_dataclass(first) and hasattr(first, "grade"):
            assert name in listed
    assert {"facts", "species", "crops", "feeds", "priors"} <= listed


def test_every_record_has_an_entry_with_a_known_grade_and_known_sources() -> None:
    listed = {(one.table, one.key) for one in entries()}
    for name, rows in tables().items():
        assert {(name, key) for key in rows} <= listed
    for one in entries():
        assert one.grade in GRADES
        assert one.figures or one.note
        if one.grade == "published":
            assert one.sources
            assert set(one.sources) <= set(facts.sources())


def test_optimum_of_the_table_stands_on_the_page() -> None:
    perch = facts.species()["silver_perch"]
    entry = next(one for one in entries() if one.key == "silver_perch" and one.part == "temp")
    figures = {pair.name: pair.value for pair in entry.figures}
    assert figures["temperature best lowest"] == f"{perch.temp_opt_min_c:g}"
    assert {pair.unit for pair in entry.figures if pair.name.startswith("temperature")} == {"°C"}


def test_frames_are_as_wide_as_their_counts() -> None:
    picture = ElementTree.fromstring(f"<p>{frames({'published': 300, 'memory': 100}, 'four hundred')}</p>")
    broad, narrow = picture
    assert narrow.get("viewBox") == "0 0 340 42"
    first, second = (float(box.get("width", 0)) for box in broad.iter("rect"))
    assert 2.5 < first / second < 3.0
    assert [box.get("class") for box in broad.iter("rect")] == ["gm", "gm memory"]
