"""Tell whether a list of ingredients is understood, or is words of which too many are not known.

A list in a language that was not recognised, a note ("see the sleeve"), a slip of the keyboard:
none of them names what is in the food, so that their silence proves nothing. A list is understood
where no more than one in four of its ingredients has no word that is known here. Sentences after
the list that are plainly about something else (where it was packed, how to keep it) do not count.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from typing import Final

from daysworth.domain.label_statements import words_for
from daysworth.domain.label_terms import folded, terms
from daysworth.domain.labels import Phrase, Said
from daysworth.reference.foods import food_rows
from daysworth.reference.label_words import label_vocabulary, plain_words

ONE_IN: Final = 4

_E_NUMBER: Final = re.compile(r"(?:e|ins)?[0-9]{3,4}[a-z]?")


def is_understood(phrases: Iterable[Phrase], *, text: str) -> bool:
    """Tell whether enough of the ingredients among a label's phrases are known words."""
    listed = _listed(phrases, text)
    return len(_strange(listed)) * ONE_IN <= len(listed)


def strange_words(phrases: Iterable[Phrase], *, text: str) -> tuple[str, ...]:
    """Give the ingredients, as printed, that have no word which is known here."""
    return tuple(phrase.words for phrase in _strange(_listed(phrases, text)))


def _strange(listed: Iterable[Phrase]) -> list[Phrase]:
    return [phrase for phrase in listed if not any(map(_is_known, phrase.plain))]


def _listed(phrases: Iterable[Phrase], text: str) -> list[Phrase]:
    """Give the ingredients: what stands in the list, and not in sentences about other things."""
    listed = [phrase for phrase in phrases if phrase.said is Said.INGREDIENTS and phrase.plain]
    first, *rest = list(_sentences(listed, text)) or [[]]
    return [*first, *(one for sentence in rest if not _is_prose(sentence) for one in sentence)]


_SENTENCE_ENDS: Final = re.compile(r"[.!?](?:\s|$)|\n\s*\n")


def _sentences(listed: Sequence[Phrase], text: str) -> Iterator[list[Phrase]]:
    """Part phrases where a sentence of the text ends between them."""
    sentence: list[Phrase] = []
    for phrase in listed:
        if sentence and _SENTENCE_ENDS.search(text, _end(sentence[-1]), phrase.at):
            yield sentence
            sentence = []
        sentence.append(phrase)
    if sentence:
        yield sentence


def _end(phrase: Phrase) -> int:
    # The mark that ends a sentence may be taken for the last letter of its last word.
    return max(phrase.at, phrase.at + len(phrase.words) - 1)


def _is_prose(sentence: Sequence[Phrase]) -> bool:
    prose = words_for("sentence")
    return any(word in prose for phrase in sentence for word in phrase.plain)


def _is_known(word: str) -> bool:
    return word in _known_words() or _E_NUMBER.fullmatch(word) is not None


@cache
def _known_words() -> frozenset[str]:
    """Gather every word of the terms, of the generic foods' names and of the vocabulary."""
    known = {word for term in terms() for word in term.plain}
    written = [*label_vocabulary(), *plain_words(), *(row.name for row in food_rows())]
    known.update(word for text in written for word in folded(text))
    return frozenset(word for word in known if len(word) > 1 and word not in _TELL_NOTHING)


_TELL_NOTHING: Final = frozenset(
    {"of", "the", "in", "and", "or", "with", "from", "as", "to", "for"}
)
