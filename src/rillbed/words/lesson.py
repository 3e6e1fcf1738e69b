"""The lesson in words."""

from __future__ import annotations

from rillbed.plan.lesson import Lesson, Settings
from rillbed.tongue import later, tr
from rillbed.words.numbers import amount, between, number, say

SEEDS = {"none": "none", "pond": "mud or water of a pond", "mature": "gravel of a ripe loop"}
QUESTIONS = (
    later("Which comes first, ammonia or nitrite? Why?"),
    later("How many days do bacteria from a ripe loop save?"),
    later("Double the feed, same fish. What happens to the water, and why?"),
    later("At 14 °C, would you begin in spring or wait?"),
    later("Take the bed away. Where does the nitrogen go?"),
    later("Where do the two views of the bed agree, and where not?"),
)


def water(told: Lesson) -> str:
    """Say how ammonia and nitrite went."""
    (day_a, tan), (day_n, no2) = told.peaks["tan"], told.peaks["no2"]
    if max(tan, no2) < 0.1:
        return tr("There is next to no ammonia and no nitrite: nothing feeds the bacteria.")
    head = say(
        "Ammonia is highest on day {day_a}, about {tan} mg/L; nitrite on day {day_n}, about {no2}.",
        day_a=day_a,
        tan=number(tan),
        day_n=day_n,
        no2=number(no2),
    )
    if told.gone is None:
        return f"{head} {tr('They are not gone after 90 days.')}"
    return f"{head} {say('Both are gone by day {day}.', day=told.gone)}"


def limit(told: Lesson) -> str:
    """Say whether fish could live in it."""
    if told.settings.fish and told.peaks["tan"][1] > told.tan_limit_mg_l:
        return tr("More ammonia than fish bear. In a real loop feeding stops long before.")
    return ""


def bed(told: Lesson) -> str:
    """Say which of bed and nitrogen is the limit."""
    has = told.settings.bed_m2
    if has == 0.0:
        return tr("Without a bed all nitrate stays in the water.")
    if told.balance_m2.high < has:
        return tr("Nitrogen is the limit: the bed will not fill.")
    if told.balance_m2.low > has:
        return tr("The bed is the limit: nitrate piles up.")
    return tr("Bed and nitrogen are about in balance.")


def eaten(told: Lesson) -> str:
    """Say how much of the feed is eaten."""
    given, eaten_g = told.settings.feed_g_day, told.eaten_g_day
    if given == 0.0:
        return tr("Nothing is fed.")
    if not told.settings.fish:
        return tr("No fish: all the feed rots, and all its nitrogen comes out.")
    if eaten_g >= given * 0.99:
        return tr("The fish eat all of it.")
    return say("The fish eat about {grams} of it; the rest rots.", grams=amount(eaten_g, "g"))


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
    return f"{between(low, high)}\u00a0{tr('m²')}"
