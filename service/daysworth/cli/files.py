"""Read and write files for commands."""

import sys
from pathlib import Path

from daysworth.domain.errors import Fault, SnapshotRefused


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
