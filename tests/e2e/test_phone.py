"""The path that decides whether anybody keeps a log: look, test, and see what changed."""

from pathlib import Path

import pytest

pytestmark = pytest.mark.e2e
LOOP = str(Path(__file__).with_name("startup_loop.py"))
# Pressed in the order of the sheet: a first refill that is gone, with nitrite at the low end of the card.
STEPS = {
    "Ammonia drops": "0.1",
    "Nitrite drops": "0.5",
    "Nitrate drops": "2",
    "pH drops": "7.5",
    "Alkalinity drops": "5",
    "Potassium strip": "5",
}


def test_six_readings_in_few_taps_change_the_day(start, phone, tmp_path) -> None:
    page = phone.page
    with start(LOOP, "0", data=tmp_path) as link:
        page.goto(link)
        phone.until("it knows every entry of the log")
        assert "Read ammonia and nitrite first" in page.inner_text(".rill")
        assert page.locator("#h-nitrate").is_visible()
        assert page.locator("figure .c-narrow .obs").count() == 0
        assert phone.sideways() <= 0

        phone.tap(page.get_by_role("link", name="Log a test").first)
        page.wait_for_url("**/water")
        assert not page.get_by_text("expected", exact=False).first.is_visible()
        for kit, step in STEPS.items():
            phone.tap(page.locator(f'label.step:has(input[name="step:{kit}"][value="{step}"])'))
        assert phone.sideways() <= 0
        sheet = phone.axe()
        phone.tap(page.get_by_role("button", name="Save test"))

        page.get_by_text("Saved: 6 readings").wait_for()
        phone.until("it knows every entry of the log")
        assert phone.taps <= 14
        jobs = page.inner_text(".rill")
        assert "Read ammonia and nitrite first" not in jobs
        assert "Stir in ammonium chloride" in jobs
        assert "Nitrate 1.5\u2060–\u20603.5 mg/L as N" in jobs
        # The readings stand on the forecast, as bars.
        for chart in ("ammonia", "nitrite", "nitrate", "ph"):
            drawn = page.locator(f'figure[aria-labelledby="h-{chart}"]')
            assert drawn.locator(".c-narrow .obs").count() == 1, chart
            assert "reading" in (drawn.locator("thead").text_content() or "")

        # Doing what the page now says changes the year ahead.
        before = page.inner_text("#h-ammonia + span")
        phone.tap(page.get_by_role("button", name="Done").first)
        page.get_by_text("Saved: Put in").wait_for()
        phone.until("it knows every entry of the log")
        assert "Stir in ammonium chloride" not in page.inner_text(".rill > li:not(.done)")
        assert page.inner_text("#h-ammonia + span") != before

        page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        assert phone.complaints == []
        assert sheet + phone.axe() == []
        assert phone.sideways() <= 0
