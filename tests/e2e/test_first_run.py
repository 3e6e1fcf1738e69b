"""A newcomer with nothing but a link: account, set-up, and the first plan with its numbers, without a dead end."""

import re

import pytest

pytestmark = pytest.mark.e2e
MOST_TAPS, MOST_ANSWERS = 5, 9  # of a newcomer who leaves out what they do not know; one of the taps is too early


def test_from_the_link_to_the_first_plan(start, window, tmp_path) -> None:
    phone = window(timezone_id="Australia/Perth")
    page, answers = phone.page, 0

    def answer(label: str, text: str, within: str = "main") -> None:
        nonlocal answers
        page.locator(within).get_by_label(label, exact=True).fill(text)
        answers += 1

    def choose(label: str, option: str) -> None:
        nonlocal answers
        page.get_by_label(label, exact=True).select_option(label=option)
        answers += 1

    with start("-m", "rillbed", "serve", "--port", "0", data=tmp_path) as link:
        base = link.split("/first")[0]
        page.goto(link)
        answer("What should the log call you?", "keeper")
        answer("Choose a pass phrase", "four plain words here")
        phone.tap(page.get_by_role("button", name="Begin"))
        phone.tap(page.get_by_role("link", name="Set up a loop"))

        # Too early: what is missing is named, each with a way there, and nothing typed is lost.
        answer("Name of the loop", "Shed")
        phone.tap(page.get_by_role("button", name="Save set-up"))
        page.get_by_text("Nothing is stored yet").wait_for()
        assert page.get_by_label("Name of the loop").input_value() == "Shed"
        missing = page.locator("header [role=alert] a").all()
        assert [page.locator(str(way.get_attribute("href"))).is_visible() for way in missing] == [True] * len(missing)
        assert len(missing) >= 2
        assert phone.axe() == []
        assert phone.sideways() <= 0

        choose("Nearest town", "Perth (Airport), Australia")
        phone.tap(page.locator("label.pick:has(input[name=place][value=greenhouse])"))
        answer("Water in use", "600", "#tanks")
        answer("Name", "Gravel", "#beds")
        answer("Area", "1.5", "#beds")
        answer("Depth of the medium", "30", "#beds")
        choose("Ammonia source at hand", "Ammonium chloride")
        phone.tap(page.get_by_role("button", name="Save set-up"))
        page.get_by_text("Saved: the set-up of Shed.").wait_for()
        phone.until("it knows every entry of the log")
        assert phone.taps <= MOST_TAPS
        assert answers <= MOST_ANSWERS

        # The plan has its numbers: a first dose, what stands in the water, and when the bacteria are ready.
        assert re.search(r"Stir in ammonium chloride \d+\.?\d*\s*g", page.inner_text(".rill"))
        tonight = page.locator("section[aria-labelledby=h-glance] > ul > li").all_inner_texts()
        assert len(tonight) >= 8
        assert all(re.search(r"\d", line) for line in tonight)
        assert re.search(r"\d+ \w+", page.inner_text("figure[aria-labelledby=h-ready]"))
        assert page.locator("figure svg:visible").count() >= 4
        assert phone.sideways() <= 0

        # No page leads nowhere, and the days are those of where the newcomer is.
        page.goto(f"{base}/pages")
        for door in page.locator(".doors a").all():
            assert phone.context.request.get(base + str(door.get_attribute("href"))).status == 200
        page.goto(f"{base}/setup")
        assert page.locator("input[name=time_zone]").input_value() == "Australia/Perth"
        assert [one for one in phone.complaints if "400 (Bad Request)" not in one] == []
