"""The part of a forecast that questions of today need, small enough to keep, and back again."""

from __future__ import annotations

import io
import json
import zipfile
from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from rillbed.engine import Forecast

BACK_DAYS, AHEAD_DAYS, MEMBERS = 120, 120, 100
_FIELDS = ("weights", "completion")
_TABLES = ("columns", "params", "ledger", "booked", "first_g")


def near(
    forecast: Forecast, on: date, *, back: int = BACK_DAYS, ahead: int = AHEAD_DAYS, members: int = MEMBERS
) -> Forecast:
    """Cut a forecast to the days about one, and to some of its members; what it says of those days is the same.

    Parameters
    ----------
    back, ahead : int
        Days kept before and after `on`, as far as the forecast goes.
    members : int
        At most so many, evenly from first to last, weights made to sum to 1.
    """
    here = forecast.index(on)
    first, last = max(0, here - back), min(forecast.days, here + ahead)
    if forecast.members > members:
        picked = np.linspace(0, forecast.members - 1, members).round().astype(int)
    else:
        picked = np.arange(forecast.members)
    weights = forecast.weights[picked]

    def some(table: dict[str, np.ndarray]) -> dict[str, np.ndarray]:
        whole = forecast.members
        return {
            name: row[..., picked] if np.ndim(row) and np.shape(row)[-1] == whole else row
            for name, row in table.items()
        }

    columns = {name: column[first : last + 1][:, picked] for name, column in forecast.columns.items()}
    return replace(
        forecast, start=forecast.start + timedelta(days=first), days=last - first, members=len(picked),
        weights=weights / weights.sum(), columns=columns, completion=forecast.completion[picked] - first,
        params=some(forecast.params), ledger=some(forecast.ledger), booked=some(forecast.booked),
        first_g=some(forecast.first_g), since=forecast.booked_since,
    )  # fmt: skip


def packed(forecast: Forecast) -> bytes:
    """Write a forecast as compressed arrays, four bytes a number."""
    plain = {
        "start": forecast.start.isoformat(), "on": forecast.on.isoformat(), "days": forecast.days,
        "members": forecast.members, "stop": forecast.stop, "digest": forecast.digest, "notes": list(forecast.notes),
        "since": forecast.booked_since.isoformat(),
    }  # fmt: skip
    arrays = {name: np.asarray(getattr(forecast, name), dtype=np.float32) for name in _FIELDS}
    for table in _TABLES:
        rows = getattr(forecast, table)
        arrays |= {f"{table}/{name}": np.asarray(row, dtype=np.float32) for name, row in rows.items()}
    out = io.BytesIO()
    text = np.frombuffer(json.dumps(plain).encode(), dtype=np.uint8)
    np.savez_compressed(out, plain=text, **arrays)  # type: ignore[arg-type]
    return out.getvalue()


def unpacked(data: bytes) -> Forecast:
    """Read what `packed` wrote.

    Raises
    ------
    ValueError
        If the data are something else.
    """
    try:
        with np.load(io.BytesIO(data), allow_pickle=False) as held:
            plain = json.loads(held["plain"].tobytes())
            tables: dict[str, dict[str, np.ndarray]] = {table: {} for table in _TABLES}
            for key in held.files:
                table, _, name = key.partition("/")
                if name:
                    tables[table][name] = held[key] if table == "columns" else held[key].astype(np.float64)
            weights, completion = (held[name].astype(np.float64) for name in _FIELDS)
    except (KeyError, ValueError, OSError, zipfile.BadZipFile, EOFError) as error:
        raise ValueError(f"data: not a packed forecast ({error})") from None
    return Forecast(
        start=date.fromisoformat(plain["start"]), on=date.fromisoformat(plain["on"]), days=plain["days"],
        members=plain["members"], weights=weights / weights.sum(), completion=completion, stop=plain["stop"],
        digest=plain["digest"], notes=tuple(plain["notes"]),
        since=date.fromisoformat(plain.get("since", plain["start"])), **tables,
    )  # fmt: skip
