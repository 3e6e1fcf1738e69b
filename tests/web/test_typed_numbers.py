"""Every field that takes a number takes a decimal comma, and says clearly what it cannot read or what cannot be."""

from dataclasses import dataclass, field
from datetime import date, timedelta
from html import unescape
from html.parser import HTMLParser
from uuid import uuid4

import pytest
from django.test import TestCase

from rillbed.garden.household import wishable
from rillbed.web import bridge, clock
from rillbed.web.dosing.form import QUESTIONS
from rillbed.web.log.kinds import KINDS
from rillbed.web.size.form import FIRST
from rillbed.web.whatif.form import KINDS as CHANGES

PAGES = (
    "/setup", "/setup/new", "/household", "/products", "/source-water", "/oxygen", "/water", "/beds", "/nutrients",
    "/fish", "/startup", "/upkeep", "/paper", "/paper/away", "/away",
    *(f"/log/add/{one.key}" for one in KINDS), *(f"/what-if?kind={one.key}" for one in CHANGES),
    *(f"/doses?goal={one.key}" for one in QUESTIONS), *(f"/size?start={start}" for start in FIRST),
)  # fmt: skip
# What stands beside these counts only with them.
FILLED = {"ammonia_source-source": "ammonium_chloride", "beds-0-name": "Bed"}
FILLED |= {f"wish-{n}": next(iter(wishable())) for n in range(3)} | {f"servings-{n}": "2" for n in range(3)}
CHANGED = {"days": "3", "area_m2": "2", "count": "3", "weight_g": "50"}
NONE, CLEAR = "needs a number", "with no sign between thousands"


@dataclass
class Form:
    """One form of a page: where it goes, what it holds, and which of its fields take a number."""

    action: str
    method: str
    values: dict[str, str] = field(default_factory=dict)
    numbers: list[str] = field(default_factory=list)
    dates: list[str] = field(default_factory=list)


class Forms(HTMLParser):
    """Read the forms of a page as a browser would send them."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[Form] = []
        self.select = ""
        self.form: Form | None = None
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.form = Form(unescape(told.get("action", "")), told.get("method", "get"))
            self.found.append(self.form)
        if self.form is None:
            return
        name, value = told.get("name", ""), told.get("value", "")
        if tag == "input" and name and "disabled" not in told:
            if told.get("type") in ("checkbox", "radio"):
                if "checked" in told:
                    self.form.values[name] = value
            else:
                self.form.values[name] = value
            if told.get("inputmode") in ("decimal", "numeric"):
                self.form.numbers.append(name)
            if told.get("type") in ("date", "datetime-local"):
                self.form.dates.append(name)
        elif tag == "button" and value == "1":
            self.form.values.setdefault(name, value)
        elif tag == "select":
            self.select = name
        elif tag == "option" and self.select and ("selected" in told or self.select not in self.form.values):
            self.form.values[self.select] = value
        elif tag == "textarea" and name:
            self.form.values[name] = ""

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.form = None
        elif tag == "select":
            self.select = ""


class TypedNumbers(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up) -> None:
        self.made_up = made_up

    def setUp(self) -> None:
        self.on = date(2031, 6, 22)
        clock.pretend(self.on)
        self.addCleanup(clock.pretend, None)
        self.client.force_login(self.made_up.keeper())
        meter = {"name": "pen", "quantity": "ec", "kind": "meter", "unit": "mS/cm", "steps": []}
        kits = [one.model_dump() for one in self.made_up.system().kits]
        system = self.made_up.system(startup_path="running", heater_set_c=25, feed="pellet_32", kits=[*kits, meter])
        self.loop = self.made_up.loop(system)
        told = {"species": "nile_tilapia", "count": 20, "weight": {"value": 120, "unit": "g"}, "group": "fish"}
        at = clock.now() - timedelta(days=35)
        bridge.add(self.loop, bridge.written(uuid=uuid4(), at=at, author="k", kind="fish_in", payload=told))

    def test_what_no_calendar_and_no_tank_holds_is_answered(self) -> None:
        """Every field with what is far beyond it: an answer with a reason, never a fault of the program."""
        for path in PAGES:
            for form in Forms(self.client.get(path).content.decode()).found:
                for name in form.numbers:
                    self.sent(path, form, name, "99999999")
                for name in form.dates:
                    for typed in ("9999-12-31", "0001-01-01", "2031-02-30", "9999-12-31T23:59"):
                        self.sent(path, form, name, typed)

    def sent(self, path: str, form: Form, name: str, typed: str) -> str:
        filled = FILLED | CHANGED if path.startswith("/what-if") else FILLED
        values = {one: filled.get(one, text) for one, text in form.values.items()} | {name: typed, "uuid": str(uuid4())}
        target = form.action or path.partition("?")[0]
        answer = (self.client.post if form.method == "post" else self.client.get)(target, values, follow=True)
        assert answer.status_code in (200, 400), (path, name, answer.status_code)
        return answer.content.decode()

    def test_every_number_field(self) -> None:
        tried, wrong = 0, []
        for path in PAGES:
            answer = self.client.get(path)
            assert answer.status_code == 200, path
            for form in Forms(answer.content.decode()).found:
                for name in form.numbers:
                    tried += 1
                    for typed, said in (("1;5", NONE), ("1,500.0", CLEAR)):
                        if said not in self.sent(path, form, name, typed).lower():
                            wrong.append((path, name, typed))
                    if NONE in self.sent(path, form, name, "1,5").lower():
                        wrong.append((path, name, "1,5"))
        assert not wrong, "\n".join(map(str, wrong))
        assert tried > 100
