"""What is printed and hung up: every sheet whole on its paper, with its words, without what only a screen needs."""

import pytest
from tests.e2e import pdf

pytestmark = pytest.mark.e2e
PHRASE = "four plain words here"
# A4 less the margins of the style, in pixels of the style.
PAPER = round((210 - 2 * 14) / 25.4 * 96)
# Each sheet with the words that must stand on it, and the pages it may take; what is hung up fits on one.
SHEETS = {
    "/paper/week": (("the week from", "Feed", "Test", "☐"), {1}),
    "/paper/log": (("Day, time", "What else", "Ammonia, steps of the card"), {1}),
    "/paper/cards": (("Fish gasp at the surface", "Leaves turn yellow", "WHEN THE AIR STOPS"), range(4, 8)),
    "/paper/away?first=2031-04-12&last=2031-04-18&share=0.5": (("Day by day", "Call me", "12 Apr", "18 Apr"), {1, 2}),
    "/trouble/sheet": (("What anybody who helps will ask first.", "Fish", "Beds"), {2, 3}),
    "/oxygen/card": (("WHEN THE AIR STOPS", "Later:"), {1}),
    "/water": (("What the readings say", "Nitrate, mg/L as N"), range(3, 6)),
}
DRAWN = {"/water", "/trouble/sheet"}  # with charts
# What is wider than what holds it would be cut off on paper.
CUT = """() => Array.from(document.querySelectorAll('main, main *:not(.sr)')).filter(e => {
    const box = e.getBoundingClientRect(), style = getComputedStyle(e);
    return box.width && (box.right > innerWidth + 1
        || (style.overflowX !== 'visible' && e.scrollWidth > e.clientWidth + 1));
}).map(e => e.tagName + '.' + e.className + ' ' + e.textContent.slice(0, 40))"""


def test_every_sheet_is_whole_on_paper(stocked, window) -> None:
    person = window()
    page = person.page
    person.sign_in(stocked, "keeper", PHRASE)
    person.until("it knows every entry of the log")
    for path, (words, sheets) in SHEETS.items():
        person.settled(stocked + path)
        seen = page.viewport_size
        assert page.get_by_role("navigation").first.is_visible()
        page.emulate_media(media="print")
        page.set_viewport_size({"width": PAPER, "height": 1000})
        assert page.get_by_role("navigation").count() == 0, path
        assert page.evaluate(CUT) == [], path
        charts = page.locator("figure svg:visible")
        assert (charts.count() > 0) == (path in DRAWN), path
        read = pdf.pages(page.pdf(format="A4"))
        page.emulate_media(media="screen")
        page.set_viewport_size(seen)
        whole = " ".join(read)
        assert [word for word in words if word not in whole] == [], path
        assert [word for word in ("All pages", "Done Why") if word in whole] == [], path
        assert len(read) in sheets, path
        assert all(read), f"{path}: an empty page"
    assert person.complaints == []
