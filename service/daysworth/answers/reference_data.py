"""Fingerprint what an answer rests on beside the store: this release and its reference data."""

import hashlib
from functools import cache
from importlib.metadata import version
from importlib.resources import files


@cache
def release() -> str:
    """Give this release's version."""
    return version("daysworth")


@cache
def reference_fingerprint() -> str:
    """Give a fingerprint of every reference table, so that an answer changes when one does."""
    found = hashlib.sha256()
    tables = files("daysworth.reference") / "data"
    for table in sorted(tables.iterdir(), key=lambda file: file.name):
        found.update(table.name.encode() + b"\0" + table.read_bytes() + b"\0")
    return found.hexdigest()[:16]
