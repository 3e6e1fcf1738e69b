"""What is wrong with the water, how surely, and for whom: a verdict from any partial test.

`judge` turns readings, each an interval, and the members of the forecast into bands in the order of safety.
"""

from rillbed.plan.verdict.bands import LEVELS, ORDER, Band, Level, Verdict
from rillbed.plan.verdict.judge import judge

__all__ = ["LEVELS", "ORDER", "Band", "Level", "Verdict", "judge"]
