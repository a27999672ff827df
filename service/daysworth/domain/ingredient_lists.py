"""Part a list of ingredients into ingredients, and those into what they are made of.

Brackets of any kind may stand in one another. A list is read in one pass, so that no text is too
deep or too long; what is deeper than anybody prints is kept at the deepest level.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final

from daysworth.domain.label_words import LabelWords
from daysworth.domain.labels import Ingredient, Phrase, Said

DEEPEST: Final = 20
"""Brackets within brackets that are told apart; real labels have three or four."""

_OPENING: Final = frozenset("([{")
_CLOSING: Final = frozenset(")]}")
_PARTING: Final = frozenset(",;:.!?…+")
_STATEMENT_PARTING: Final = _PARTING | _OPENING | _CLOSING | {"and", "or", "&", "/"}


@dataclass(slots=True)
class Entry:
    """One ingredient while the list is read: its words by number, and what it is made of.

    `named` are those of its words that are no signs, and `printed` all of them as printed.
    """

    numbers: list[int] = field(default_factory=list)
    named: list[int] = field(default_factory=list)
    printed: str = ""
    percent: float | None = None
    parts: list["Entry"] = field(default_factory=list)

    def begin(self) -> "Entry":
        """Begin a part of this ingredient."""
        entry = Entry()
        self.parts.append(entry)
        return entry


class _Reading:
    """The brackets that are open at a place of a list, and the ingredient there."""

    def __init__(self) -> None:
        self.top = Entry()
        self.stack = [self.top]
        self.too_deep = 0
        self.entry = self.top.begin()

    def next(self) -> None:
        if self.entry.numbers or self.entry.parts or self.entry.percent is not None:
            self.entry = self.stack[-1].begin()

    def open(self) -> None:
        if len(self.stack) > DEEPEST:
            self.too_deep += 1
            self.next()
            return
        self.stack.append(self.entry)
        self.entry = self.entry.begin()

    def close(self) -> None:
        if self.too_deep:
            self.too_deep -= 1
            self.next()
        elif len(self.stack) > 1:
            self.entry = _with_percent(self.stack.pop())


def entries_of(words: LabelWords, said: Sequence[Said], *, left_out: frozenset[int]) -> list[Entry]:
    """Part the words that stand for ingredients; `left_out` are headings among them."""
    reading = _Reading()
    tokens, gaps = words.words, words.gaps
    for number, word in enumerate(tokens):
        if said[number] is not Said.INGREDIENTS or number in left_out:
            reading.next()
            continue
        if gaps[number] == "\n\n":
            reading.next()
        if word in _OPENING:
            reading.open()
        elif word in _CLOSING:
            reading.close()
        elif word in _PARTING:
            reading.next()
        elif word == "%":
            _take_percent(reading.entry, tokens)
        elif word[0].isalnum() or word in "&/-":
            reading.entry.numbers.append(number)
    _finish(words, reading.top.parts)
    return reading.top.parts


def _finish(words: LabelWords, entries: Iterable[Entry]) -> None:
    # The depth is bounded by DEEPEST, and so is this recursion.
    for entry in entries:
        if entry.numbers:
            entry.named = _named(words, entry.numbers)
            entry.printed = _printed(words, entry.numbers)
        if entry.parts:
            _finish(words, entry.parts)


def _take_percent(entry: Entry, tokens: Sequence[str]) -> None:
    if entry.numbers and _is_number(tokens[entry.numbers[-1]]):
        entry.percent = float(tokens[entry.numbers.pop()].replace(",", "."))


def _is_number(word: str) -> bool:
    return word[0].isdigit() and word.replace(".", "").replace(",", "").isdigit()


def _with_percent(entry: Entry) -> Entry:
    """Take a percentage that stands alone in brackets for the ingredient before them."""
    for one in entry.parts:
        if one.percent is not None and not (one.numbers or one.parts) and entry.percent is None:
            entry.percent = one.percent
    return entry


def ingredients_of(words: LabelWords, entries: Iterable[Entry]) -> tuple[Ingredient, ...]:
    """Turn what was read into ingredients; brackets without words of their own are left out."""
    return tuple(_ingredients(words, entries))


def _ingredients(words: LabelWords, entries: Iterable[Entry]) -> Iterator[Ingredient]:
    # The depth is bounded by DEEPEST, and so is this recursion.
    for entry in entries:
        parts = tuple(_ingredients(words, entry.parts))
        if entry.named:
            yield Ingredient(
                words=entry.printed,
                at=words.at(entry.named[0]),
                percent=entry.percent,
                parts=parts,
            )
        else:
            yield from parts


def _named(words: LabelWords, numbers: Iterable[int]) -> list[int]:
    return [number for number in numbers if words.words[number][0].isalnum()]


def _printed(words: LabelWords, numbers: Sequence[int]) -> str:
    pieces: list[str] = []
    first = last = numbers[0]
    for number in numbers[1:]:
        if number > last + 1:
            pieces.append(words.printed(first, last))
            first = number
        last = number
    pieces.append(words.printed(first, last))
    return " ".join(pieces)


def phrases_of(
    words: LabelWords,
    entries: Iterable[Entry],
    *,
    said: Sequence[Said],
    left_out: frozenset[int],
) -> tuple[Phrase, ...]:
    """List every ingredient and every entry of a statement in plain words, in the text's order."""
    phrases = list(_ingredient_phrases(words, entries))
    for run in _runs(words, said, left_out=left_out):
        phrases.append(
            Phrase(
                plain=tuple(words.words[number] for number in run),
                words=_printed(words, run),
                at=words.at(run[0]),
                said=said[run[0]],
            )
        )
    return tuple(sorted(phrases, key=lambda one: one.at))


def _ingredient_phrases(words: LabelWords, entries: Iterable[Entry]) -> Iterator[Phrase]:
    for entry in entries:
        if entry.named:
            yield Phrase(
                plain=tuple(words.words[number] for number in entry.named),
                words=entry.printed,
                at=words.at(entry.named[0]),
                said=Said.INGREDIENTS,
            )
        yield from _ingredient_phrases(words, entry.parts)


def _runs(
    words: LabelWords, said: Sequence[Said], *, left_out: frozenset[int]
) -> Iterator[list[int]]:
    """List the entries of statements, as the numbers of their words."""
    run: list[int] = []
    for number, word in enumerate(words.words):
        is_word = word[0].isalnum() and word not in _STATEMENT_PARTING
        is_in = is_word and said[number] is not Said.INGREDIENTS and number not in left_out
        if run and not (is_in and said[number] is said[run[-1]]):
            yield run
            run = []
        if is_in:
            run.append(number)
    if run:
        yield run
