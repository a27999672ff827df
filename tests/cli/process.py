"""Run the command as a person does: the installed script, in a process of its own."""

import os
import subprocess
import sys
from functools import cache
from pathlib import Path
from typing import Final

DAYSWORTH: Final = Path(sys.executable).with_name("daysworth")


def daysworth(
    *arguments: str, given: bytes = b"", hash_seed: str = "0"
) -> subprocess.CompletedProcess[bytes]:
    """Run the command with these arguments and this standard input."""
    return subprocess.run(
        [DAYSWORTH, *arguments],
        input=given,
        capture_output=True,
        check=False,
        env={**os.environ, "PYTHONHASHSEED": hash_seed, "COLUMNS": "80", "NO_COLOR": "1"},
    )


@cache
def done(*arguments: str, given: bytes = b"", hash_seed: str = "0") -> str:
    """Run the command, once for the same question; it must succeed and say nothing else."""
    ran = daysworth(*arguments, given=given, hash_seed=hash_seed)
    assert (ran.returncode, ran.stderr) == (0, b"")
    return ran.stdout.decode()


def refused(*arguments: str, given: bytes = b"", code: int = 1) -> str:
    """Run the command, which must refuse, print nothing else, and show no traceback."""
    ran = daysworth(*arguments, given=given)
    said = ran.stderr.decode()
    assert (ran.returncode, ran.stdout) == (code, b""), said
    assert "Traceback" not in said
    return said
