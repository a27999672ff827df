"""Read a list a page at a time, by the key that orders it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

Item = TypeVar("Item")

MOST_A_PAGE = 500


@dataclass(frozen=True, slots=True)
class Page(Generic[Item]):
    """Some items of a list, and the key after which the next page begins; None: it was the last."""

    items: Sequence[Item]
    next_after: str | None


def page_of(items: Sequence[Item], *, keys: Sequence[str], limit: int) -> Page[Item]:
    """Make a page of at most `limit` items from up to one more, each with its key."""
    if len(items) <= limit:
        return Page(items, None)
    return Page(items[:limit], keys[limit - 1])
