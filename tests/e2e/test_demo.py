"""The demonstration as it is started by whoever tries it first, and the first account of a server of one's own."""

import pytest

pytestmark = pytest.mark.e2e
# The invented loop has fish; this nitrite would harm them, so the day must change.
STEPS = {
    "Ammonia drops": "0.5",
    "Nitrite drops": "5",
    "Nitrate drops": "50",
    "pH drops": "7.5",
    "Alkalinity drops": "3",
    "Potassium strip": "50",
}


def test_six_readings_of_the_invented_loop_stop_the_feed(start, phone, tmp_path, monkeypatch) -> None:
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    page = phone.page
    with start("-m", "rillbed", "demo", "--no-browser", "--on", "2031-05-22") as link:
        page.goto(link)
        phone.until("it knows every entry of the log")
        assert "invented" in page.inner_text(".loop")
        assert "22\u00a0May" in page.inner_text("h1")
        jobs = page.inner_text(".rill")
        assert "Feed " in jobs
        assert page.get_by_role("heading", name="Risk now").count() == 0
        charts = page.locator("figure h2").all_inner_texts()
        assert {"Nitrate", "Ammonia", "Nitrite", "pH", "Weight of one fish", "Planted"} <= set(charts)
        assert any(title.startswith(("Room for", "No room for")) for title in charts)
        calm = phone.axe()

        phone.tap(page.get_by_role("link", name="Water", exact=True))
        for kit, step in STEPS.items():
            phone.tap(page.locator(f'label.step:has(input[name="step:{kit}"][value="{step}"])'))
        phone.tap(page.get_by_role("button", name="Save test"))
        page.get_by_text("Saved: 6 readings").wait_for()
        phone.until("it knows every entry of the log")
        assert phone.taps <= 14
        assert "Nitrite is too high" in page.inner_text(".alarm")
        jobs = page.inner_text(".rill")
        assert "no feed today" in jobs
        assert "Feed " not in jobs
        page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        assert phone.sideways() <= 0
        assert phone.complaints == []
        assert calm + phone.axe() == []

        # Taken back, the day is as it was.
        phone.tap(page.get_by_role("button", name="Undo").first)
        page.get_by_text("Taken back").first.wait_for()
        phone.until("it knows every entry of the log")
        assert "Feed " in page.inner_text(".rill")

        phone.context.clear_cookies()
        assert page.goto(link).status == 410
    assert list(tmp_path.glob("rillbed-demo-*")) == []


def test_every_page_of_the_invented_loop_can_be_used_by_everybody(start, phone) -> None:
    page = phone.page
    with start("-m", "rillbed", "demo", "--no-browser", "--on", "2031-05-22") as link:
        page.goto(link)
        phone.until("it knows every entry of the log")
        phone.settled(link.split("/enter")[0] + "/beds")
        page.goto(link.split("/enter")[0] + "/pages")
        paths = [door.get_attribute("href") for door in page.locator(".doors a").all()]
        assert {"/", "/water", "/log", "/loops"} <= set(paths)
        # Forms and pages that no list of pages leads to; a form sent empty says what is missing.
        paths += [f"/log/add/{kind}" for kind in ("feeding", "planted", "dosed", "reading", "observation")]
        paths += ["/setup/new", "/loops/1/erase", "/no/such/page"]
        for width in (320, 1280):
            page.set_viewport_size({"width": width, "height": 800})
            for path in paths:
                page.goto(link.split("/enter")[0] + path)
                page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
                assert phone.sideways() <= 0, (path, width)
                assert phone.axe() == [], (path, width)
                if "/log/add/" in path:
                    page.get_by_role("button", name="Save").click()
                    assert "Nothing is stored yet" in page.inner_text("[role=alert]")
                    assert phone.axe() == [], (path, width, "refused")
        assert [one for one in phone.complaints if "policy:" in one] == []


def test_a_job_is_done_otherwise_in_few_taps_and_undone(start, phone) -> None:
    page = phone.page
    with start("-m", "rillbed", "demo", "--no-browser", "--on", "2031-05-22") as link:
        page.goto(link)
        phone.until("it knows every entry of the log")
        job = page.locator(".rill > li").filter(has_text="Feed ").first
        phone.tap(job.get_by_text("Did it differently"))
        job.get_by_label("How much", exact=True).fill("21")
        phone.tap(job.get_by_role("button", name="Save it so"))
        assert phone.taps == 2
        page.get_by_text("Saved: Fed").wait_for()
        # A chart is read by keyboard: its words come from its own table.
        chart = page.locator('figure[aria-labelledby="h-nitrate"]')
        chart.locator("svg[tabindex]:visible").focus()
        page.keyboard.press("End")
        said = chart.locator(".readout").inner_text()
        assert said.split(" · ")[0] == chart.locator("tbody tr").last.locator("th").text_content()
        assert "21\u00a0g" in page.inner_text(".rill > .done")
        phone.tap(page.get_by_role("button", name="Undo").first)
        page.get_by_text("Taken back").first.wait_for()
        assert page.locator(".rill > .done").count() == 0
        assert [one for one in phone.complaints if "policy:" in one] == []


def test_a_server_of_ones_own_begins_with_the_first_account(start, phone, tmp_path) -> None:
    page = phone.page
    with start("-m", "rillbed", "serve", "--port", "0", data=tmp_path) as link:
        page.goto(link.split("/first")[0])
        assert "/sign-in" in page.url
        assert phone.axe() == []
        page.goto(link)
        page.get_by_label("What should the log call you?").fill("keeper")
        page.get_by_label("Choose a pass phrase").fill("four plain words here")
        assert phone.axe() == []
        phone.tap(page.get_by_role("button", name="Begin"))
        page.get_by_text("No loop is set up yet").wait_for()
        assert phone.axe() == []
        assert phone.complaints == []
    assert {path.stat().st_mode & 0o077 for path in tmp_path.iterdir()} == {0}
