"""How a loop evolves: one stoichiometric table, an hourly and a daily step, the ledger."""

from rillbed.engine.future import Arrival, Future, Pause, Sowing
from rillbed.engine.refinement import Refinement, refine
from rillbed.engine.result import COLUMNS, Forecast, weighted_quantile
from rillbed.engine.run import forecast
from rillbed.engine.version import MODEL_VERSION

__all__ = [
    "COLUMNS",
    "MODEL_VERSION",
    "Arrival",
    "Forecast",
    "Future",
    "Pause",
    "Refinement",
    "Sowing",
    "forecast",
    "refine",
    "weighted_quantile",
]
