"""The hourly water state: named rows of one array (states, members)."""

from collections.abc import Iterable
from enum import IntEnum
from functools import reduce

import numpy as np

from rillbed.engine.result import Array


class S(IntEnum):
    """Row of each state. Concentrations in g/m3 of loop water; CO2 in mol/m3, alkalinity in eq/m3."""

    TAN = 0
    NO2 = 1
    NO3 = 2
    SOLIDS = 3  # particulate N that will mineralise
    ORGANIC = 4  # N of an organic ammonia source (or urea) still to come
    GUT1 = 5  # eaten N on its way out, first stage
    GUT2 = 6  # second stage
    CO2 = 7
    O2 = 8
    ALK = 9
    CAP_A = 10  # nitrifying capacity of step one at 20 degC, g N/m3/day
    CAP_N = 11
    K = 12
    CA = 13
    MG = 14
    FE = 15
    P = 16
    S = 17
    NA = 18
    CL = 19


NITROGEN = (S.TAN, S.NO2, S.NO3, S.SOLIDS, S.ORGANIC, S.GUT1, S.GUT2)
"""Rows whose sum, times the volume, is all the nitrogen in the water."""

MINERALS = {"k": S.K, "ca": S.CA, "mg": S.MG, "fe": S.FE, "p": S.P, "s": S.S, "na": S.NA, "cl": S.CL}

IONS = slice(S.K, S.CL + 1)
"""Rows of `MINERALS`, in their order."""

HELD = (slice(S.TAN, S.GUT2 + 1), slice(S.ALK, S.CL + 1))
"""Rows that scale with the volume; gases are left where they are."""

DISSOLVED = (S.TAN, S.NO2, S.NO3, S.ORGANIC, S.GUT1, S.GUT2, S.ALK, *MINERALS.values())
"""Rows that leave with drained water; solids and capacity sit on surfaces."""


def empty(members: int) -> Array:
    """All-zero state (states, members)."""
    return np.zeros((len(S), members))


def added(rows: Iterable[Array]) -> Array:
    """Add rows in their order: a sum of numpy's would order them by how many members stand side by side."""
    return reduce(np.add, rows)
