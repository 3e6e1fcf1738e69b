"""The refusals of this layer: each names the field, the value that was given and what is allowed, in one line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from difflib import get_close_matches

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from rillbed.tongue import current, later, tr


class GardenError(ValueError):
    """A value that cannot be part of a system or of its log.

    Parameters
    ----------
    field : str
        Dotted name of the field, e.g. ``tanks.0.volume_l``.
    value : object
        What was given.
    allowed : str
        What would have been accepted, in words.
    """

    def __init__(self, field: str, value: object, allowed: str) -> None:
        self.field, self.value, self.allowed = field, value, allowed
        super().__init__(self.line())

    def line(self) -> str:
        """Return the whole refusal as one line of text."""
        shown = " ".join(str(self.value).split())
        if len(shown) > 60:
            shown = shown[:57] + "..."
        text = tr("{field}: {value} is not allowed; {allowed}")
        return text.format(field=self.field, value=repr(shown), allowed=self.allowed)

    def within(self, prefix: str) -> GardenError:
        """Return the same refusal with the field named from further out."""
        if not prefix:
            return self
        return GardenError(f"{prefix}.{self.field}" if self.field else prefix, self.value, self.allowed)


class FileError(GardenError):
    """A refusal while reading a file; `where` says the file and the line or entry."""

    def __init__(self, where: str, field: str, value: object, allowed: str) -> None:
        self.where = where
        super().__init__(field, value, allowed)

    def line(self) -> str:
        """Return the place and the refusal as one line of text."""
        return f"{self.where}: {super().line()}"


def one_of(names: Iterable[str]) -> str:
    """Say which names are allowed."""
    return tr("must be one of {expected}").format(expected=", ".join(names))


def line_of(where: str, number: int) -> str:
    """Name a line of a file."""
    return tr("{file}, line {line}").format(file=where, line=number)


def must_be_known(field: str, value: str, known: Mapping[str, object] | Iterable[str], what: str) -> str:
    """Return `value` if it is one of `known`, otherwise refuse it with the nearest names.

    Raises
    ------
    GardenError
        If the value is unknown.
    """
    names = sorted(known)
    if value in names:
        return value
    near = get_close_matches(value.strip().lower().replace(" ", "_").replace("-", "_"), names, n=3, cutoff=0.5)
    if near:
        allowed = tr("not a known {what}; did you mean {near}?")
    elif names:
        allowed = tr("not a known {what}; {n} are known, e.g. {some}")
    else:
        allowed = tr("not a known {what}; none is known yet")
    told = {"what": tr(what), "near": f" {tr('or')} ".join(near), "n": len(names), "some": ", ".join(names[:4])}
    raise GardenError(field, value, allowed.format(**told))


# The words for what the type checker of the fields refuses; anything else keeps its own message.
_PHRASES = {
    "missing": later("it is required"),
    "extra_forbidden": later("there is no such field"),
    "greater_than": later("must be more than {gt}"),
    "greater_than_equal": later("must be {ge} or more"),
    "less_than": later("must be less than {lt}"),
    "less_than_equal": later("must be {le} or less"),
    "literal_error": later("must be one of {expected}"),
    "finite_number": later("must be a finite number"),
    "timezone_aware": later("a time needs its offset, e.g. 2026-05-01T08:00+10:00"),
    "datetime_from_date_parsing": later("needs a time with its offset, e.g. 2026-05-01T08:00+10:00"),
    "datetime_parsing": later("needs a time with its offset, e.g. 2026-05-01T08:00+10:00"),
    "string_too_short": later("must not be empty"),
    "string_too_long": later("must have {max_length} letters or fewer"),
    "too_short": later("needs at least {min_length}"),
    "too_long": later("takes at most {max_length}"),
    **dict.fromkeys(("int_from_float", "int_parsing", "int_type"), later("needs a whole number")),
    **dict.fromkeys(("float_parsing", "float_type"), later("needs a number")),
    **dict.fromkeys(("bool_parsing", "bool_type"), later("must be true or false")),
    **dict.fromkeys(
        ("date_from_datetime_parsing", "date_from_datetime_inexact", "date_parsing", "date_type"),
        later("needs a date such as 2031-05-22"),
    ),
    **dict.fromkeys(("uuid_parsing", "uuid_type"), later("needs a UUID")),
    "string_type": later("needs text"),
    **dict.fromkeys(("list_type", "tuple_type"), later("needs a list")),
    **dict.fromkeys(("dict_type", "model_type", "model_attributes_type"), later("needs a table of fields")),
}


def from_validation(error: ValidationError) -> GardenError:
    """Turn the first problem of a pydantic error into a one-line refusal."""
    return every(error)[0]


def every(error: ValidationError) -> list[GardenError]:
    """Turn each problem of a pydantic error into a one-line refusal, in the order of the fields."""
    return [_refusal(item) for item in error.errors(include_url=False)]


def _refusal(item: ErrorDetails) -> GardenError:
    parts = [str(part) for part in item["loc"]]
    field = ".".join(parts)
    context = {
        key: current().number(f"{v:g}") if isinstance(v, float) else v for key, v in (item.get("ctx") or {}).items()
    }
    cause = context.get("error")
    if isinstance(cause, GardenError):
        # The path already ends with the field when that field alone was checked.
        outer = parts[:-1] if parts and parts[-1] == cause.field else parts
        return cause.within(".".join(outer))
    phrase = _PHRASES.get(item["type"], "")
    allowed = tr(phrase).format(**context) if phrase else item["msg"].lower()
    value = "nothing" if item["type"] == "missing" else item["input"]
    return GardenError(field, value, allowed)
