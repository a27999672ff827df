"""Find the terms of the terms table in words: the longest that stands at each place.

A phrase over a line break is one phrase, except where the lines look like a list with one entry a
line: there its parts are read by themselves as well, so that no shield hides what stands alone.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Final

from daysworth.domain.label_text import clean
from daysworth.domain.label_words import LabelWords, part
from daysworth.domain.labels import Hit, Regime, Said
from daysworth.domain.phrase_index import Found, PhraseIndex
from daysworth.domain.restrictions import Substance
from daysworth.reference.label_terms import TermRow, term_rows

_LIST_SIGNS: Final = frozenset(",;:.()[]{}")
_JOINING: Final = frozenset({"of", "and", "or", "with", "in", "from", "for", "the", "&", "/"})
_ADDITIVE_CLASSES: Final = frozenset(
    {"emulsifier", "preservative", "color", "stabilizer", "antioxidant", "thickener", "agent"}
    | {"enhancer", "additive", "regulator", "humectant", "sweetener", "acid", "ins", "e"}
)
_BETWEEN_ADDITIVES: Final = frozenset({",", "(", "[", "and", "&", "/", "-", ":", "or", "no", "+"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One term: its plain words, and what it is a sign of. A shield is a sign of nothing."""

    term: str
    plain: tuple[str, ...]
    language: str
    fires: frozenset[Substance]
    may_be: frozenset[Substance]
    hides: frozenset[Substance]
    exempt: frozenset[tuple[Regime, Substance]]
    is_group: bool
    is_name: bool

    @property
    def is_shield(self) -> bool:
        """Tell whether the phrase is a sign of nothing."""
        return not (self.fires or self.may_be or self.hides)


TermFound = Found[Term]


def folded(text: str) -> tuple[str, ...]:
    """Bring a phrase of a table to plain words and signs."""
    return tuple(part(clean(text), is_known=lambda _: False).words)


@cache
def terms() -> tuple[Term, ...]:
    """Read every term of the table. Raises ReferenceDataError for a broken table."""
    return tuple(_term(row) for row in term_rows())


def _term(row: TermRow) -> Term:
    return Term(
        term=row.term,
        plain=folded(row.term),
        language=row.language,
        fires=_substances(row.fires),
        may_be=_substances(row.may_be),
        hides=_substances(row.hides),
        exempt=frozenset((Regime(law), Substance(one)) for law, one in row.exempt),
        is_group=row.is_group,
        is_name=row.is_name,
    )


def _substances(names: Iterable[str]) -> frozenset[Substance]:
    return frozenset(Substance(name) for name in names)


@cache
def _index() -> PhraseIndex[Term]:
    return PhraseIndex((term.plain, term) for term in terms())


@cache
def _vocabulary() -> frozenset[str]:
    return frozenset(word for term in terms() for word in term.plain)


def is_term_word(word: str) -> bool:
    """Tell whether a plain word stands in any term."""
    return word in _vocabulary()


def words_of(text: str) -> LabelWords:
    """Part any text into plain words and signs, with their places."""
    words = part(clean(text), is_known=is_term_word)
    return replace(words, words=_with_additives(words.words))


def _with_additives(words: Sequence[str]) -> Sequence[str]:
    """Read the bare numbers after "preservative" and the like as the additives they are."""
    if not any(word in _ADDITIVE_CLASSES for word in words):
        return words
    read, is_open = list(words), False
    for number, word in enumerate(words):
        is_additive = word[0].isdigit() and f"e{word}" in _vocabulary()
        if is_open and is_additive:
            read[number] = f"e{word}"
        is_open = word in _ADDITIVE_CLASSES or (
            is_open and (is_additive or word in _BETWEEN_ADDITIVES or word[0].isdigit())
        )
    return read


def find_terms(words: LabelWords) -> list[TermFound]:
    """Find every term, from left to right; parts of one over two lines of a list as well."""
    found = _index().all_in(words.words)
    broken = [one for one in found if one.last > one.first and _is_over_entries(words, one)]
    if not broken:
        return found
    return sorted([*found, *(part for one in broken for part in _parts(words, one))])


def shorter_terms(words: Sequence[str], *, first: int, last: int) -> list[TermFound]:
    """Find the terms within some words only, from left to right."""
    return [
        Found(first + one.first, first + one.last, one.meaning)
        for one in _index().all_in(words[first : last + 1])
    ]


def _parts(words: LabelWords, found: TermFound) -> Iterator[TermFound]:
    begin = found.first
    for number in range(found.first + 1, found.last + 2):
        if number == found.last + 1 or words.gaps[number].startswith("\n"):
            yield from shorter_terms(words.words, first=begin, last=number - 1)
            begin = number


def _is_over_entries(words: LabelWords, found: TermFound) -> bool:
    return any(
        words.gaps[number].startswith("\n") and _parts_entries(words, number)
        for number in range(found.first + 1, found.last + 1)
    )


def _parts_entries(words: LabelWords, number: int) -> bool:
    """Tell whether a line break parts two entries: an empty line, or two lines without signs."""
    if words.gaps[number] == "\n\n":
        return True
    if words.words[number] in _JOINING or words.words[number - 1] in _JOINING:
        return False
    return not (_has_sign(words, number - 1, step=-1) or _has_sign(words, number, step=1))


def _has_sign(words: LabelWords, number: int, *, step: int) -> bool:
    """Tell whether the line of a word has a sign of a list, from the word on or back."""
    while 0 <= number < len(words.words):
        if words.words[number] in _LIST_SIGNS:
            return True
        ahead = number + 1 if step > 0 else number
        if ahead < len(words.gaps) and words.gaps[ahead].startswith("\n"):
            return False
        number += step
    return False


def hit(words: LabelWords, found: TermFound, *, said: Said) -> Hit:
    """Say that a term was found, with its words as printed."""
    term = found.meaning
    return Hit(
        term=term.term,
        words=words.printed(found.first, found.last),
        at=words.at(found.first),
        said=said,
        fires=term.fires,
        may_be=term.may_be,
        hides=term.hides,
        exempt=term.exempt,
        is_group=term.is_group,
    )
