"""What templates may do with a value: write a day the reader's way, look a word of the code up."""

from __future__ import annotations

from datetime import date, datetime

from django import template

from rillbed import words
from rillbed.tongue import tr

register = template.Library()


@register.filter
def day(value: date | datetime) -> str:
    """Day, month and year."""
    return words.day(value.date() if isinstance(value, datetime) else value, year=True)


@register.filter
def moment(value: datetime) -> str:
    """Day, month and time of day."""
    return f"{words.day(value.date())}, {words.clock(value)}"


@register.filter
def capital(value: str) -> str:
    """Raise the first letter, save of a unit or a symbol."""
    return words.capital(str(value))


@register.filter
def said(value: str) -> str:
    """Look a word of the code up in the reader's language."""
    return tr(str(value))
