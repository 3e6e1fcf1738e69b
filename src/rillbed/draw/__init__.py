"""Forecasts and plans into SVG: plain records in, text out, every word passed in."""

from rillbed.draw.dots import dots, twenty
from rillbed.draw.flow import flow
from rillbed.draw.ground import ground
from rillbed.draw.line import line_chart
from rillbed.draw.room import room
from rillbed.draw.spec import (
    Chart,
    Dots,
    Event,
    Flow,
    Ground,
    IntervalReading,
    Limit,
    NitrogenFlow,
    Patch,
    Plot,
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
    "Ground",
    "IntervalReading",
    "Limit",
    "NitrogenFlow",
    "Patch",
    "Plot",
    "Room",
    "Series",
    "Span",
    "Table",
    "TableRow",
    "View",
    "Weeks",
    "dots",
    "flow",
    "ground",
    "line_chart",
    "room",
    "table",
    "twenty",
    "weeks",
]
