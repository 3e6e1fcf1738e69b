"""Everything the Nutrients page and ``rillbed nutrients`` show, in one record."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rillbed.engine import Forecast
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.elements.evidence import Against, against
from rillbed.plan.elements.ledger import Ledger, ledger
from rillbed.plan.elements.short import Shortage, shortages
from rillbed.plan.elements.supplements import Supplements, supplements


@dataclass(frozen=True)
class Nutrients:
    """What plants eat, on a day.

    Attributes
    ----------
    short : tuple of Shortage
        Every element that limits plants, what runs short first standing first.
    doses : Supplements
        What to add over the next fortnight.
    against : tuple of Against
        Readings that speak against the ledger.
    ledger : Ledger
        What brought and what took each element.
    """

    on: date
    system: str
    short: tuple[Shortage, ...]
    doses: Supplements
    against: tuple[Against, ...]
    ledger: Ledger


def nutrients(
    system: System,
    entries: Sequence[LogEntry],
    forecast: Forecast,
    on: date,
    *,
    shelf: Sequence[str] | None = None,
    before_planting: bool = False,
) -> Nutrients:
    """Draw up the whole answer.

    Parameters
    ----------
    system, entries
        The loop and its log.
    forecast : Forecast
        Made for ``on``, at least two weeks ahead.
    shelf : sequence of str, optional
        Supplies at hand; default the system's.
    before_planting : bool
        Plan doses also where nothing grows yet.
    """
    return Nutrients(
        on,
        system.name,
        shortages(system, entries, forecast, on, shelf=shelf),
        supplements(system, entries, forecast, on, shelf=shelf, before_planting=before_planting),
        against(system, entries, forecast, on),
        ledger(system, entries, forecast, on),
    )
