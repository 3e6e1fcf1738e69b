"""Forecasts and plans into SVG: plain records in, text out, every word passed in."""

from rillbed.draw.dots import dots, twenty
from rillbed.draw.flow import flow
from rillbed.draw.line import line_chart
from rillbed.draw.room import room
from rillbed.draw.spec import (
    Chart,
    Dots,
    Event,
    Flow,
    IntervalReading,
    Limit,
    NitrogenFlow,
    Room,
    Series,
    Span,
    Table,
    TableRow,
    View,
    Weeks,
)
from rillbed.draw.table import table
from rillbed.draw.weeks import weeks

__all__ = [
    "Chart",
    "Dots",
    "Event",
    "Flow",
    "IntervalReading",
    "Limit",
    "NitrogenFlow",
    "Room",
    "Series",
    "Span",
    "Table",
    "TableRow",
    "View",
    "Weeks",
    "dots",
    "flow",
    "line_chart",
    "room",
    "table",
    "twenty",
    "weeks",
]
