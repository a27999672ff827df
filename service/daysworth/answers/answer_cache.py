"""Keep answers that were computed, bounded in bytes, one computation at a time for each question.

An answer is kept under everything it depends on, so it is never stale; what is no longer asked
falls out, the longest unused first.
"""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from concurrent.futures import CancelledError, Future
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
    """Answers by question; safe for threads."""

    def __init__(self, *, most_bytes: int = MOST_BYTES) -> None:
        self._most_bytes = most_bytes
        self._held_bytes = 0
        self._lock = Lock()
        self._kept: OrderedDict[Hashable, Sized[Answer]] = OrderedDict()
        self._running: dict[Hashable, Future[Answer]] = {}

    def get(self, question: Hashable, *, compute: Callable[[], Sized[Answer]]) -> Answer:
        """Give the kept answer, or compute it; who asks meanwhile waits for that computation.

        Raises what `compute` raises, to the one who computed; those who waited compute again.
        """
        while True:
            with self._lock:
                if question in self._kept:
                    self._kept.move_to_end(question)
                    return self._kept[question].answer
                running = self._running.get(question)
                if running is None:
                    mine: Future[Answer] = Future()
                    self._running[question] = mine
                    break
            try:
                return running.result()
            except CancelledError:
                continue
        return self._compute(question, mine, compute=compute)

    def _compute(
        self, question: Hashable, mine: Future[Answer], *, compute: Callable[[], Sized[Answer]]
    ) -> Answer:
        try:
            sized = compute()
            self._keep(question, sized)
            mine.set_result(sized.answer)
        finally:
            with self._lock:
                del self._running[question]
            if not mine.done():
                mine.cancel()
        return sized.answer

    def _keep(self, question: Hashable, sized: Sized[Answer]) -> None:
        if sized.size_bytes > self._most_bytes:
            return
        with self._lock:
            self._kept[question] = sized
            self._held_bytes += sized.size_bytes
            while self._held_bytes > self._most_bytes:
                _, dropped = self._kept.popitem(last=False)
                self._held_bytes -= dropped.size_bytes
