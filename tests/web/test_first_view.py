"""What goes over the line before a page stands: page, styles, scripts and pictures, as the server packs them."""

import gzip
import re
from datetime import date
from posixpath import dirname, join

import pytest
from django.test import TestCase

from rillbed.web import clock
from rillbed.web.forecasts import store
from rillbed.web.log.models import Loop
from rillbed.web.people import seed

MOST_BYTES = 60_000
ON = date(2026, 11, 24)
LINKED = re.compile(r'(?:href|src)="(/[^"?#]*\.(?:css|js|svg|png|woff2?|webmanifest))"')
IMPORTED = re.compile(r"""(?:@import\s+(?:url\()?|url\()["']?([^"')\s]+)""")


class FirstView(TestCase):
    @pytest.fixture(autouse=True)
    def _given(self, monkeypatch) -> None:
        monkeypatch.setattr(store, "QUICK_MEMBERS", 50)  # how many members a band is made of does not change its size

    def sent(self, path: str) -> tuple[int, str]:
        answer = self.client.get(path, headers={"accept-encoding": "gzip"})
        assert answer.status_code == 200, path
        body = b"".join(answer.streaming_content) if answer.streaming else answer.content
        packed = answer.headers.get("Content-Encoding") == "gzip"
        return len(body), (gzip.decompress(body) if packed else body).decode()

    def view(self, path: str) -> dict[str, int]:
        size, page = self.sent(path)
        sizes, todo = {path: size}, LINKED.findall(page)
        assert any(one.endswith(".css") for one in todo)
        while todo:
            name = todo.pop()
            if name in sizes or name.startswith("data:"):
                continue
            sizes[name], text = self.sent(name)
            if name.endswith(".css"):
                todo += [join(dirname(name), one) for one in IMPORTED.findall(text) if not one.startswith("data:")]
        return sizes

    def test_a_first_view_is_at_most_sixty_kilobytes(self) -> None:
        clock.pretend(ON)
        self.addCleanup(clock.pretend, None)
        sizes = self.view("/sign-in")
        assert len(sizes) > 8, sizes  # styles that styles ask for are counted, too
        assert sum(sizes.values()) <= MOST_BYTES, sizes
        self.client.force_login(seed.example(ON))
        store.work_out(Loop.objects.get(), ON, "quick")
        sizes = self.view("/")
        assert sizes["/"] > 15_000, sizes  # the whole page with its pictures, not the one that says to wait
        assert sum(sizes.values()) <= MOST_BYTES, sizes

    def test_what_is_packed_with_a_secret_cannot_be_told_from_its_length(self) -> None:
        seen = [self.client.get("/sign-in", headers={"accept-encoding": "gzip"}) for _ in range(8)]
        assert {one.headers["Content-Encoding"] for one in seen} == {"gzip"}
        tokens = {
            re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', gzip.decompress(one.content).decode())[1]
            for one in seen
        }
        assert len(tokens) == len(seen)
        assert len({len(one.content) for one in seen}) > 2
