"""Say in short what a label's text is a sign of, so that a test can say what it expects."""

from collections.abc import Iterable

from daysworth.domain.label_reader import read_text
from daysworth.domain.labels import Hit, Said, TextRead
from daysworth.domain.restrictions import Substance

IN_THE_FOOD = (Said.INGREDIENTS, Said.CONTAINS_STATEMENT)


def read(text: str, *, language: str = "en") -> TextRead:
    """Read a text as English."""
    return read_text(text, language=language)


def contained(text: str) -> frozenset[Substance]:
    """The substances that a text says are in the food."""
    return _all(hit.fires for hit in read(text).hits if hit.said in IN_THE_FOOD)


def possible(text: str) -> frozenset[Substance]:
    """The substances that a precaution of a text names."""
    return _all(hit.fires for hit in read(text).hits if hit.said is Said.PRECAUTION)


def in_doubt(text: str) -> frozenset[Substance]:
    """The substances that a word of a text may or may not stand for."""
    return _all(hit.may_be for hit in read(text).hits if hit.said in IN_THE_FOOD)


def hidden(text: str) -> frozenset[Substance]:
    """The substances that an open word of a text can hide."""
    return _all(hit.hides for hit in read(text).hits)


def signs(text: str) -> tuple[Hit, ...]:
    """Every hit of a text."""
    return read(text).hits


def named(words: str) -> frozenset[Substance]:
    """Name substances by their values, parted by spaces."""
    return frozenset(Substance(word) for word in words.split())


def _all(sets: Iterable[frozenset[Substance]]) -> frozenset[Substance]:
    return frozenset[Substance]().union(*sets)
