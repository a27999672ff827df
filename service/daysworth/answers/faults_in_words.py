"""Say in plain words what pydantic found wrong, and where, as a person counts."""

from collections.abc import Mapping, Sequence
from typing import Final

from pydantic_core import ErrorDetails

SHOWN_CHARACTERS: Final = 40


def where_in_words(path: Sequence[int | str]) -> str:
    """Write a path as a person counts: lots number 3 > units."""
    words: list[str] = []
    for part in path:
        if isinstance(part, int):
            words[-1:] = [f"{words[-1] if words else 'entry'} number {part + 1}"]
        else:
            words.append(part if len(part) <= SHOWN_CHARACTERS else part[:SHOWN_CHARACTERS] + "…")
    return " > ".join(words)


_WORDS: Final[Mapping[str, str]] = {
    "missing": "is missing",
    "int_type": "must be a whole number",
    "int_from_float": "must be a whole number",
    "int_parsing": "must be a whole number",
    "int_parsing_size": "must be a whole number",
    "float_type": "must be a number",
    "float_parsing": "must be a number",
    "finite_number": "must be a finite number",
    "string_type": "must be words in quotation marks",
    "string_unicode": "must be words in quotation marks",
    "bool_type": "must be true or false",
    "bool_parsing": "must be true or false",
    "tuple_type": "must be a list",
    "list_type": "must be a list",
    "frozen_set_type": "must be a list",
    "set_type": "must be a list",
    "dict_type": "must be an object in braces",
    "mapping_type": "must be an object in braces",
    "dataclass_type": "must be an object in braces",
    "model_type": "must be an object in braces",
    "model_attributes_type": "must be an object in braces",
    "date_type": "must be a date written YYYY-MM-DD",
    "date_parsing": "must be a date written YYYY-MM-DD",
    "date_from_datetime_parsing": "must be a date written YYYY-MM-DD",
    "date_from_datetime_inexact": "must be a date without a time of day",
}

_BOUNDS: Final[Mapping[tuple[str, str], str]] = {
    ("greater_than_equal", "ge"): "must be {} or more",
    ("greater_than", "gt"): "must be more than {}",
    ("less_than_equal", "le"): "must be {} or less",
    ("less_than", "lt"): "must be less than {}",
    ("too_short", "min_length"): "needs at least {}",
    ("too_long", "max_length"): "has room for at most {}",
    ("string_too_short", "min_length"): "needs at least {} character",
    ("string_too_long", "max_length"): "has room for at most {} characters",
}


def what_in_words(error: ErrorDetails, *, of: str) -> str:
    """Say what is wrong with a field of a thing that is called `of`, such as "a snapshot"."""
    kind, bounds = error["type"], error.get("ctx", {})
    if kind in ("unexpected_keyword_argument", "extra_forbidden"):
        return f"is not a field that {of} has"
    if kind == "json_invalid":
        reason = str(bounds["error"])
        too_deep = "recursion" in reason
        return f"is nested too deeply to be {of}" if too_deep else f"is not JSON: {reason}"
    if kind == "value_error":
        return str(bounds["error"])
    return _by_bound(kind, bounds) or _WORDS.get(kind, error["msg"].lower())


def _by_bound(kind: str, bounds: Mapping[str, object]) -> str | None:
    if kind in ("enum", "literal_error"):
        return f"must be {bounds['expected']}"
    for (name, bound), words in _BOUNDS.items():
        if kind == name:
            return words.format(_plain(bounds[bound]))
    return None


def _plain(bound: object) -> object:
    return int(bound) if isinstance(bound, float) and bound.is_integer() else bound


def calm(text: str, *, most_characters: int = 240) -> str:
    """Shorten a text, and take out what would disturb a terminal."""
    short = text if len(text) <= most_characters else text[:most_characters] + "…"
    return "".join(letter if letter.isprintable() else "\ufffd" for letter in short)
