"""The reader's language and way of writing numbers and dates, for whatever is put into words meanwhile.

Words are written in English where they are used and looked up here; ``tools/messages.py`` gathers them. A
translation is a standard gettext catalogue in ``locale/<language>/LC_MESSAGES/django.mo``, the place where
templates look too, so that one catalogue serves both. Nobody needs to be able to read it for numbers and dates
to be written the reader's way: those come from the Unicode CLDR.
"""

from __future__ import annotations

import gettext
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from datetime import date, time
from functools import lru_cache
from pathlib import Path

from babel import Locale, UnknownLocaleError
from babel.dates import format_date, format_skeleton, format_time

__all__ = ["ENGLISH", "LOCALE", "Tongue", "current", "later", "many", "speaking", "tongue", "tr"]

LOCALE = Path(__file__).parent / "locale"
DOMAIN = "django"
NBSP = "\u00a0"


@dataclass(frozen=True)
class Tongue:
    """Words of one language, numbers and dates of one place.

    Attributes
    ----------
    language
        Tag of the words, as in ``lang="en"``.
    dates
        Locale that writes days and times.
    decimal, group
        Signs between units and tenths, and between thousands.
    """

    language: str
    dates: Locale
    decimal: str
    group: str
    words: gettext.NullTranslations = field(repr=False, compare=False)

    def day(self, on: date, *, year: bool = False, weekday: bool = False) -> str:
        r"""Day and month in a few letters, never parted at a line break.

        Examples
        --------
        >>> ENGLISH.day(date(2031, 5, 22)), tongue(["de-DE"]).day(date(2031, 5, 22), year=True)
        ('22\xa0May', '22\xa0May\xa02031')
        """
        skeleton = ("yMMMEd" if year else "MMMEd") if weekday else ("yMMMd" if year else "MMMd")
        return str(format_skeleton(skeleton, on, locale=self.dates)).replace(" ", NBSP)

    def weekday(self, on: date, *, short: bool = False) -> str:
        """Name of the day of the week."""
        return str(format_date(on, "EEE" if short else "EEEE", locale=self.dates))

    def month(self, month: int, *, short: bool = True) -> str:
        """Name of a month, 1 to 12."""
        return str(format_date(date(2000, month, 1), "LLL" if short else "LLLL", locale=self.dates))

    def hour(self, at: time) -> str:
        """Time of day to the minute."""
        return str(format_time(at, "short", locale=self.dates)).replace(" ", NBSP)

    def number(self, text: str) -> str:
        """Rewrite a figure from ``1,234.5`` to the reader's signs."""
        if self.decimal == "." and self.group == ",":
            return text
        return text.translate({ord(","): self.group, ord("."): self.decimal})

    def row(self, figures: Iterable[float]) -> str:
        """Write figures in a row; where a comma is the decimal sign it cannot part them too.

        Examples
        --------
        >>> ENGLISH.row([0, 0.5]), tongue(["de-DE"]).row([0, 0.5])
        ('0, 0.5', '0; 0,5')
        """
        return ("; " if self.decimal == "," else ", ").join(self.number(f"{figure:g}") for figure in figures)


def tongue(wanted: Sequence[str]) -> Tongue:
    """Find the tongue for language tags in the order of the reader's liking, as a browser sends them.

    The first tag that has a catalogue (or is English) gives the words; the first tag gives numbers and dates. Tags
    that mean nothing are passed over.

    Examples
    --------
    >>> tongue(["de-DE", "en"]).decimal, tongue(["de-DE", "en"]).language, tongue([]).decimal
    (',', 'en', '.')
    """
    return _tongue(tuple(wanted[:8]), LOCALE)


@lru_cache(maxsize=256)
def _tongue(wanted: tuple[str, ...], folder: Path) -> Tongue:
    language, words = "en", gettext.NullTranslations()
    for tag in wanted:
        names = [_folder(tag), _folder(tag).split("_")[0]]
        found = _catalogue(folder, names)
        if found is not None:
            language, words = tag, found
            break
        if names[-1] == "en":
            break
    place = next((one for tag in wanted if (one := _locale(tag)) is not None), _locale("en-GB"))
    assert place is not None
    symbols = place.number_symbols.get("latn", {})
    return Tongue(language, _dates(language, place), symbols.get("decimal", "."), symbols.get("group", ","), words)


def _folder(tag: str) -> str:
    """Name of a catalogue's folder: browsers' tags come in any case."""
    first, *rest = tag.lower().split("-")
    return "_".join([first, *(part.title() if len(part) > 2 else part.upper() for part in rest)])


def _catalogue(folder: Path, names: Sequence[str]) -> gettext.NullTranslations | None:
    for name in names:
        # Only names that can be a folder's: a tag comes from outside.
        path = folder / name / "LC_MESSAGES" / f"{DOMAIN}.mo"
        if name.replace("_", "").isalnum() and path.is_file():
            with path.open("rb") as file:
                return gettext.GNUTranslations(file)
    return None


def _locale(tag: str) -> Locale | None:
    try:
        return Locale.parse(tag, sep="-")
    except (UnknownLocaleError, ValueError, TypeError):
        return None


def _dates(language: str, place: Locale) -> Locale:
    """Days are written in the language of the words, in the order of the place."""
    spoken = _locale(language) or _locale("en-GB")
    assert spoken is not None
    if place.language == spoken.language:
        return place
    there = _locale(f"{spoken.language}-{place.territory}") if place.territory else None
    british = _locale("en-GB") if spoken.language == "en" else None
    return there or british or spoken


ENGLISH = tongue(["en-GB"])
_SPOKEN: ContextVar[Tongue] = ContextVar("rillbed_tongue", default=ENGLISH)


def current() -> Tongue:
    """Tongue of whatever is written now."""
    return _SPOKEN.get()


@contextmanager
def speaking(spoken: Tongue) -> Iterator[Tongue]:
    """Write in ``spoken`` within the block; what other threads write is not touched."""
    token = _SPOKEN.set(spoken)
    try:
        yield spoken
    finally:
        _SPOKEN.reset(token)


def tr(text: str) -> str:
    """Translate ``text``, which stands in English in the code."""
    # An empty text is the header of a catalogue.
    return current().words.gettext(text) if text else text


def many(one: str, several: str, count: float) -> str:
    """Translate a word that follows a count.

    Examples
    --------
    >>> many("day", "days", 1), many("day", "days", 3)
    ('day', 'days')
    """
    whole = int(count) if count == int(count) else 2
    return current().words.ngettext(one, several, whole)


def later(text: str) -> str:
    """Mark a text of a table for translation where it is used, not where it stands."""
    return text
