"""Part a label's plain text into words and signs, and bring words to one spelling.

A word is brought to the singular and to American spelling, by rules that need not be good English:
what matters is that the terms table and the label are brought to the same. Places are kept.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from daysworth.domain.label_text import LabelText
from daysworth.reference.label_words import spellings

_WORD: Final = r"[a-z0-9]+(?:'[a-z0-9]+)*'?"
_TOKEN: Final = re.compile(
    r"(?P<additive>(?<![a-z0-9'])(?<!vitamin )(?:e|ins)[ .-]{0,2}[0-9]{3,4}[a-h]?(?![a-z0-9]))"
    r"|(?P<number>[0-9]+(?:\.[0-9]+|,[0-9]{1,2}(?![0-9]))?(?![a-z0-9]))"
    rf"|(?P<word>{_WORD}(?:-(?:[ ]*\n[ ]*)?{_WORD})*)"
    r"|(?P<gap>\s+)"
    r"|(?P<dots>\.{2,})"
    r"|(?P<sign>[^\sa-z0-9'])"
)
_PART: Final = re.compile(_WORD)
_MOST_JOINED: Final = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelWords:
    """A text's words and signs in order: the plain word, its place, the gap before.

    A gap is "" (none), " ", "-" (a hyphen within a word), "\\n" (a line break) or "\\n\\n" (an
    empty line). Places are of the plain text.
    """

    text: LabelText
    words: Sequence[str]
    starts: Sequence[int]
    ends: Sequence[int]
    gaps: Sequence[str]

    def printed(self, first: int, last: int) -> str:
        """Give the text as given from one word to another, both included."""
        return " ".join(self.text.words(self.starts[first], self.ends[last]).split())

    def at(self, number: int) -> int:
        """Tell where a word stood in the text as given."""
        return self.text.at(self.starts[number])


def part(text: LabelText, *, is_known: Callable[[str], bool]) -> LabelWords:
    """Part a text into words and signs.

    A word with hyphens, at a line's end or not, is one word where `is_known` knows it as one
    ("pea-nuts"), and several where it does not ("gluten-free").
    """
    words: list[str] = []
    starts: list[int] = []
    ends: list[int] = []
    gaps: list[str] = []
    gap = ""
    for found in _TOKEN.finditer(text.plain):
        kind, said, start = found.lastgroup, found.group(), found.start()
        if kind == "gap":
            breaks = said.count("\n")
            gap = " " if not breaks else "\n" if breaks == 1 else "\n\n"
            continue
        if kind == "word" and "-" in said:
            for plain, first, last in _parted(said, is_known=is_known):
                words.append(plain)
                starts.append(start + first)
                ends.append(start + last)
                gaps.append(gap if first == 0 else "-")
        else:
            words.append(_plain_token(said, kind))
            starts.append(start)
            ends.append(found.end())
            gaps.append(gap)
        gap = ""
    return LabelWords(text=text, words=words, starts=starts, ends=ends, gaps=gaps)


def _plain_token(said: str, kind: str | None) -> str:
    if kind == "word":
        return plain_word(said)
    if kind == "additive":
        return "e" + "".join(one for one in said.removeprefix("ins") if one.isalnum()).lstrip("e")
    return "…" if kind == "dots" else said


def _parted(said: str, *, is_known: Callable[[str], bool]) -> list[tuple[str, int, int]]:
    parts = [(found.group(), found.start(), found.end()) for found in _PART.finditer(said)]
    parted, first = [], 0
    while first < len(parts):
        for last in range(min(len(parts), first + _MOST_JOINED), first, -1):
            joined = plain_word("".join(one for one, _, _ in parts[first:last]))
            if last == first + 1 or is_known(joined):
                parted.append((joined, parts[first][1], parts[last - 1][2]))
                first = last
                break
    return parted


@lru_cache(maxsize=16384)
def plain_word(word: str) -> str:
    """Bring one lower-case word to the singular and to American spelling."""
    bare = word.replace("'", "")
    known = spellings()
    if bare in known:
        return known[bare]
    single = _singular(bare)
    return known.get(single, _american(single))


_ENDINGS: Final = (
    # An ending, the fewest letters of a word that has it as its plural, and what takes its place.
    ("ies", 5, "y"),
    ("ie", 5, "y"),
    ("oes", 6, "o"),
    ("ches", 6, "ch"),
    ("shes", 5, "sh"),
    ("sses", 6, "ss"),
    ("xes", 4, "x"),
    ("ss", 3, "ss"),
    ("us", 3, "us"),
    ("is", 3, "is"),
    ("s", 4, ""),
)


def _singular(word: str) -> str:
    for ending, least, instead in _ENDINGS:
        if word.endswith(ending) and len(word) >= least:
            return word[: -len(ending)] + instead
    return word


_BRITISH: Final = re.compile(r"(?<=[a-z]{3})(?:is(?=(?:e[drs]|ing|ation|able)$)|ys(?=ed$))")


def _american(word: str) -> str:
    return _BRITISH.sub(lambda found: found.group()[0] + "z", word)
