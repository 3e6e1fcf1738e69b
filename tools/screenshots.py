"""Pictures of every page of the invented loop, on a phone and a desk, light and dark, into ``build/screenshots``.

Run with ``make screenshots``; ``python tools/screenshots.py /beds /fish`` takes only those pages.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date, timedelta
from pathlib import Path

from playwright.sync_api import Browser, Error, Page, sync_playwright

FOLDER = Path(__file__).parent.parent / "build" / "screenshots"
SIZES = {"phone": (390, 844), "desk": (1280, 900)}
THEMES = ("light", "dark")
AWAY = f"first={date.today() + timedelta(days=10)}&last={date.today() + timedelta(days=19)}"
# Pages that no list of pages leads to.
MORE = (
    "/setup/new", "/log/add/feeding", "/log/add/reading", "/oxygen/card", "/trouble/sheet", "/nutrients/leaves",
    "/household", "/products", "/source-water", "/paper/week", "/paper/log", "/paper/cards", "/trouble?gasping=all",
    "/what-if?kind=outage&hours=6&show=1", "/size?show=1&start=space&floor_m2=8&town=london&place=greenhouse&"
    "species=nile_tilapia&bed_kind=media&ground=soil", "/doses?goal=iron", "/log/add/planted", "/loops/1/erase",
    "/api/reference", "/offline", "/no/such/page",
    f"/away/shares?{AWAY}", f"/paper/away?{AWAY}&share=0.5",
)  # fmt: skip
READY = "it knows every entry of the log"
WAIT_MS = 180_000
TRIES, AGAIN_MS = 120, 2_000


@contextmanager
def demo() -> Iterator[str]:
    """Serve the invented loop; gives the link that opens it."""
    command = [sys.executable, "-m", "rillbed", "demo", "--no-browser"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, bufsize=1) as process:
        try:
            assert process.stdout is not None
            for line in process.stdout:
                if found := re.search(r"http://\S+/enter/\S+", line):
                    yield found[0]
                    break
            else:
                raise SystemExit("the demonstration did not start")
        finally:
            process.terminate()
            process.wait(20)


def name_of(path: str) -> str:
    """Name of the file of a page."""
    return re.sub(r"\W+", "-", path).strip("-")[:50] or "today"


def entered(browser: Browser, link: str) -> dict[str, object]:
    """Come in once, and wait until everything is worked out; what the browser then holds opens every other window."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(link)
    page.get_by_text(READY).first.wait_for(timeout=WAIT_MS)
    shown(page, page.url)
    return dict(context.storage_state())


def pages(page: Page, base: str) -> list[str]:
    """List the pages there are."""
    page.goto(base + "/pages")
    return [str(door.get_attribute("href")) for door in page.locator(".doors a").all()] + list(MORE)


def shown(page: Page, address: str) -> None:
    """Open a page, again as long as it renews itself: then what it shows is worked out."""
    for _ in range(TRIES):
        try:
            answer = page.goto(address, timeout=WAIT_MS)
        except Error:
            continue  # a page that renews itself may cut in
        if answer is None or "refresh" not in answer.headers:
            return
        page.wait_for_timeout(AGAIN_MS)
    raise SystemExit(f"{address} still renews itself")


def main(asked: Sequence[str]) -> None:
    """Take the pictures and say where they are."""
    shutil.rmtree(FOLDER, ignore_errors=True)
    FOLDER.mkdir(parents=True)
    with demo() as link, sync_playwright() as play:
        base = link.split("/enter")[0]
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox", "--disable-gpu"])
        state = entered(browser, link)
        for size, (width, height) in SIZES.items():
            for theme in THEMES:
                context = browser.new_context(
                    storage_state=state, viewport={"width": width, "height": height}, color_scheme=theme  # type: ignore[arg-type]
                )  # fmt: skip
                page = context.new_page()
                for path in asked or pages(page, base):
                    shown(page, base + path)
                    page.screenshot(path=FOLDER / f"{name_of(path)}-{size}-{theme}.png", full_page=True)
                context.close()
        browser.close()
    print(f"{len(list(FOLDER.iterdir()))} pictures in {FOLDER}")


if __name__ == "__main__":
    main(sys.argv[1:])
