"""Flag words that look like a term and are none: misspelt, run together, or badly scanned.

What a word was meant to be is never guessed into a fact; it is flagged, and whoever reads it looks
at the pack. A word is flagged if it is listed as a misspelling, if it is one slip away from a term
(one letter more, fewer or other, or two swapped), if it is a term with another word run on, if
it has digits that are misread letters, or if it is a term with spaces in it.
"""

from collections.abc import Iterable, Iterator, Sequence
from functools import cache, lru_cache
from typing import Final

from daysworth.domain.label_terms import TermFound, is_term_word, terms
from daysworth.domain.label_words import LabelWords, plain_word
from daysworth.domain.labels import Misspelt, Said
from daysworth.domain.restrictions import Substance
from daysworth.reference.label_words import misspelt_words, plain_words

SHORTEST_SLIP: Final = 5
"""Letters of the shortest word that is compared with terms letter by letter."""

_SHORTEST_WITHIN: Final = 5
_SHORTEST_AT_AN_END: Final = 3
_AT_AN_END: Final = frozenset(
    {"milk", "whey", "ghee", "tofu", "soy", "soya", "egg", "fish", "crab"}
)
_MISREAD: Final = (
    str.maketrans("0158|", "olsbl"),
    str.maketrans("0158|", "oisbl"),
)
_SCANNED_AS_TWO: Final = (("rn", "m"), ("vv", "w"), ("cl", "d"), ("ii", "u"))
_LETTERS_APART: Final = 3

Looks = tuple[str, frozenset[Substance]]


@cache
def _single() -> dict[str, frozenset[Substance]]:
    """Map each plain word that alone is a term to what it may mean."""
    return {
        term.plain[0]: term.fires or term.may_be
        for term in terms()
        if len(term.plain) == 1 and (term.fires or term.may_be) and term.language == "en"
    }


@cache
def _listed() -> dict[str, str]:
    return {plain_word(row.phrase): plain_word(row.kind.split()[-1]) for row in misspelt_words()}


@cache
def _innocent() -> frozenset[str]:
    return frozenset(plain_word(word) for word in plain_words())


@cache
def _near() -> dict[str, tuple[str, ...]]:
    """Map every long term, and every term less one letter, to the terms that it comes from."""
    near: dict[str, list[str]] = {}
    for word in _single():
        if len(word) >= SHORTEST_SLIP and word.isalpha():
            for one in {word, *_less_one(word)}:
                near.setdefault(one, []).append(word)
    return {one: tuple(sorted(found)) for one, found in near.items()}


@cache
def _longest() -> int:
    return max(len(word) for word in _single())


def _less_one(word: str) -> Iterator[str]:
    return (word[:at] + word[at + 1 :] for at in range(len(word)))


def misspelt_in(
    words: LabelWords, found: Iterable[TermFound], *, said: Sequence[Said]
) -> tuple[Misspelt, ...]:
    """Flag the words of a text that look like a term and stand in none."""
    in_term = bytearray(len(words.words))
    for one in found:
        in_term[one.first : one.last + 1] = b"\x01" * (one.last + 1 - one.first)
    flagged = []
    number = 0
    while number < len(words.words):
        last, looks = number, None
        if not in_term[number] and words.words[number][0].isalnum():
            last, looks = _looked_at(words, number, in_term=in_term)
        if looks is not None and said[number] is not Said.CLAIM:
            flagged.append(
                Misspelt(
                    words=words.printed(number, last),
                    at=words.at(number),
                    looks_like=looks[0],
                    substances=looks[1],
                )
            )
        number = last + 1
    return tuple(flagged)


def _looked_at(
    words: LabelWords, number: int, *, in_term: Sequence[int]
) -> tuple[int, Looks | None]:
    """Look at a word, and at it and the next ones written apart."""
    word = words.words[number]
    last = number
    if len(word) == 1:
        while _is_letter(words, last + 1):
            last += 1
        if last - number + 1 >= _LETTERS_APART:
            looks = _spelt_out("".join(words.words[number : last + 1]))
            return last, looks
    looks = look_alike(word)
    if looks is None and number + 1 < len(words.words) and not in_term[number + 1]:
        joined = plain_word(word + words.words[number + 1])
        if joined in _single() and len(joined) > SHORTEST_SLIP and words.gaps[number + 1] != "":
            return number + 1, (joined, _single()[joined])
    return number, looks


def _is_letter(words: LabelWords, number: int) -> bool:
    return (
        number < len(words.words)
        and len(words.words[number]) == 1
        and (words.words[number].isalnum())
    )


def _spelt_out(word: str) -> Looks | None:
    plain = plain_word(word)
    if plain in _single():
        return plain, _single()[plain]
    return look_alike(plain)


@lru_cache(maxsize=16384)
def look_alike(word: str) -> Looks | None:
    """Tell which term a plain word looks like, and what that may mean; None: no term."""
    if len(word) < 2 or is_term_word(word) or word in _innocent():
        return None
    if word in _listed():
        meant = _listed()[word]
        return meant, _meaning(meant)
    if any(letter.isdigit() for letter in word):
        return _misread(word)
    return _run_together(word) or _slipped(word) or _run_on(word)


def _run_together(word: str) -> Looks | None:
    """Find the term that a scan reads as this word by parting one letter into two."""
    for two, one in _SCANNED_AS_TWO:
        plain = plain_word(word.replace(two, one))
        if two in word and plain in _single():
            return plain, _single()[plain]
    return None


def _meaning(word: str) -> frozenset[Substance]:
    return frozenset[Substance]().union(
        *(one.fires | one.may_be | one.hides for one in terms() if one.plain == (word,))
    )


def _misread(word: str) -> Looks | None:
    for letters in _MISREAD:
        plain = plain_word(word.translate(letters))
        if plain in _single():
            return plain, _single()[plain]
        if plain.isalpha() and (looks := _slipped(plain)) is not None:
            return looks
    return None


def _slipped(word: str) -> Looks | None:
    if not SHORTEST_SLIP <= len(word) <= _longest() + 1:
        return None
    near = _near()
    candidates = {meant for one in (word, *_less_one(word)) for meant in near.get(one, ())}
    close = sorted(meant for meant in candidates if _is_one_slip(word, meant))
    if not close:
        return None
    return close[0], frozenset().union(*(_single()[meant] for meant in close))


def _is_one_slip(word: str, meant: str) -> bool:
    """Tell whether one letter more, fewer or other, or two swapped, make one word the other."""
    short, long = sorted((word, meant), key=len)
    same = 0
    while same < len(short) and short[same] == long[same]:
        same += 1
    if len(short) < len(long):
        return short[same:] == long[same + 1 :]
    swapped = long[same + 1 : same + 2] + long[same : same + 1]
    return short[same + 1 :] == long[same + 1 :] or (
        short[same : same + 2] == swapped and short[same + 2 :] == long[same + 2 :]
    )


def _run_on(word: str) -> Looks | None:
    """Find the longest term that a word holds; a short one only at the word's beginning or end."""
    longest = min(_longest(), len(word) - 1)
    for length in range(longest, _SHORTEST_AT_AN_END - 1, -1):
        for first in range(len(word) - length + 1):
            piece = word[first : first + length]
            if piece not in _single():
                continue
            is_at_an_end = first == 0 or first + length == len(word)
            if length >= _SHORTEST_WITHIN or (piece in _AT_AN_END and is_at_an_end):
                return piece, _single()[piece]
    return None
