"""Loops as publications describe them: what all have in common, and crops kept in even succession."""

from datetime import date, timedelta

from rillbed import engine
from rillbed.garden import files
from rillbed.garden.system import System

START = date(2025, 1, 1)
RUNNING = 'aeration = "strong"\nseeding = "mature"\nstartup_path = "running"'
INDOORS = """
format = 1
name = "{name}"
latitude_deg = {latitude_deg}
longitude_deg = {longitude_deg}
elevation_m = 0
place = "indoors"
started_on = {start}
water_temp_c = [{temps}]
{own}
"""


def indoors(name: str, temp_c: float, own: str, *, latitude_deg: float = 0, longitude_deg: float = 0) -> System:
    """Give a loop indoors, its water at one temperature; `own` is the rest of its system file."""
    temps = ", ".join([str(temp_c)] * 12)
    return files.parse_system(
        INDOORS.format(
            name=name, latitude_deg=latitude_deg, longitude_deg=longitude_deg, start=START, temps=temps, own=own
        )
    )


def in_turn(crop: str, each: float, batches: int, weeks: float) -> tuple[engine.Sowing, ...]:
    """Sow `each` plants of a crop `batches` times within `weeks`, which keeps a bed evenly full."""
    return tuple(
        engine.Sowing(crop, each, START + timedelta(days=round(7 * weeks * i / batches))) for i in range(batches)
    )
