"""The programming interface under made-up requests: whatever is sent, it answers, and never with a fault of its own."""

import json
from copy import deepcopy
from datetime import timedelta
from urllib.parse import quote, urlencode

import pytest
import schemathesis
from django.test import TestCase
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st
from schemathesis import GenerationMode
from schemathesis.core import NotSet

from rillbed.plan.trouble.rows import READINGS, ROW
from rillbed.plan.trouble.short import SHORT
from rillbed.web import clock
from rillbed.web.api import base, tokens
from rillbed.web.api.schema import schema
from rillbed.web.log.models import LogRow

EXAMPLES = 12  # of each address and each way
SETTINGS = settings(
    max_examples=EXAMPLES,
    deadline=None,
    database=None,
    derandomize=True,
    phases=(Phase.explicit, Phase.generate),
    suppress_health_check=list(HealthCheck),
)


class Fuzz(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up, monkeypatch) -> None:
        self.made_up = made_up
        monkeypatch.setattr(base, "PER_MINUTE", 10**9)

    def setUp(self) -> None:
        clock.pretend(self.made_up.started + timedelta(days=8))
        self.addCleanup(clock.pretend, None)
        self.loop = self.made_up.loop(self.made_up.system(), self.made_up.keeper("owner"))
        self.key = tokens.make(self.made_up.keeper("owner"), "fuzz", "all", None)
        self.document = schemathesis.openapi.from_dict(deepcopy(schema()))

    def asked(self, mode: GenerationMode) -> dict[str, int]:
        codes: dict[str, int] = {}
        for found in self.document.get_all_operations():
            self.ask(found.ok(), mode, codes)
        return codes

    def sent(self, case):
        path = case.path
        for name, value in (case.path_parameters or {}).items():
            path = path.replace(f"{{{name}}}", quote(str(value), safe=""))
        body = b"" if isinstance(case.body, NotSet) else case.body
        body = body if isinstance(body, bytes) else json.dumps(body, default=str).encode()
        asked = urlencode(case.query or {}, doseq=True, errors="replace")
        return self.client.generic(
            case.method, path, body, "application/json", QUERY_STRING=asked, HTTP_AUTHORIZATION=f"Bearer {self.key}"
        )

    def ask(self, operation, mode: GenerationMode, codes: dict[str, int]) -> None:
        @seed(20310401)
        @SETTINGS
        @given(data=st.data())
        def ask(data) -> None:
            case = data.draw(operation.as_strategy(generation_mode=mode))
            if "loop_id" in (case.path_parameters or {}) and data.draw(st.booleans()):
                case.path_parameters["loop_id"] = self.loop.pk
            answer = self.sent(case)
            codes[str(answer.status_code)] = codes.get(str(answer.status_code), 0) + 1
            assert answer.status_code in (200, 401, 403, 404, 405, 413, 422), (case, answer.status_code, answer.content)
            if answer.status_code == 422:
                told = answer.json()["errors"]
                assert told
                assert all("field" in one and one["allowed"] for one in told), told

        ask()

    def test_what_fits_the_document_is_answered(self) -> None:
        codes = self.asked(GenerationMode.POSITIVE)
        assert codes["200"] > 20, codes

    def test_what_does_not_fit_is_refused_in_words(self) -> None:
        before = LogRow.objects.count()
        codes = self.asked(GenerationMode.NEGATIVE)
        assert codes["422"] > 20, codes
        assert LogRow.objects.count() >= before


WORDS = sorted({*ROW, *SHORT, *list(READINGS)[:9], "day", "at", "event", "code", "value", "tanks", "started_on"})
WILD = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**20), 10**20),
    st.floats(),
    st.text(max_size=8),
    st.sampled_from(
        ["tilapia", "all", "some", "none", "n", "ion", "city", ">=4", "<0.1", "0-1", "2031-05-22", "water_changed"]
    ),
    st.lists(st.sampled_from(["tilapia", "carp", 3, None]), max_size=3),
    st.dictionaries(st.sampled_from(WORDS), st.integers(-3, 300), max_size=3),
)

SOUND = {"litres": 500, "species": "tilapia", "count": 10, "basis": "n"}


def table(*more: str):
    return st.dictionaries(st.sampled_from([*WORDS, *more]), WILD, max_size=5)


class Cases(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, made_up, monkeypatch) -> None:
        monkeypatch.setattr(base, "PER_MINUTE", 10**9)
        self.made_up = made_up

    def test_a_case_of_nonsense_is_judged_or_refused(self) -> None:
        key = tokens.make(self.made_up.keeper("owner"), "fuzz", "read", None)
        codes: dict[int, int] = {}

        @seed(20310402)
        @settings(SETTINGS, max_examples=150)
        @given(table(), table(), st.one_of(table("gasping"), st.lists(table(), max_size=2)), WILD, st.integers(0, 7))
        def ask(system, row, see, on, sound) -> None:
            # Most of it makes sense, so that what does not is reached.
            system, row = ({}, {}) if sound == 7 else (system, row)
            case = {
                "system": (SOUND if sound & 1 else {}) | dict(list(system.items())[:2]),
                "log": [{"day": 0, "tan": ">=4", "ph": 7.4}, ({"day": 1} if sound & 2 else {}) | row],
                "see": {"gasping": "all"} if sound & 4 else see,
            } | ({} if on is None or sound & 4 else {"on": on})
            answer = self.client.post(
                "/api/v1/check", case, content_type="application/json", HTTP_AUTHORIZATION=f"Bearer {key}"
            )
            codes[answer.status_code] = codes.get(answer.status_code, 0) + 1
            assert answer.status_code in (200, 422), (case, answer.content)

        ask()
        assert codes[422] > 50
        assert codes[200] > 5
