"""Bring a snapshot file of an earlier format up to this release's, before it is checked.

Format 1 had one reading a lot, of three lists. What it was free from is a claim here: nobody said
whether the whole label was read. Format 2 had no kits, and format 3 no partners and promises; they
are otherwise the same.
"""

import json
import re
from typing import Final

Json = dict[str, "Json"] | list["Json"] | str | int | float | bool | None

FORMAT_1: Final = "daysworth-snapshot-1"
FORMAT_2: Final = "daysworth-snapshot-2"
FORMAT_3: Final = "daysworth-snapshot-3"
FORMAT_4: Final = "daysworth-snapshot-4"

_OLDER: Final = (FORMAT_1, FORMAT_2, FORMAT_3)
_SAYS_OLDER: Final = re.compile(rb'"format"\s*:\s*"daysworth-snapshot-[123]"')


def brought_up(text: bytes) -> bytes:
    """Give a file of this release's format; one that is of no earlier format stays as it is."""
    if _SAYS_OLDER.search(text) is None:
        return text
    try:
        written: Json = json.loads(text)
    except (ValueError, RecursionError):
        return text
    if not isinstance(written, dict) or written.get("format") not in _OLDER:
        return text
    lots = written.get("lots") if written["format"] == FORMAT_1 else None
    written["format"] = FORMAT_4
    for lot in lots if isinstance(lots, list) else []:
        if isinstance(lot, dict) and "readings" not in lot:
            _bring_up(lot)
    return json.dumps(written).encode()


def _bring_up(lot: dict[str, Json]) -> None:
    if "reading" in lot:
        reading = lot.pop("reading")
        lot["readings"] = [] if reading is None else [_as_claim(reading)]


def _as_claim(reading: Json) -> Json:
    """Take out of a reading's claims what it finds: it could say both, and the stricter holds."""
    if not isinstance(reading, dict):
        return reading
    found = [*_listed(reading, "contains"), *_listed(reading, "may_contain")]
    claimed = reading.get("free_from")
    if not isinstance(claimed, list):
        return reading
    return {**reading, "free_from": [one for one in claimed if one not in found]}


def _listed(reading: dict[str, Json], name: str) -> list[Json]:
    listed = reading.get(name)
    return listed if isinstance(listed, list) else []
