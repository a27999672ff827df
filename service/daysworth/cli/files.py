"""Read and write files for commands."""

import os
import sys
from contextlib import suppress
from pathlib import Path

from daysworth.domain.errors import Fault, InputRefused, SnapshotRefused


def read_bytes(source: str) -> bytes:
    """Read a file, or standard input for "-", no further than a snapshot may be long.

    Raises SnapshotRefused where it cannot be read.
    """
    from daysworth.answers.snapshot_file import MOST_BYTES

    if source == "-":
        return sys.stdin.buffer.read(MOST_BYTES + 1)
    try:
        with Path(source).open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or str(fault)
        raise SnapshotRefused((Fault(repr(source), f"cannot be read: {reason}"),)) from fault


def write_whole(path: str, content: bytes) -> None:
    """Write a file, whole or not at all. Raises InputRefused where it cannot be written."""
    try:
        place = Path(path).resolve()
        part = place.with_name(f".{place.name}.{os.getpid()}.part")
        try:
            with part.open("xb") as file:
                file.write(content)
            part.replace(place)
        finally:
            with suppress(OSError):
                part.unlink()
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or str(fault)
        raise InputRefused(f"{path!r} cannot be written: {reason}") from fault
