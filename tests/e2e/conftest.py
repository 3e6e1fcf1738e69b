"""A real server in its own process and a real browser at the size of a phone or a desk."""

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

import pytest

SIZES = {"phone": (390, 844), "desk": (1280, 900)}
STOCKED = str(Path(__file__).with_name("stocked_loop.py"))
BROWSER = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update"]


@contextmanager
def started(*command: str, data: Path | None = None) -> Iterator[str]:
    """Run a command until the block ends; give the first address it prints."""
    env = os.environ | ({"RILLBED_DATA": str(data)} if data else {})
    with subprocess.Popen(
        [sys.executable, *command], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=env, bufsize=1
    ) as process:
        try:
            assert process.stdout is not None
            said = ""
            for line in process.stdout:
                said += line
                if found := re.search(r"http://\S+/(?:enter|first)/\S+", said):
                    yield found[0]
                    break
            else:
                raise AssertionError(f"no link to open: {said}")
        finally:
            process.terminate()
            process.wait(20)


# Not for the whole session: while it runs, its event loop keeps other tests from the database.
@pytest.fixture(scope="module")
def browser():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        found = play.chromium.launch(executable_path=shutil.which("chromium"), args=[*BROWSER, "--no-first-run"])
        yield found
        found.close()


class Phone:
    """A page that counts taps and remembers every complaint of the browser."""

    def __init__(self, browser, width: int = 390, height: int = 844, locale: str = "en-GB", **more: str) -> None:
        size = {"width": width, "height": height}
        self.touch = width < 600
        self.context = browser.new_context(viewport=size, has_touch=self.touch, locale=locale, **more)
        self.page = self.context.new_page()
        self.taps = 0
        self.complaints: list[str] = []
        self.page.on("console", lambda message: self._note(message.type, message.text))
        self.page.on("pageerror", lambda error: self.complaints.append(f"script: {error}"))
        self.page.on("requestfailed", self._lost)
        self.page.on("request", lambda request: self._own(request.url))
        self.page.add_init_script(
            "addEventListener('securitypolicyviolation', e => console.error('policy: ' + e.violatedDirective))"
        )

    def _note(self, kind: str, text: str) -> None:
        if kind in ("error", "warning"):
            self.complaints.append(f"{kind}: {text}")

    def _lost(self, request) -> None:
        # A page that renews itself gives way when another one is asked for.
        if not (request.is_navigation_request() and request.failure == "net::ERR_ABORTED"):
            self.complaints.append(f"not loaded, {request.failure}: {request.url}")

    def _own(self, url: str) -> None:
        if not url.startswith(("http://127.0.0.1:", "data:")):
            self.complaints.append(f"asked elsewhere: {url}")

    def tap(self, target) -> None:
        """Tap something as a thumb would; at a desk, click it."""
        target.tap() if self.touch else target.click()
        self.taps += 1

    def until(self, words: str, tries: int = 60) -> None:
        """Wait until the page, which renews itself, says so."""
        self.page.get_by_text(words).first.wait_for(timeout=1000 * tries)

    def settled(self, address: str, tries: int = 60) -> None:
        """Wait until a page no longer asks to be loaded again: what it shows is worked out."""
        for _ in range(tries):
            answer = self.page.goto(address)
            if answer is not None and "refresh" not in answer.headers:
                return
            self.page.wait_for_timeout(2000)
        raise AssertionError(f"{address} still renews itself")

    def axe(self) -> list[str]:
        """Complaints about access; the page's own rules of loading are switched off for the checker's sake only."""
        from axe_playwright_python.sync_playwright import Axe

        found = Axe().run(self.page, options={"preload": False}).response["violations"]
        return [f"{one['id']}: {[node['html'][:200] for node in one['nodes']]}" for one in found]

    def sign_in(self, base: str, name: str, phrase: str) -> None:
        """Come in by the door, as anybody with an account does."""
        self.page.goto(f"{base}/sign-in")
        self.page.get_by_label("Name you chose").fill(name)
        self.page.get_by_label("Pass phrase").fill(phrase)
        self.tap(self.page.get_by_role("button", name="Sign in"))
        self.page.wait_for_url(f"{base}/")

    def sideways(self) -> int:
        """Pixels by which the page is wider than the screen."""
        return int(self.page.evaluate("document.documentElement.scrollWidth - innerWidth"))


@pytest.fixture
def phone(browser):
    held = Phone(browser)
    yield held
    held.context.close()


@pytest.fixture(params=SIZES)
def window(request, browser) -> Iterator[Callable[..., Phone]]:
    """Open windows of one size, each of its own person; the test runs at the size of a phone and of a desk."""
    width, height = SIZES[request.param]
    with ExitStack() as held:

        def another(**more: str) -> Phone:
            opened = Phone(browser, width, height, **more)
            held.callback(opened.context.close)
            return opened

        yield another


@pytest.fixture
def start():
    return started


@pytest.fixture(scope="session")
def stocked(tmp_path_factory) -> Iterator[str]:
    """Serve a small loop with fish and plants for all tests that ask; they leave it as they found it."""
    with started(STOCKED, "0", data=tmp_path_factory.mktemp("stocked")) as link:
        yield link.split("/enter")[0]
