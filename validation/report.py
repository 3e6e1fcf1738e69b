"""The page docs/trust.md: every published figure beside what the model says, hits and misses alike."""

from dataclasses import dataclass
from pathlib import Path

from validation import growth, stalls, startup, thirds, trends, water
from validation.check import Check

PAGE = Path(__file__).parents[1] / "docs/trust.md"
HEAD = """# What published ponds say

Validation: does the model, before it has seen a single reading of a loop, expect what others have measured? The suite
is apart from verification (`tests/published`, does the code compute what the paper prints). Ranges are the model's
8 in 10, so about two misses in ten are due. Made by `python -m validation`; `tests/validation` holds it to the code.
"""
STANDS = """What the program names when bacteria hardly grow, and the published marks behind it. Papers print marks, not
courses, of such loops. Two things they say the model does not do: un-ionised ammonia from 10 to 150 mg/L (as NH3) also
holds the ammonia step (Anthonisen et al. 1976, from memory), and nitrous acid holds both (from 0.2 mg/L); here only the
nitrite step is held, by un-ionised ammonia alone.
"""
WATERS = """Published numbers of running loops. Where the model misses: it uses less alkalinity for a kilogram of feed
than the books of dense fish farms reckon with; its bacteria slow down in acid water but do not stop; and the
shares of potassium and calcium that feed gives off, from memory in the tables, are far above the one release
that was measured, so the potassium a loop has of its own may be less than is shown. Potassium and calcium of
the raft loop are not held against it: its base was by halves of both, a run takes one.

Only words, no numbers to hold a run against: the order in which ions build up for a kilogram of feed
(Villarroel et al. 2011), potassium rising with feed while calcium, magnesium and phosphorus lag (African
catfish, Aquaculture 2018), what is usually short (Rakocy et al. 2006), nitrite bacteria held back at pH 8.5
(Ecohydrology & Hydrobiology 2019). No course of pH over days of a loop with its alkalinity and feed was found
in print.
"""


def number(x: float) -> str:
    """Write a figure to three digits, and a member that never got there as such."""
    return "not in the run" if x == float("inf") else f"{x:.3g}" if abs(x) < 1000 else f"{x:.0f}"


def span(pair: tuple[float, float]) -> str:
    """Write a window, or a point once."""
    return number(pair[0]) if pair[0] == pair[1] else f"{number(pair[0])} to {number(pair[1])}"


def row_of_check(check: Check) -> str:
    """Write one line of the tables of windows."""
    low, middle, high = check.range
    told = "; ".join(x for x in (check.source, check.note) if x)
    cells = (
        check.id,
        f"{check.what}, {check.unit}",
        span(check.printed),
        f"{number(middle)} ({number(low)} to {number(high)})",
        check.verdict,
        "yes" if check.blind else "no",
        told,
    )
    return f"| {' | '.join(cells)} |"


def row_of_series(out: growth.Outcome) -> str:
    """Write one line of the table of growth."""
    s = out.series
    fed = "to appetite" if s.ration is None else f"{100 * s.ration:g} % a day"
    return (
        f"| {s.id} | {s.species.replace('_', ' ')}, {s.temp_c:g} °C, {fed} | {number(s.weight_g[0])} to "
        f"{number(s.weight_g[-1])} in {s.day[-1] - s.day[0]:.0f} d | {number(out.middle_g)} ({number(out.low_g)} to "
        f"{number(out.high_g)}) | {100 * out.error:+.0f} % | {100 * out.inside:.0f} % | "
        f"{'holds' if out.holds else 'misses'} | {s.source} |"
    )


def row_of_case(case: stalls.Case) -> str:
    """Write one line of the table of start-ups that stand still."""
    causes = ", then ".join("pH" if x == "ph" else x for x in (case.first, case.second) if x) or "none"
    chance = f" ({100 * case.chance:.0f} %)" if case.first else ""
    told = ", ".join(f"{x:.1f}" for x in case.tan_mg_l)
    return f"| {case.what} | {case.day} | {case.state} | {causes}{chance} | {told} |"


