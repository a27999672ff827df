"""Find which of many phrases stand in a row of words: the longest that starts at each place."""

from collections.abc import Iterable, Sequence
from typing import Generic, NamedTuple, TypeVar

Meaning = TypeVar("Meaning")


class Found(NamedTuple, Generic[Meaning]):
    """A phrase that stands from word `first` to word `last`, both included."""

    first: int
    last: int
    meaning: Meaning


class _Node(Generic[Meaning]):
    __slots__ = ("after", "meaning")

    def __init__(self) -> None:
        self.after: dict[str, _Node[Meaning]] = {}
        self.meaning: Meaning | None = None


class PhraseIndex(Generic[Meaning]):
    """Phrases by their words, in a tree: a look-up costs the length of the phrase it finds."""

    def __init__(self, phrases: Iterable[tuple[Sequence[str], Meaning]]) -> None:
        self._root: _Node[Meaning] = _Node()
        for words, meaning in phrases:
            node = self._root
            for word in words:
                node = node.after.setdefault(word, _Node())
            node.meaning = meaning

    def at(self, words: Sequence[str], first: int) -> Found[Meaning] | None:
        """Find the longest phrase that starts at word `first`, or None."""
        node, number, found = self._root.after.get(words[first]), first, None
        while node is not None:
            if node.meaning is not None:
                found = Found(first, number, node.meaning)
            number += 1
            node = node.after.get(words[number]) if number < len(words) else None
        return found

    def all_in(self, words: Sequence[str]) -> list[Found[Meaning]]:
        """Find phrases from left to right, each after the end of the one before."""
        found: list[Found[Meaning]] = []
        firsts, free_from = self._root.after, 0
        for number, word in enumerate(words):
            if word in firsts and number >= free_from:
                one = self.at(words, number)
                if one is not None:
                    found.append(one)
                    free_from = one.last + 1
        return found
