"""Keep answers that were computed, bounded in bytes.

An answer is kept under everything it depends on, so it is never stale; what is no longer asked
falls out, the longest unused first. That a question is computed once for all who ask it at the same
time is the planning pool's to see to.
"""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from threading import Lock
from typing import Final, Generic, TypeVar

Answer = TypeVar("Answer")

MOST_BYTES: Final = 64 * 1024 * 1024


@dataclass(frozen=True, slots=True)
class Sized(Generic[Answer]):
    """An answer, and how many bytes keeping it is reckoned at."""

    answer: Answer
    size_bytes: int


class AnswerCache(Generic[Answer]):
    """Answers by question; safe for threads, none of which ever waits for a computation."""

    def __init__(self, *, most_bytes: int = MOST_BYTES) -> None:
        self._most_bytes = most_bytes
        self._held_bytes = 0
        self._lock = Lock()
        self._kept: OrderedDict[Hashable, Sized[Answer]] = OrderedDict()

    def find(self, question: Hashable) -> Answer | None:
        """Give the kept answer; None where there is none."""
        with self._lock:
            kept = self._kept.get(question)
            if kept is None:
                return None
            self._kept.move_to_end(question)
            return kept.answer

    def get(self, question: Hashable, *, compute: Callable[[], Sized[Answer]]) -> Answer:
        """Give the kept answer, or compute and keep it. Raises what `compute` raises."""
        kept = self.find(question)
        if kept is not None:
            return kept
        sized = compute()
        self._keep(question, sized)
        return sized.answer

    def _keep(self, question: Hashable, sized: Sized[Answer]) -> None:
        if sized.size_bytes > self._most_bytes:
            return
        with self._lock:
            before = self._kept.pop(question, None)
            self._held_bytes += sized.size_bytes - (0 if before is None else before.size_bytes)
            self._kept[question] = sized
            while self._held_bytes > self._most_bytes:
                _, dropped = self._kept.popitem(last=False)
                self._held_bytes -= dropped.size_bytes
