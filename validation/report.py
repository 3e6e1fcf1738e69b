"""The page docs/trust.md: every published figure beside what the model says, hits and misses alike."""

from pathlib import Path

from validation import growth, startup, trends
from validation.check import Check

PAGE = Path(__file__).parents[1] / "docs/trust.md"
HEAD = """# What published ponds say

Validation: does the model, before it has seen a single reading of a loop, expect what others have measured? The suite
is apart from verification (`tests/published`, does the code compute what the paper prints). Ranges are the model's
8 in 10, so about two misses in ten are due. Made by `python -m validation`; `tests/validation` holds it to the code.
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


def page(starts: list[Check], flows: list[Check], series: list[growth.Outcome]) -> str:
    """Write the page."""
    windows = "| id | what | printed | model | verdict | blind | source |\n|---|---|---|---|---|---|---|"
    held = sum(o.holds for o in series)
    return "\n".join([
        HEAD,
        "`inside`: the model's middle lies in the printed window; `touches`: its range meets the window; `misses`: "
        "neither. `blind`: the figure had no part in setting the model; a `no` that agrees "
        "is a fit and proves nothing.",
        "\n## Start-up\n", windows, *map(row_of_check, starts),
        "\n## Where the nitrogen of the feed goes\n", windows, *map(row_of_check, flows),
        "\n## Growth of fish\n",
        f"Fish of the species table, nothing weighed but the first day. The range holds the last weight in {held} of "
        f"{len(series)} series. `points inside` counts every weighing after the first, within 3 % for reading it off "
        "a figure. The upper sizes of barramundi (G8) and trout (G2) helped to set where growth ends: their last "
        "points are not blind. Not held against the model: crowding (G10, fish at 36 to 144 per m3: not modelled) and "
        "the perch threshold (G11: weights not printed).\n",
        "| id | what | printed, g | model's end, g | error | points inside | verdict | source |\n"
        "|---|---|---|---|---|---|---|---|",
        *(row_of_series(o) for o in series),
        "",
    ])  # fmt: skip


def main() -> None:
    """Run everything and write the page."""
    series = [growth.compare(s) for s in growth.load()]
    PAGE.write_text(page(startup.checks(), trends.checks(), series), encoding="utf-8")
    print(f"wrote {PAGE.name}")
