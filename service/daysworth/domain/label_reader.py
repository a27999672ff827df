"""Read a label's text: what its words are signs of, where each stands, and what can not be read.

The text is made plain, parted into words, and searched for the terms of the terms table. Statements
say where on the label each word stands; denials take signs away; what is left are hits. Nothing
here knows a law or a person.
"""

from collections.abc import Sequence
from functools import lru_cache
from types import MappingProxyType

from daysworth.domain.ingredient_lists import entries_of, ingredients_of, phrases_of
from daysworth.domain.label_denials import deny
from daysworth.domain.label_faults import faults_of
from daysworth.domain.label_statements import PARTERS, Scope, Statements, split, words_for
from daysworth.domain.label_terms import TermFound, find_terms, hit, words_of
from daysworth.domain.label_vocabulary import is_understood, strange_words
from daysworth.domain.label_words import LabelWords
from daysworth.domain.labels import LONGEST_TEXT, Hit, Said, TextFault, TextRead
from daysworth.domain.misspelt_terms import misspelt_in

_STRICTEST_FIRST = (Said.INGREDIENTS, Said.CONTAINS_STATEMENT, Said.PRECAUTION, Said.CLAIM)


@lru_cache(maxsize=4096)
def read_text(text: str, *, language: str) -> TextRead:
    """Read a label's text; `language` is its BCP 47 tag. Any text at all can be read.

    Of a text that is too long the first LONGEST_TEXT characters are read.
    """
    words = words_of(text[:LONGEST_TEXT])
    found = find_terms(words)
    statements = split(words, found)
    denials = deny(words, found, statements=statements)
    said = statements.said
    left_out = _headings(statements)
    entries = entries_of(words, said, left_out=left_out)
    phrases = phrases_of(words, entries, said=said, left_out=left_out)
    faults = faults_of(words, statements, entries=entries, language=language)
    if len(text) > LONGEST_TEXT:
        faults |= {TextFault.TOO_LONG}
    if not is_understood(phrases, text=words.text.given):
        faults |= {TextFault.NOT_UNDERSTOOD}
    return TextRead(
        hits=tuple(_hit(words, one, said=said) for one in denials.kept if _is_sign(one)),
        misspelt=misspelt_in(words, found, said=said),
        free_from=MappingProxyType(denials.free_from),
        claims=MappingProxyType(denials.claims),
        ingredients=ingredients_of(words, entries),
        phrases=phrases,
        strange=strange_words(phrases, text=words.text.given),
        has_contains_statement=_has_contains(words, statements, kept=denials.kept),
        faults=faults,
    )


def plain_words(text: str) -> tuple[str, ...]:
    """Bring words to the plain form that the phrases of a label have."""
    return tuple(word for word in words_of(text).words if word[0].isalnum())


@lru_cache(maxsize=4096)
def terms_named(text: str) -> tuple[Hit, ...]:
    """Tell which terms stand in a few words of a person's own; shields are no terms."""
    words = words_of(text)
    return tuple(
        hit(words, one, said=Said.INGREDIENTS) for one in find_terms(words) if _is_sign(one)
    )


def _is_sign(found: TermFound) -> bool:
    return not found.meaning.is_shield


def _hit(words: LabelWords, found: TermFound, *, said: Sequence[Said]) -> Hit:
    """Say that a term was found; over two statements it stands in the stricter one."""
    stood = set(said[found.first : found.last + 1])
    return hit(words, found, said=next(one for one in _STRICTEST_FIRST if one in stood))


def _headings(statements: Statements) -> frozenset[int]:
    return frozenset(
        number
        for scope in statements.scopes
        if scope.kind != "free"
        for number in range(scope.opener, scope.first)
    )


def _has_contains(words: LabelWords, statements: Statements, *, kept: Sequence[TermFound]) -> bool:
    """Tell whether a statement of what the food contains stands there, and names nothing else.

    Words that are no terms show that it may be no such statement ("Contains real fruit juice").
    """
    scopes = [scope for scope in statements.scopes if scope.kind == "contains" and scope.is_whole]
    return any(_is_settling(words, scope, kept=kept) for scope in scopes)


def _is_settling(words: LabelWords, scope: Scope, *, kept: Sequence[TermFound]) -> bool:
    within = [one for one in kept if scope.first <= one.first and one.last <= scope.last]
    named = {number for one in within for number in range(one.first, one.last + 1)}
    filler = words_for("filler")
    return any(one.meaning.fires for one in within) and all(
        number in named
        or words.words[number] in filler
        or words.words[number] in PARTERS
        or not words.words[number][0].isalpha()
        for number in range(scope.first, scope.last + 1)
    )
