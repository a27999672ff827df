"""Find why a label's text can not be taken for all that the label says."""

import re
from collections.abc import Sequence
from functools import cache
from typing import Final

from daysworth.domain.ingredient_lists import Entry
from daysworth.domain.label_statements import Statements, phrases_for, words_for
from daysworth.domain.label_words import LabelWords, plain_word
from daysworth.domain.labels import Said, TextFault
from daysworth.reference.label_words import language_signs

_PAIRS: Final = {")": "(", "]": "[", "}": "{"}
_UNREAD: Final = re.compile(
    r"\?\s*\?|\ufffd|\[\s*\?\s*\]|\(\s*\?\s*\)|\w\?\w|#{2,}|_{3,}|x{4,}", re.I
)


def faults_of(
    words: LabelWords, statements: Statements, *, entries: Sequence[Entry], language: str
) -> frozenset[TextFault]:
    """Find every fault but the length. `language` is a BCP 47 tag; only English is read."""
    is_empty = not any(word[0].isalnum() for word in words.words)
    found = {
        TextFault.EMPTY: is_empty,
        TextFault.BRACKETS: not _is_balanced(words.words),
        TextFault.CUT_OFF: _is_cut_off(words.words),
        TextFault.ILLEGIBLE: _is_illegible(words),
        TextFault.LETTERS: words.text.has_strange_letters,
        TextFault.LANGUAGE: not _is_english(language) or _has_other_language(words.words),
        TextFault.NO_LIST: not is_empty and not _has_list(words, statements, entries=entries),
    }
    return frozenset(fault for fault, is_found in found.items() if is_found)


def _is_balanced(words: Sequence[str]) -> bool:
    opened: list[str] = []
    for word in words:
        if word in "([{":
            opened.append(word)
        elif word in _PAIRS and (not opened or opened.pop() != _PAIRS[word]):
            return False
    return not opened


def _is_cut_off(words: Sequence[str]) -> bool:
    if "…" in words:
        return True
    return bool(words) and (words[-1] in words_for("open_end") or words[-1] in ",;([{")


def _is_illegible(words: LabelWords) -> bool:
    if _UNREAD.search(words.text.given):
        return True
    return bool(phrases_for("unread").all_in(words.words))


def _is_english(language: str) -> bool:
    return language.replace("_", "-").lower().split("-")[0] == "en"


def _has_other_language(words: Sequence[str]) -> bool:
    signs = _plain_signs()
    return any(word in signs for word in words)


@cache
def _plain_signs() -> frozenset[str]:
    return frozenset(plain_word(word) for word in language_signs())


def _has_list(words: LabelWords, statements: Statements, *, entries: Sequence[Entry]) -> bool:
    """Tell whether ingredients are listed: after their heading, or as two entries in a sentence."""
    headings = [scope.last for scope in statements.scopes if scope.kind == "ingredients"]
    listed = [entry.numbers[0] for entry in entries if entry.numbers]
    if headings and any(number > headings[0] for number in listed):
        return True
    return _has_listing_sentence(words, statements)


def _has_listing_sentence(words: LabelWords, statements: Statements) -> bool:
    prose = words_for("sentence")
    has_sign = has_prose = False
    count = 0
    for number, word in enumerate([*words.words, "."]):
        if word in ".!?":
            if has_sign and not has_prose and count > 1:
                return True
            has_sign = has_prose = False
            count = 0
        elif statements.said[number] is Said.INGREDIENTS:
            has_sign = has_sign or (word == "," and count > 0)
            has_prose = has_prose or word in prose
            count += word[0].isalnum()
    return False
