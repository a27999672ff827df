"""What all offices that plan have in common: each answers one kind of question on a store.

An office reads what the question depends on, which gives its entity tag; a reader who has that
answer is told so. What is in its cache is told at once, and the rest is given as a `ToPlan`.
"""

import hashlib
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from typing import TypeVar

from daysworth.answers.answer_cache import AnswerCache, Sized
from daysworth.answers.planning_pool import ToPlan, to_plan

Answer = TypeVar("Answer")
Told = TypeVar("Told")


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """An answer for one reader: its entity tag, and its JSON, None where the reader has it."""

    tag: str
    json: str | None


def ready(
    cache: AnswerCache[Answer],
    asked: Hashable,
    *,
    compute: Callable[[], Sized[Answer]],
    tell: Callable[[Answer], Told],
) -> Told | ToPlan[Told]:
    """Tell what is kept; where nothing is, give what is to be planned, kept and told."""
    kept = cache.find(asked)
    if kept is not None:
        return tell(kept)

    def plan() -> Answer:
        # Looked up once more when its turn has come: it may have been computed meanwhile.
        return cache.get(asked, compute=compute)

    return to_plan(asked, compute=plan, tell=tell)


def tag_of(*said: object) -> str:
    """Give the entity tag of an answer that depends on all this and on nothing else.

    Everything is told apart by how it is written, so each must be written the same in any process.
    """
    return hashlib.sha256(repr(said).encode()).hexdigest()[:32]
