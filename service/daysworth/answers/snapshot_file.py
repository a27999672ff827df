"""Read and write a snapshot as JSON, and publish its schema.

The schema is generated from the domain's own types, so that a bound is stated once. What is wrong
with a file is said in plain words, with where it stands; at most a dozen faults, the rest counted.
What people must not eat is never echoed.
"""

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import asdict, fields
from datetime import date
from functools import cache
from typing import Final

from pydantic import ConfigDict, TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import ErrorDetails
from pydantic_core.core_schema import DataclassSchema, FrozenSetSchema

from daysworth.domain.errors import Fault, SnapshotRefused
from daysworth.domain.label_dates import PRINTED_PATTERN
from daysworth.domain.snapshot import Snapshot

MOST_BYTES: Final = 64 * 1024 * 1024
MOST_FAULTS: Final = 12
_SHOWN_CHARACTERS: Final = 40
_MOST_CHARACTERS: Final = 240
_BYTE_ORDER_MARK: Final = b"\xef\xbb\xbf"

Json = dict[str, "Json"] | list["Json"] | str | int | float | bool | None


@dataclass(
    frozen=True,
    slots=True,
    config=ConfigDict(extra="forbid", strict=True, allow_inf_nan=False, title="Daysworth snapshot"),
)
class _SnapshotFile(Snapshot):
    """A Daysworth snapshot: all that a planner needs of one store at one version."""


@cache
def _adapter() -> TypeAdapter[_SnapshotFile]:
    return TypeAdapter(_SnapshotFile)


def read_snapshot(text: bytes) -> Snapshot:
    """Read a snapshot from UTF-8 JSON. Raises SnapshotRefused with every fault found."""
    if len(text) > MOST_BYTES:
        raise SnapshotRefused((Fault("", f"is larger than {MOST_BYTES // 1024**2} MB"),))
    if not text.strip():
        raise SnapshotRefused((Fault("", "is empty"),))
    try:
        found = _adapter().validate_json(text.removeprefix(_BYTE_ORDER_MARK))
    except ValidationError as refused:
        raise SnapshotRefused(_shown(_faults(refused))) from None
    except SnapshotRefused as refused:
        raise SnapshotRefused(_shown(refused.faults)) from None
    return Snapshot(**{field.name: getattr(found, field.name) for field in fields(Snapshot)})


def write_snapshot(snapshot: Snapshot) -> bytes:
    """Write a snapshot as UTF-8 JSON; the same snapshot gives the same bytes."""
    text = json.dumps(asdict(snapshot), default=_plain, ensure_ascii=False, indent=1)
    return text.encode() + b"\n"


def _plain(value: object) -> str | list[str]:
    """Write a date by ISO 8601, and a set in alphabetical order, for a set has none of its own."""
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, frozenset):
        return sorted(value)
    raise TypeError(f"a snapshot holds no {type(value).__name__}")


def snapshot_schema() -> dict[str, Json]:
    """Give the JSON Schema (2020-12) that a snapshot file follows.

    What it cannot say (ids that are unique and known, dates of this century, a zone that exists,
    at most as many units promised as there are) is checked all the same when a file is read.
    """
    schema: dict[str, Json] = TypeAdapter(_SnapshotFile).json_schema(schema_generator=_SchemaWriter)
    return {"$schema": _SchemaWriter.schema_dialect, **schema}


class _SchemaWriter(GenerateJsonSchema):
    """Write what a file's author needs to know, and leave out what a programmer does."""

    def frozenset_schema(self, schema: FrozenSetSchema) -> JsonSchemaValue:
        """Let a list name a thing twice: it is a set, and once is enough."""
        written = super().frozenset_schema(schema)
        written.pop("uniqueItems", None)
        return written

    def dataclass_schema(self, schema: DataclassSchema) -> JsonSchemaValue:
        """Keep a type's description short of what it raises, and give a label date its form."""
        written = super().dataclass_schema(schema)
        if "description" in written:
            written["description"] = _RAISES.split(written["description"])[0].strip()
        if "printed" in written.get("properties", {}):
            written["properties"]["printed"]["pattern"] = PRINTED_PATTERN
        return written


