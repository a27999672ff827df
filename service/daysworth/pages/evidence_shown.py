"""Tell the same words of a label once, however often they stand on it."""

from collections.abc import Iterable
from typing import Protocol, TypeVar


class Told(Protocol):
    """A piece of evidence: what part of the label it is from, and its words."""

    @property
    def said(self) -> str:
        """Give the part of the label."""
        ...

    @property
    def words(self) -> str:
        """Give the words."""
        ...


Evidence = TypeVar("Evidence", bound=Told)


def told_once(found: Iterable[Evidence]) -> list[Evidence]:
    """Give the words of each part of a label the first time that they stand there."""
    once: dict[tuple[str, str], Evidence] = {}
    for one in found:
        once.setdefault((one.said, one.words.casefold()), one)
    return list(once.values())
