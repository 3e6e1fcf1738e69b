"""Whether the bacteria are grown: the share of members that would pass the full load now."""

from __future__ import annotations

import numpy as np

from rillbed import facts
from rillbed.engine import water
from rillbed.engine.future import Future
from rillbed.engine.run import full_load_mg_l
from rillbed.engine.state import S
from rillbed.fit.posterior import Posterior

REST = Future()  # nothing is done but what the log says


def cycled(posterior: Posterior, members: int = 200) -> float:
    """Probability that the loop turns over the full load of its planned feed within a day.

    Every member is given the load after the last day of the log; those count in which ammonia and nitrite are both
    under the mark a day later. Zeros in the log alone prove nothing: water without ammonia reads zero too.

    Parameters
    ----------
    posterior : Posterior
        A fit of the loop.
    members : int
        Members to ask, 1 or more.
    """
    setting = posterior.setting
    c, z = posterior.extended(setting, setting.days + 1, members)
    run = setting.run(c, z, days=setting.days + 2, future=REST)
    for d in range(setting.days + 1):
        run.day(d)
    load, mark = full_load_mg_l(setting.now), facts.value("start.clear_below")
    missing = np.maximum(load - run.y[S.TAN], 0.0) * run.volume
    water.dose(run.y, run.volume, {"tan": missing}, run.books)
    run.day(setting.days + 1)
    return float(np.mean((run.y[S.TAN] < mark) & (run.y[S.NO2] < mark)))
