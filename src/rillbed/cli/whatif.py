"""Two futures side by side, as tables."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table

from rillbed import words
from rillbed.plan.advice import Reason
from rillbed.plan.whatif import Comparison, Effect
from rillbed.words import futures


def show_comparison(answer: Comparison, out: Console) -> None:
    """Print what the change does to each figure, and the main ones by the month."""
    title = f"{answer.name}: {answer.days} days from {words.day(answer.on)}, 8 futures in 10"
    table = Table("", "as planned", "changed", "difference", "", title=title)
    for item in answer.effects:
        table.add_row(futures.name(item), *_bands(item), futures.sure(item))
    out.print(table)
    for column, weeks in answer.weeks.items():
        if column in ("no3_mg_l", "fish_weight_g"):
            rows = Table("day", "as planned", "changed", "difference", title=futures.TITLES[column])
            for week in weeks[::4]:
                bands = (words.between(one.low, one.high) for one in (week.planned, week.changed, week.difference))
                rows.add_row(words.day(week.on), *bands)
            out.print(rows)
    for why in dict.fromkeys(answer.stops):
        out.print(words.reason(Reason("note.stop", {"why": why})), highlight=False)
    out.print(words.reason(answer.notes[0]), highlight=False)


def _bands(item: Effect) -> tuple[str, ...]:
    return tuple(futures.ends(one) for one in (item.planned, item.changed, item.difference))
