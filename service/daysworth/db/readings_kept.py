"""Keep the readings of a label as text: those that stand on a lot, and who made each.

A lot's `reading` is a JSON list of the readings that stand; `read_by` is a list beside it of who
signs each, and when. A reading that nobody signs was kept by an earlier release.
"""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Final

from daysworth.domain.labels import Claim, LabelReading, Regime
from daysworth.domain.restrictions import Substance

_LABELS_REMEMBERED: Final = 4_096
"""How many different lists of readings are kept as values: lots of one label share theirs."""

_SUBSTANCES: Final = ("contains", "may_contain", "free_from", "not_declared")

Written = Mapping[str, list[str] | str | bool | None]
"""A reading as JSON has it; what it does not say is left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedReading:
    """A reading, who signs it, and the instant it was recorded; None: not known."""

    reading: LabelReading
    by: str | None = None
    at: str | None = None


def reading_text(reading: LabelReading) -> str:
    """Write a reading as JSON, the same reading always as the same text."""
    return _dumped(_written(reading))


def readings_text(readings: Iterable[LabelReading]) -> str | None:
    """Write the readings that stand, in their order; None where there is none."""
    written = [_written(reading) for reading in readings]
    return _dumped(written) if written else None


@lru_cache(maxsize=_LABELS_REMEMBERED)
def readings_from(text: str | None) -> tuple[LabelReading, ...]:
    """Read the readings that stand."""
    return () if text is None else tuple(_reading(written) for written in json.loads(text))


def ledger_readings(text: str | None) -> tuple[LabelReading, ...]:
    """Read what an entry keeps: one reading, or a list of those that stood.

    An entry of an earlier release may say that a food has a thing and is free from it: it has it.
    """
    if text is None:
        return ()
    written = json.loads(text)
    if isinstance(written, list):
        return tuple(_reading(one) for one in written)
    found = {*written.get("contains", ()), *written.get("may_contain", ())}
    claimed = [one for one in written.get("free_from", ()) if one not in found]
    return (_reading({**written, "free_from": claimed}),)


def signed_readings(reading: str | None, read_by: str | None) -> tuple[SignedReading, ...]:
    """Read a lot's two columns: the readings that stand, each with who signs it."""
    readings = readings_from(reading)
    signed = json.loads(read_by) if read_by is not None else [None] * len(readings)
    return tuple(
        SignedReading(reading=one, by=by and by["by"], at=by and by["at"])
        for one, by in zip(readings, signed, strict=True)
    )


def signed_values(signed: Iterable[SignedReading]) -> dict[str, str | None]:
    """Give a lot's two columns for the readings that stand."""
    kept = tuple(signed)
    if not kept:
        return {"reading": None, "read_by": None}
    signatures = [None if one.by is None else {"at": one.at, "by": one.by} for one in kept]
    return {
        "reading": readings_text(one.reading for one in kept),
        "read_by": _dumped(signatures),
    }


def _dumped(written: object) -> str:
    # Letters beyond ASCII and controls are escaped: no database takes all of them as they are.
    return json.dumps(written, sort_keys=True, separators=(",", ":"))


def _written(reading: LabelReading) -> Written:
    said: dict[str, list[str] | str | bool | None] = {
        name: sorted(getattr(reading, name)) for name in (*_SUBSTANCES, "claims")
    }
    said["text"] = reading.text
    said["is_whole"] = reading.is_whole
    said["language"] = reading.language
    said["regime"] = reading.regime
    said["packed_on"] = None if reading.packed_on is None else reading.packed_on.isoformat()
    return {name: value for name, value in said.items() if value}


def _reading(written: Mapping[str, object]) -> LabelReading:
    said = dict(written)
    for name in _SUBSTANCES:
        said[name] = frozenset(map(Substance, _listed(written, name)))
    said["claims"] = frozenset(map(Claim, _listed(written, "claims")))
    if "regime" in written:
        said["regime"] = Regime(str(written["regime"]))
    if "packed_on" in written:
        said["packed_on"] = date.fromisoformat(str(written["packed_on"]))
    # The fields are those that were written, of their own types.
    return LabelReading(**said)  # type: ignore[arg-type]


def _listed(written: Mapping[str, object], name: str) -> list[str]:
    listed = written.get(name, [])
    assert isinstance(listed, list)
    return listed
