"""Write answers as JSON."""

from functools import cache
from typing import TypeVar

from pydantic import TypeAdapter

Answer = TypeVar("Answer")


def written(answer: Answer, *, of: type[Answer]) -> str:
    """Write an answer as JSON, two spaces deep; the same answer gives the same bytes."""
    # Every type can be hashed, which the checker does not see of a type variable.
    return _writer(of).dump_json(answer, indent=2).decode()  # type: ignore[arg-type]


@cache
def _writer(of: type[Answer]) -> TypeAdapter[Answer]:
    """Make once what writes a type of answer: making it takes longer than writing."""
    return TypeAdapter(of)
