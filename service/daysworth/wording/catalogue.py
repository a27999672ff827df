"""Give every message from one catalogue: Fluent files (projectfluent.org), a folder a language.

A message is asked for by its key, with the values it names. Days and months are written out by the
locale, from the Unicode Common Locale Data Repository, so that no order of figures can mislead.
"""

from datetime import date, datetime
from functools import cache
from importlib.resources import files
from typing import Final

from babel import Locale
from babel.core import UnknownLocaleError
from babel.dates import format_date, format_skeleton, format_time
from fluent.runtime import FluentBundle, FluentResource
from fluent.syntax.ast import Resource

from daysworth.domain.typed_dates import DateOrder

LANGUAGE: Final = "en"
"""The language of the catalogue; a store's locale says how its dates are written."""

_MONTH_FIRST: Final = "US"

_FOLDER: Final = files("daysworth.wording") / LANGUAGE

Value = str | int | float


class Catalogue:
    """The messages of the catalogue, and dates, as they are written in one locale."""

    def __init__(self, locale: str) -> None:
        self.locale = locale
        self._cldr = _known(locale)
        self._bundle = FluentBundle([LANGUAGE], use_isolating=False)
        for resource in _resources():
            self._bundle.add_resource(resource)

    def say(self, key: str, **values: Value) -> str:
        """Give a message. Raises KeyError without such a key, ValueError for a value it lacks."""
        message = self._bundle.get_message(key)
        if message.value is None:
            raise KeyError(key)
        said, faults = self._bundle.format_pattern(message.value, values)
        if faults:
            raise ValueError(f"{key}: {faults[0]}")
        return str(said)

    def day(self, day: date) -> str:
        """Write a day with its month in words: "March 4, 2027" or "4 March 2027"."""
        return format_date(day, "long", locale=self._cldr)

    def full_day(self, day: date) -> str:
        """Write a day with its weekday: "Thursday, March 4, 2027"."""
        return format_date(day, "full", locale=self._cldr)

    def short_day(self, day: date) -> str:
        """Write a day in little room, its month still in letters: "Mar 4, 2027"."""
        return format_date(day, "medium", locale=self._cldr)

    def clock(self, instant_at: datetime) -> str:
        """Write the time of day of an instant, in the zone that it is given in."""
        return format_time(instant_at.timetz(), "short", locale=self._cldr)

    @property
    def language(self) -> str:
        """Give the language that the messages are in, as a page says it."""
        return LANGUAGE

    def printed(self, printed: str) -> str:
        """Write a label's date (YYYY-MM-DD, YYYY-MM or YYYY) in words, as far as it was printed."""
        parts = [int(part) for part in printed.split("-")]
        if len(parts) == 1:
            return printed
        if len(parts) == 2:
            month = date(parts[0], parts[1], 1)
            return format_skeleton("yMMMM", month, locale=self._cldr)
        return self.day(date(*parts))

    @property
    def date_order(self) -> DateOrder:
        """Give the order in which the locale writes the parts of a date in figures.

        In the United States it is the month first in any language: packs are printed so (common
        practice), whatever the Common Locale Data Repository has for es-US.
        """
        if self._cldr.territory == _MONTH_FIRST:
            return DateOrder.MONTH
        pattern = self._cldr.date_formats["short"].pattern
        places = {letter: pattern.index(letter) for letter in "dMy"}
        first = min(places, key=lambda letter: places[letter])
        return {"d": DateOrder.DAY, "M": DateOrder.MONTH, "y": DateOrder.YEAR}[first]


@cache
def catalogue(locale: str) -> Catalogue:
    """Give the catalogue for a locale (a BCP 47 tag); an unknown one is read as its language."""
    return Catalogue(locale)


@cache
def _resources() -> tuple[Resource, ...]:
    found = sorted(entry.name for entry in _FOLDER.iterdir() if entry.name.endswith(".ftl"))
    return tuple(FluentResource((_FOLDER / name).read_text("utf-8")) for name in found)


def _known(locale: str) -> Locale:
    for tag in (locale, locale.partition("-")[0], LANGUAGE):
        try:
            return Locale.parse(tag, sep="-")
        except (UnknownLocaleError, ValueError):
            continue
    return Locale.parse(LANGUAGE)
