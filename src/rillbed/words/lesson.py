"""The lesson in words."""

from __future__ import annotations

from rillbed.plan.lesson import Lesson, Settings
from rillbed.words.numbers import amount, between, number

SEEDS = {"none": "none", "pond": "mud or water of a pond", "mature": "gravel of a ripe loop"}
QUESTIONS = (
    "Which comes first, ammonia or nitrite? Why?",
    "How many days do bacteria from a ripe loop save?",
    "Double the feed, same fish. What happens to the water, and why?",
    "At 14 °C, would you begin in spring or wait?",
    "Take the bed away. Where does the nitrogen go?",
    "Where do the two views of the bed agree, and where not?",
)


def water(told: Lesson) -> str:
    """Say how ammonia and nitrite went."""
    (day_a, tan), (day_n, no2) = told.peaks["tan"], told.peaks["no2"]
    if max(tan, no2) < 0.1:
        return "There is next to no ammonia and no nitrite: nothing feeds the bacteria."
    head = f"Ammonia is highest on day {day_a}, about {number(tan)} mg/L; nitrite on day {day_n}, about {number(no2)}. "
    return head + (
        f"Both are gone by day {told.gone}." if told.gone is not None else "They are not gone after 90 days."
    )


def limit(told: Lesson) -> str:
    """Say whether fish could live in it."""
    if told.settings.fish and told.peaks["tan"][1] > told.tan_limit_mg_l:
        return "More ammonia than fish bear. In a real loop feeding stops long before."
    return ""


def bed(told: Lesson) -> str:
    """Say which of bed and nitrogen is the limit."""
    has = told.settings.bed_m2
    if has == 0.0:
        return "Without a bed all nitrate stays in the water."
    if told.balance_m2.high < has:
        return "Nitrogen is the limit: the bed will not fill."
    if told.balance_m2.low > has:
        return "The bed is the limit: nitrate piles up."
    return "Bed and nitrogen are about in balance."


def eaten(told: Lesson) -> str:
    """Say how much of the feed is eaten."""
    given, eaten_g = told.settings.feed_g_day, told.eaten_g_day
    if given == 0.0:
        return "Nothing is fed."
    if not told.settings.fish:
        return "No fish: all the feed rots, and all its nitrogen comes out."
    if eaten_g >= given * 0.99:
        return "The fish eat all of it."
    return f"The fish eat about {amount(eaten_g, 'g')} of it; the rest rots."


def value(settings: Settings, name: str) -> str:
    """Say what a slider stands at."""
    return {
        "temp_c": amount(settings.temp_c, "°C", 3),
        "feed_g_day": amount(settings.feed_g_day, "g a day", 3),
        "fish": str(settings.fish),
        "bed_m2": amount(settings.bed_m2, "m²"),
    }[name]


def area(low: float, high: float) -> str:
    """Give a range of beds."""
    return f"{between(low, high)}\u00a0m²"
