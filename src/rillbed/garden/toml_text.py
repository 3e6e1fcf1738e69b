"""Plain data to TOML text; the standard library only reads it."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def dumps(data: Mapping[str, Any]) -> str:
    """Return `data` as TOML: values first, then tables, then arrays of tables; None is left out."""
    return "\n".join(_table(data, ())).strip() + "\n"


def _table(data: Mapping[str, Any], path: tuple[str, ...]) -> list[str]:
    filled = {key: value for key, value in data.items() if value is not None}
    tables = {key: value for key, value in filled.items() if isinstance(value, Mapping)}
    arrays = {key: value for key, value in filled.items() if _is_tables(value)}
    lines = [f"{_key(key)} = {_value(v)}" for key, v in filled.items() if key not in tables and key not in arrays]
    for key, value in tables.items():
        lines += ["", f"[{'.'.join(map(_key, (*path, key)))}]", *_table(value, (*path, key))]
    for key, value in arrays.items():
        for item in value:
            lines += ["", f"[[{'.'.join(map(_key, (*path, key)))}]]", *_table(item, (*path, key))]
    return lines


def _is_tables(value: Any) -> bool:
    return isinstance(value, list | tuple) and bool(value) and all(isinstance(item, Mapping) for item in value)


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else _text(key)


def _text(text: str) -> str:
    # JSON escapes are TOML escapes, once control characters beyond them and DEL are spelled out too.
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, date | datetime):
        return value.isoformat()
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(_value, value))}]"
    if isinstance(value, str):
        return _text(value)
    raise TypeError(f"TOML has no form for {type(value).__name__}")
