"""Give the types that every schema is made of.

What comes in is taken at its word: a number is no text, a date is written YYYY-MM-DD, words hold
no control characters, and a field that is not asked for is refused.
"""

import re
from datetime import date
from typing import Annotated, Final

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    StringConstraints,
    WithJsonSchema,
)

from daysworth.domain.identifiers import is_plain

_ISO_DAY: Final = re.compile("[0-9]{4}-[0-9]{2}-[0-9]{2}")


class Input(BaseModel):
    """What comes in: strict, and without fields that nobody asked for."""

    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False)


class Output(BaseModel):
    """What goes out: every field always."""

    model_config = ConfigDict(frozen=True)


def _printable(text: str) -> str:
    if not is_plain(text):
        raise ValueError("must be plain words on one line")
    return text


def _iso_day(written: object) -> object:
    if isinstance(written, str) and _ISO_DAY.fullmatch(written) is None:
        raise ValueError("must be a date written YYYY-MM-DD")
    if isinstance(written, str):
        try:
            return date.fromisoformat(written)
        except ValueError:
            raise ValueError("there is no such day") from None
    return written


Words = Annotated[
    str,
    StringConstraints(strip_whitespace=True, min_length=1, max_length=120),
    AfterValidator(_printable),
]
"""A name or a few words, on one line."""

FewWords = Annotated[
    str,
    StringConstraints(strip_whitespace=True, min_length=2, max_length=60),
    AfterValidator(_printable),
]
"""The name of an ingredient, on one line."""

Why = Annotated[
    str,
    StringConstraints(strip_whitespace=True, min_length=1, max_length=400),
    AfterValidator(_printable),
]
"""A reason."""

Ref = Annotated[str, StringConstraints(min_length=1, max_length=64), AfterValidator(_printable)]
"""The id of something."""

Day = Annotated[
    date,
    BeforeValidator(_iso_day),
    WithJsonSchema({"type": "string", "format": "date", "pattern": f"^{_ISO_DAY.pattern}$"}),
]
"""A date, YYYY-MM-DD."""
