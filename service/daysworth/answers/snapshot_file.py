"""Read and write a snapshot as JSON, and publish its schema.

The schema is generated from the domain's own types, so that a bound is stated once. What is wrong
with a file is said in plain words, with where it stands; at most a dozen faults, the rest counted.
What people must not eat is never echoed.
"""

import json
import re
from dataclasses import asdict, fields
from datetime import date, datetime
from functools import cache
from typing import Final

from pydantic import ConfigDict, TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import ErrorDetails
from pydantic_core.core_schema import DataclassSchema, DatetimeSchema, FrozenSetSchema

from daysworth.answers.faults_in_words import (
    SHOWN_CHARACTERS,
    calm,
    what_in_words,
    where_in_words,
)
from daysworth.answers.older_snapshots import Json, brought_up
from daysworth.domain.errors import Fault, SnapshotRefused
from daysworth.domain.label_dates import PRINTED_PATTERN
from daysworth.domain.snapshot import Snapshot

MOST_BYTES: Final = 64 * 1024 * 1024
MOST_FAULTS: Final = 12
CLOCK_TIME_PATTERN: Final = "^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}(:00)?$"
_BYTE_ORDER_MARK: Final = b"\xef\xbb\xbf"


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
    """Read a snapshot from UTF-8 JSON, also of an earlier format.

    Raises SnapshotRefused with every fault found.
    """
    if len(text) > MOST_BYTES:
        raise SnapshotRefused((Fault("", f"is larger than {MOST_BYTES // 1024**2} MB"),))
    if not text.strip():
        raise SnapshotRefused((Fault("", "is empty"),))
    try:
        found = _adapter().validate_json(brought_up(text.removeprefix(_BYTE_ORDER_MARK)))
    except ValidationError as refused:
        raise SnapshotRefused(_shown(_faults(refused))) from None
    except SnapshotRefused as refused:
        raise SnapshotRefused(_shown(refused.faults)) from None
    return Snapshot(**{field.name: getattr(found, field.name) for field in fields(Snapshot)})


def write_snapshot(snapshot: Snapshot) -> bytes:
    """Write a snapshot as UTF-8 JSON; the same snapshot gives the same bytes."""
    text = json.dumps(asdict(snapshot), default=_plain, ensure_ascii=False, indent=1)
    return text.encode() + b"\n"


def _plain(value: object) -> str | list[str] | list[int]:
    """Write a date or a time by ISO 8601, and a set in order, for a set has none of its own."""
    if isinstance(value, datetime):
        return value.isoformat(timespec="minutes")
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

    def datetime_schema(self, schema: DatetimeSchema) -> JsonSchemaValue:
        """Ask for a time on the clock there; JSON Schema's own word would ask for an offset."""
        written = super().datetime_schema(schema)
        del written["format"]
        return {**written, "pattern": CLOCK_TIME_PATTERN}

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
        Fault(where_in_words(error["loc"]), what_in_words(error, of="a snapshot") + _given(error))
        for error in errors
        if error["type"] != "too_short" or error["loc"] not in within
    )


def _shown(faults: tuple[Fault, ...]) -> tuple[Fault, ...]:
    """Keep a dozen faults and count the rest; nothing shown is long, or disturbs a terminal."""
    shown = [Fault(calm(fault.where), calm(fault.what)) for fault in faults[:MOST_FAULTS]]
    if len(faults) > MOST_FAULTS:
        shown.append(Fault("", f"and {len(faults) - MOST_FAULTS} more faults"))
    return tuple(shown)


def _given(error: ErrorDetails) -> str:
    """Echo a short wrong value, save anything that may tell of a person."""
    path, value = error["loc"], error["input"]
    if not path or path[0] == "households" or error["type"] in _SPEAK_FOR_THEMSELVES:
        return ""
    if not isinstance(value, (str, int, float)) or isinstance(value, bool):
        return ""
    shown = repr(value)
    return f", not {shown}" if len(shown) <= SHOWN_CHARACTERS else ""


_SPEAK_FOR_THEMSELVES: Final = frozenset(
    {"missing", "json_invalid", "value_error", "unexpected_keyword_argument"}
)