_RAISES: Final = re.compile(r"\bRaises\s")


def _faults(refused: ValidationError) -> tuple[Fault, ...]:
    errors = refused.errors(include_url=False)
    paths = {error["loc"] for error in errors}
    within = {path[:depth] for path in paths for depth in range(len(path))}
    # A list is "too short" when what stands in it is wrong; the latter is enough to say.
    return tuple(
        Fault(_where(error["loc"]), _what(error) + _given(error))
        for error in errors
        if error["type"] != "too_short" or error["loc"] not in within
    )


def _shown(faults: tuple[Fault, ...]) -> tuple[Fault, ...]:
    """Keep a dozen faults and count the rest; nothing shown is long, or disturbs a terminal."""
    shown = [Fault(_calm(fault.where), _calm(fault.what)) for fault in faults[:MOST_FAULTS]]
    if len(faults) > MOST_FAULTS:
        shown.append(Fault("", f"and {len(faults) - MOST_FAULTS} more faults"))
    return tuple(shown)


def _calm(text: str) -> str:
    short = text if len(text) <= _MOST_CHARACTERS else text[:_MOST_CHARACTERS] + "…"
    return "".join(letter if letter.isprintable() else "\ufffd" for letter in short)


def _where(path: Sequence[int | str]) -> str:
    """Write a path as a person counts: lots number 3 > units."""
    words: list[str] = []
    for part in path:
        if isinstance(part, int):
            words[-1:] = [f"{words[-1] if words else 'entry'} number {part + 1}"]
        else:
            words.append(part if len(part) <= _SHOWN_CHARACTERS else part[:_SHOWN_CHARACTERS] + "…")
    return " > ".join(words)


_WORDS: Final[Mapping[str, str]] = {
    "missing": "is missing",
    "unexpected_keyword_argument": "is not a field that a snapshot has",
    "int_type": "must be a whole number",
    "int_from_float": "must be a whole number",
    "float_type": "must be a number",
    "finite_number": "must be a finite number",
    "string_type": "must be words in quotation marks",
    "bool_type": "must be true or false",
    "tuple_type": "must be a list",
    "frozen_set_type": "must be a list",
    "dict_type": "must be an object in braces",
    "mapping_type": "must be an object in braces",
    "dataclass_type": "must be an object in braces",
    "date_type": "must be a date written YYYY-MM-DD",
    "date_parsing": "must be a date written YYYY-MM-DD",
    "date_from_datetime_parsing": "must be a date written YYYY-MM-DD",
    "date_from_datetime_inexact": "must be a date without a time of day",
}


def _what(error: ErrorDetails) -> str:
    kind, bounds = error["type"], error.get("ctx", {})
    if kind == "json_invalid":
        reason = str(bounds["error"])
        return (
            "is nested too deeply to be a snapshot"
            if "recursion" in reason
            else (f"is not JSON: {reason}")
        )
    if kind == "value_error":
        return str(bounds["error"])
    if kind in ("enum", "literal_error"):
        return f"must be {bounds['expected']}"
    for name, words in _BOUNDS.items():
        if kind == name[0]:
            return words.format(bounds[name[1]])
    return _WORDS.get(kind, error["msg"].lower())


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


def _given(error: ErrorDetails) -> str:
    """Echo a short wrong value, save anything that may tell of a person."""
    path, value = error["loc"], error["input"]
    if not path or path[0] == "households" or error["type"] in _SPEAK_FOR_THEMSELVES:
        return ""
    if not isinstance(value, (str, int, float)) or isinstance(value, bool):
        return ""
    shown = repr(value)
    return f", not {shown}" if len(shown) <= _SHOWN_CHARACTERS else ""


_SPEAK_FOR_THEMSELVES: Final = frozenset(
    {"missing", "json_invalid", "value_error", "unexpected_keyword_argument"}
)
