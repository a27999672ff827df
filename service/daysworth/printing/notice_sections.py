"""Say what a part of the weekly notice is made of: headings, sentences, and lists cut to length."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from daysworth.answers.notice import NoticeAnswer
from daysworth.printing.plain_text import one_line
from daysworth.wording.catalogue import Catalogue

MOST_ROWS: Final = 20
"""How many lots, households or visits are listed before the rest are only counted."""


@dataclass(frozen=True, slots=True)
class Row:
    """One thing on a list: its cells, as a table has them, and the same as one line."""

    cells: tuple[str, ...]
    line: str


@dataclass(frozen=True, slots=True)
class Section:
    """One part of the notice; a list without columns is a list of sentences."""

    heading: str
    sentences: tuple[str, ...] = ()
    columns: tuple[str, ...] = ()
    rows: tuple[Row, ...] = ()
    left_out: str | None = None


Part = Callable[[NoticeAnswer, Catalogue], Iterator[Section]]
"""A part of the notice, which gives no section where there is nothing to say."""


def listed(
    heading: str,
    rows: Sequence[Row],
    *,
    words: Catalogue,
    sentences: tuple[str, ...] = (),
    more_columns: tuple[str, ...] = (),
    more_key: str = "notice-more-lots",
) -> Section:
    """Make a section of a list of food, its units and where it is."""
    columns = ("food", "units", "place", *more_columns)
    return Section(
        heading,
        sentences,
        columns=tuple(words.say(f"notice-column-{column}") for column in columns),
        rows=tuple(rows[:MOST_ROWS]),
        left_out=left_out(more_key, len(rows), words=words),
    )


def item_row(name: str, words: Catalogue, *, units: int, place: str) -> Row:
    """Make a row of a food, its units and where it is."""
    food, where = one_line(name), one_line(place)
    line = words.say("notice-lot", food=food, units=units, place=where)
    return Row((food, words.say("notice-units", units=units), where), line)


def left_out(key: str, count: int, *, words: Catalogue) -> str | None:
    """Say how many of a list are left out; None: none are."""
    return words.say(key, more=count - MOST_ROWS) if count > MOST_ROWS else None
