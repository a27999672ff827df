"""Let a long plan be stopped: whoever asked holds a signal, and planners look at it on their way.

The signal is handed down in a context variable and not as a parameter. A plan may be cut short at
any depth, and nothing is computed from the signal: with it a question has the same answer or none.
Planners stay functions of what they are given; when to stop, and by which clock, is the asker's.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Final, Protocol

from daysworth.domain.errors import PlanningStopped


class Stop(Protocol):
    """A signal that a plan is to be stopped; it is looked at often, and from the plan's thread."""

    def is_asked(self) -> bool:
        """Tell whether the plan is to be stopped; once it is, it stays so."""


_STOP: Final[ContextVar[Stop | None]] = ContextVar("stop", default=None)


@contextmanager
def heeding(stop: Stop) -> Iterator[None]:
    """Have what is planned inside the block heed a signal, in this thread alone."""
    before = _STOP.set(stop)
    try:
        yield
    finally:
        _STOP.reset(before)


def heeded() -> Stop | None:
    """Give the signal that is heeded here; None where nothing will ask for a stop."""
    return _STOP.get()


def check(*, at_least: float | None = None, at_most: float | None = None) -> None:
    """Raise PlanningStopped where a stop was asked for; call it in every loop that may be long.

    `at_least` and `at_most` are days for everyone that were proved until now; None: nothing was.
    """
    stop = _STOP.get()
    if stop is not None and stop.is_asked():
        raise PlanningStopped(
            "the plan was stopped before an answer was proved", at_least=at_least, at_most=at_most
        )
