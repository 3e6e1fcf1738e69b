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
    Table,
    TableRow,
    View,
)
from rillbed.draw.table import table

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
    "Table",
    "TableRow",
    "View",
    "dots",
    "flow",
    "line_chart",
    "room",
    "table",
    "twenty",
]
