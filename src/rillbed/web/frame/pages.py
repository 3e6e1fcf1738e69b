"""The pages there are, in the order in which they are listed; one without an address yet is left out."""

from __future__ import annotations

from dataclasses import dataclass

from django.urls import NoReverseMatch, reverse

from rillbed.tongue import later

TABS = 4  # as many fit on a phone beside the door to all pages


@dataclass(frozen=True)
class Page:
    """A page family: name of its address, its title, what it is for, and its line drawing on 24 x 24 px."""

    address: str
    title: str
    purpose: str
    icon: str


@dataclass(frozen=True)
class Door:
    """A page as listed: where it is and whether one stands on it."""

    page: Page
    path: str
    here: bool
    tab: bool


PAGES = (
    Page(
        "today",
        later("Today"),
        later("What to do now, most urgent first, and the year ahead"),
        "M4 6l1.5 1.5L8 5M4 13l1.5 1.5L8 12M4 20l1.5 1.5L8 19M12 6h8M12 13h8M12 20h8",
    ),
    Page(
        "water",
        later("Water"),
        later("Log a test with the steps of your own kits"),
        "M7 3h10M9 3v15a3 3 0 0 0 6 0V3M9 11h6",
    ),
    Page(
        "fish",
        later("Fish"),
        later("Ration, growth and when they are big enough, kilograms against limits"),
        "M3 12c4-6 10-6 14-1l4-4v10l-4-4c-4 5-10 5-14-1zM7 11v.5",
    ),
    Page(
        "trouble",
        later("Trouble"),
        later("Something is wrong: what to do first, from whatever you see"),
        "M12 4l9 16H3zM12 10v5M12 17.5v.5",
    ),
    Page(
        "startup",
        later("Start-up"),
        later("Growing the bacteria: where it stands and when it will be done"),
        "M20 12a8 8 0 1 1-2.5-5.8M20 3v4h-4M12 8v4l3 2",
    ),
    Page(
        "beds",
        later("Beds"),
        later("What grows where, room over the year, what to sow, set out and pick"),
        "M3 10h18v8H3zM7 10V6M12 10V4M17 10V6M5 18v2M19 18v2",
    ),
    Page(
        "nutrients",
        later("Nutrients"),
        later("What runs short next, what to add, and what leaves show"),
        "M12 21v-9M12 12c0-4 3-7 8-7 0 5-3 8-8 7zM12 15c0-3-2-5-6-5 0 4 2 6 6 5z",
    ),
    Page(
        "oxygen",
        later("Oxygen"),
        later("How long fish last when the air stops, what to do, and the heat ahead"),
        "M6 15a4 4 0 1 0 .1 0zM15 5a3 3 0 1 0 .1 0zM17 14a2 2 0 1 0 .1 0z",
    ),
    Page(
        "dosing",
        later("Doses"),
        later("How much of what gets there safely, and what it does"),
        "M9 3h6M10 3v6l-5 9a2 2 0 0 0 2 3h10a2 2 0 0 0 2-3l-5-9V3M7 15h10",
    ),
    Page(
        "log",
        later("Log"),
        later("Everything that happened; correct it or take it back"),
        "M5 4h12a2 2 0 0 1 2 2v14H7a2 2 0 0 1-2-2zM9 9h6M9 13h6",
    ),
    Page(
        "what-if",
        later("What if"),
        later("Change the plan and see both futures side by side"),
        "M4 12h5M9 12l7-7h4M9 12l7 7h4M17 2l3 3-3 3M17 16l3 3-3 3",
    ),
    Page(
        "upkeep",
        later("Upkeep"),
        later("Pumps, siphons, screens, solids: what is due and when"),
        "M14 6a4 4 0 0 0 5 5l-9 9-3-3 9-9a4 4 0 0 0-2-2zM5 19l2 2",
    ),
    Page(
        "away",
        later("Days away"),
        later("School terms and holidays: who feeds, when to hand over, how to begin again"),
        "M5 9h14v11H5zM9 9V5h6v4M9 13v3M15 13v3",
    ),
    Page(
        "calendar",
        later("Calendar"),
        later("Six weeks of jobs of all your loops, also for the calendar on your phone"),
        "M4 6h16v14H4zM4 10h16M8 3v4M16 3v4M8 14h2M14 14h2",
    ),
    Page(
        "paper",
        later("Paper"),
        later("The week, an empty log, cards for trouble, a sheet for whoever minds it"),
        "M6 3h9l4 4v14H6zM15 3v4h4M9 12h7M9 16h7",
    ),
    Page(
        "trust",
        later("Trust"),
        later("How good this loop’s forecasts have been"),
        "M4 20V4M4 20h16M8 15l3-4 3 2 5-7",
    ),
    Page(
        "setup",
        later("Set-up"),
        later("The loop itself: tanks, beds, water, kits, shelf"),
        "M4 7h9M17 7h3M15 5v4M4 17h3M11 17h9M9 15v4",
    ),
    Page(
        "size",
        later("Size a loop"),
        later("How big a loop should be, from appetite, space or fish"),
        "M4 20V4h16M4 20h16V8M8 20v-4M12 20v-6M16 20v-4M20 4l-7 7M13 7v4h4",
    ),
    Page(
        "teach",
        later("Teach"),
        later("The same model as a lesson: slide, print, share"),
        "M3 8l9-4 9 4-9 4zM7 10v5c3 2 7 2 10 0v-5M21 8v6",
    ),
    Page(
        "sources",
        later("Sources"),
        later("Every figure behind the answers, with its source and grade"),
        "M5 4h6v16H5zM13 4h3v16h-3zM18 5l3 15",
    ),
    Page(
        "people",
        later("People"),
        later("Who may do what in this loop, invitations, a page for everybody"),
        "M8 4a3 3 0 1 0 .1 0zM2 20c0-4 2.5-6 6-6s6 2 6 6zM16 6a3 3 0 1 0 .1 0zM16 14c3.5 0 6 2 6 6h-5",
    ),
    Page(
        "tokens",
        later("Tokens"),
        later("Keys for programs and sensors, and what they can ask"),
        "M7 12a4 4 0 1 0 .1 0zM10 13l9-9M15 8l3 3M18 5l2 2",
    ),
    Page(
        "exchange",
        later("Export and import"),
        later("Take a loop along as tables, or take one in"),
        "M4 15v5h16v-5M9 8l-3 3M9 8l3 3M9 8v8M15 12l3-3M15 12l-3-3M15 12V4",
    ),
    Page(
        "loops",
        later("Loops"),
        later("All your loops: change to another, add one, erase one"),
        "M8 5a4 4 0 1 0 .1 0zM16 11a4 4 0 1 0 .1 0z",
    ),
)


def doors(path: str) -> list[Door]:
    """Pages with an address; the longest address that `path` begins with is where one stands."""
    found: list[tuple[Page, str]] = []
    for page in PAGES:
        try:
            found.append((page, reverse(page.address)))
        except NoReverseMatch:
            continue
    fitting = [place for _, place in found if path == place or (place != "/" and path.startswith(place))]
    here = max(fitting, key=len, default="")
    return [Door(page, place, place == here, n < TABS) for n, (page, place) in enumerate(found)]
