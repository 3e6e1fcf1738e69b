"""Any answer as plain data for JSON: the same structure from the command line and from the pages."""

from __future__ import annotations

import dataclasses
import json
import math
from collections.abc import Mapping
from datetime import date
from enum import Enum
from typing import Any

from pydantic import BaseModel


def plain(value: object) -> Any:
    """Turn records, dates and numbers into JSON types; figures keep six digits, infinity and NaN become null.

    Raises
    ------
    TypeError
        For anything that is not plain data.

    Examples
    --------
    >>> plain({"on": date(2031, 5, 2), "x": (1.23456789, float("inf"))})
    {'on': '2031-05-02', 'x': [1.23457, None]}
    """
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, BaseModel):
        return plain(value.model_dump(mode="json"))
    if isinstance(value, Enum):
        return value.name.lower()
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    try:
        number = float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        raise TypeError(f"{type(value).__name__}: not plain data") from None
    return float(f"{number:.6g}") if math.isfinite(number) else None


def to_json(value: object) -> str:
    """JSON text with a stable layout."""
    return json.dumps(plain(value), ensure_ascii=False, indent=2)
