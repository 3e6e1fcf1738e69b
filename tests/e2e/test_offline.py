"""No network in the greenhouse: what is logged waits on the phone, and arrives once, with the time it was made."""

import re
from pathlib import Path

import pytest

pytestmark = pytest.mark.e2e
LOOP = str(Path(__file__).with_name("startup_loop.py"))


def test_entries_wait_without_network_and_arrive_once(start, window, tmp_path) -> None:
    phone = window()
    page = phone.page
    with start(LOOP, "0", data=tmp_path) as link:
        page.goto(link)
        phone.until("it knows every entry of the log")
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        page.goto(page.url)  # once more, now that the worker watches
        for path in ("water", "log/add/note"):
            page.goto(re.match(r"http://[^/]+/", page.url)[0] + path)

        phone.context.set_offline(True)
        page.goto(re.match(r"http://[^/]+/", page.url)[0] + "water")
        page.get_by_text("No network. This page is from").wait_for()
        phone.tap(page.locator('label.step:has(input[name="step:Nitrite drops"][value="0.5"])'))
        phone.tap(page.get_by_role("button", name="Save test"))
        page.get_by_text("1 entry waits on this phone.").wait_for()
        assert not page.locator('input[name="step:Nitrite drops"][value="0.5"]').is_checked()

        page.goto(re.match(r"http://[^/]+/", page.url)[0] + "log/add/note")
        page.get_by_label("In your words").fill("net torn, mended")
        phone.tap(page.get_by_role("button", name="Save"))
        page.get_by_text("2 entries wait on this phone.").wait_for()
        page.goto(re.match(r"http://[^/]+/", page.url)[0] + "sources")
        page.get_by_text("This page was not looked at on this phone yet.").wait_for()
        phone.context.set_offline(False)

        page.goto(re.match(r"http://[^/]+/", page.url)[0] + "water")
        page.get_by_text("2 entries were sent.").wait_for()
        page.goto(re.match(r"http://[^/]+/", page.url)[0] + "log")
        page.reload()  # what was said of saving is read by now
        assert page.get_by_text("net torn, mended").count() == 1
        assert page.get_by_text(re.compile("Nitrite.*mg/L as N")).count() == 1
        assert page.evaluate("JSON.parse(localStorage.getItem('rillbed-queue')).length") == 0
        said = [one for one in phone.complaints if "ERR_INTERNET_DISCONNECTED" not in one and "not loaded" not in one]
        assert said == []
