"""What is wrong with the water, how surely, and for whom: a verdict from any partial test.

`judge` turns readings, each an interval, and the members of the forecast into bands in the order of safety; `budget`
follows alkalinity, `stubborn` a pH that stays high, and `assess` judges the source water.
"""

from rillbed.plan.verdict.assess import SourceVerdict, assess
from rillbed.plan.verdict.bands import LEVELS, ORDER, Band, Level, Verdict
from rillbed.plan.verdict.budget import Budget, budget
from rillbed.plan.verdict.judge import judge
from rillbed.plan.verdict.source import SourceFacts
from rillbed.plan.verdict.stubborn import Stubborn, stubborn

__all__ = [
    "LEVELS", "ORDER", "Band", "Budget", "Level", "SourceFacts", "SourceVerdict", "Stubborn", "Verdict", "assess",
    "budget", "judge", "stubborn",
]  # fmt: skip
