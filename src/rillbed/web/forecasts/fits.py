"""Fits, kept as the numbers of their members: enough to run them again, on other plans too."""

from __future__ import annotations

import numpy as np

from rillbed.fit import Posterior
from rillbed.fit.evidence import evidence_of
from rillbed.fit.setting import Setting
from rillbed.web import bridge
from rillbed.web.forecasts.models import StoredFit
from rillbed.web.log.models import Loop

WIDTH = "<f4"  # finer than any of these numbers is known


def keep(loop: Loop, posterior: Posterior, upto: int, made_with: str) -> None:
    """Store a fit in place of the loop's last one."""
    values = {
        "on": posterior.setting.on,
        "upto": upto,
        "made_with": made_with,
        "names": list(posterior.coordinates.names),
        "members": posterior.z.astype(WIDTH).tobytes(),
        "reached": posterior.reached,
        "effective": posterior.effective,
    }
    StoredFit.objects.update_or_create(loop=loop, defaults=values)


def last(loop: Loop, made_with: str) -> Posterior | None:
    """Return the last fit of a loop by this program; None if there is none, or the log has become another one."""
    row = StoredFit.objects.filter(loop=loop, made_with=made_with).first()
    if row is None:
        return None
    log = bridge.entries(loop, upto=row.upto)
    setting = Setting.of(bridge.first_system(log), log, row.on)
    evidence = evidence_of(setting, frozenset())
    c = setting.coordinates(evidence.nuisances)
    if list(c.names) != row.names:
        return None
    z = np.frombuffer(bytes(row.members), WIDTH).reshape(len(c.names), -1).astype(np.float64)
    count = z.shape[1]
    return Posterior(setting, evidence, c, z, None, np.full(count, 1.0 / count), row.reached, row.effective)


def upto(loop: Loop) -> int | None:
    """Key of the last row that the stored fit of a loop had read; None without one."""
    return StoredFit.objects.filter(loop=loop).values_list("upto", flat=True).first()