def row_of_third(out: thirds.Third) -> str:
    """Write one line of the table of growth foreseen from its first third."""
    s = out.series
    return (
        f"| {s.id} | {out.weighed} by day {out.until} of {s.day[-1] - s.day[0]:.0f} | {number(s.weight_g[out.weighed])}"
        f" | {number(s.weight_g[-1])} | {number(out.middle_g)} ({number(out.low_g)} to {number(out.high_g)}) | "
        f"{100 * out.error:+.0f} % | {'yes' if out.close else 'misses'} | {'holds' if out.holds else 'misses'} |"
    )


@dataclass(frozen=True)
class Found:
    """All that stands on the page."""

    starts: list[Check]
    marks: list[Check]
    stands: list[stalls.Case]
    flows: list[Check]
    waters: list[Check]
    series: list[growth.Outcome]
    thirds: list[thirds.Third]

    @property
    def windows(self) -> list[Check]:
        """Everything held against a printed window, growth apart."""
        return [*self.starts, *self.flows]


def gather() -> Found:
    """Run everything."""
    series = growth.load()
    return Found(
        starts=startup.checks(), marks=stalls.checks(), stands=stalls.cases(), flows=trends.checks(),
        waters=water.checks(), series=[growth.compare(one) for one in series], thirds=thirds.all_of(series),
    )  # fmt: skip


def growth_from_a_third(found: Found) -> list[str]:
    """Write the part about growth fitted on its first third."""
    close, held = (sum(getattr(o, name) for o in found.thirds) for name in ("close", "holds"))
    return [
        "\n## Growth foreseen from its first third\n",
        "The same series, fitted by the program's own fit to the weigh-ins of the first third of their days; the end "
        f"is then forecast. Asked for: an error of at most {100 * thirds.ALLOWED:.0f} % at the end, met by {close} of "
        f"{len(found.thirds)}; the range holds the end in {held}. A fixed ration goes on by the weight that is "
        f"forecast, not by the one printed. {len(found.series) - len(found.thirds)} series have no weight in their "
        "first third but the first, so nothing can be fitted (G5, G7, G9). Growth keeps the form of the species table "
        "when its speed is fitted: where fish slow down earlier than that (G6 grew by nearly the same grams every day, "
        "G3), a fit to the young ones runs ahead, and the range does not know it.\n",
        "| id | weighed | last weight used, g | printed end, g | forecast, g | error | within | range |\n"
        "|---|---|---|---|---|---|---|---|",
        *map(row_of_third, found.thirds),
    ]


def page(found: Found) -> str:
    """Write the page."""
    windows = "| id | what | printed | model | verdict | blind | source |\n|---|---|---|---|---|---|---|"
    held = sum(o.holds for o in found.series)
    return "\n".join([
        HEAD,
        "`inside`: the model's middle lies in the printed window; `touches`: its range meets the window; `misses`: "
        "neither. `blind`: the figure had no part in setting the model; a `no` that agrees "
        "is a fit and proves nothing.",
        "\n## Start-up\n", windows, *map(row_of_check, found.starts),
        "\n## Start-ups that stand still\n", STANDS,
        "| case at 24 °C, no seed | day | state | named as cause (chance of the first) | ammonia then, in 7 and in "
        "30 days, mg/L as N |\n|---|---|---|---|---|",
        *map(row_of_case, found.stands), "", windows, *map(row_of_check, found.marks),
        "\n## Where the nitrogen of the feed goes\n", windows, *map(row_of_check, found.flows),
        "\n## Alkalinity, pH and nutrients\n", WATERS,
        windows, *map(row_of_check, found.waters),
        "\n## Growth of fish\n",
        f"Fish of the species table, nothing weighed but the first day. The range holds the last weight in {held} of "
        f"{len(found.series)} series. `points inside` counts every weighing after the first, within 3 % for reading it "
        "off a figure. The upper sizes of barramundi (G8) and trout (G2) helped to set where growth ends: their last "
        "points are not blind. Not held against the model: crowding (G10, fish at 36 to 144 per m3: not modelled) and "
        "the perch threshold (G11: weights not printed).\n",
        "| id | what | printed, g | model's end, g | error | points inside | verdict | source |\n"
        "|---|---|---|---|---|---|---|---|",
        *(row_of_series(o) for o in found.series),
        *growth_from_a_third(found),
        "",
    ])  # fmt: skip


def main() -> None:
    """Run everything and write the page."""
    PAGE.write_text(page(gather()), encoding="utf-8")
    print(f"wrote {PAGE.name}")
