"""Run the command as a person does: the installed script, in a process of its own.

Most of what a run takes is to import what it needs. So a run is a fork of a process that has done
that (see `forking`), unless it must begin with something that Python reads only as it starts.
"""

import json
import os
import socket
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import IO, Final

from tests.cli.forking import CODE, Asked

DAYSWORTH: Final = Path(sys.executable).with_name("daysworth")
USUAL_SEED: Final = "0"
_FORKING: Final = Path(__file__).with_name("forking.py")
_READ_AT_START: Final = ("PYTHON", "LANG", "LC_")

Ran = subprocess.CompletedProcess[bytes]


def daysworth(*arguments: str, given: bytes = b"", hash_seed: str = USUAL_SEED) -> Ran:
    """Run the command with these arguments and this standard input."""
    return forked(DAYSWORTH, *arguments, given=given, hash_seed=hash_seed)


@cache
def done(*arguments: str, given: bytes = b"", hash_seed: str = USUAL_SEED) -> str:
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


def begun(command: Path, *arguments: str, given: bytes = b"", hash_seed: str = USUAL_SEED) -> Ran:
    """Run a program, beginning with nothing."""
    return subprocess.run(
        [command, *arguments],
        input=given,
        capture_output=True,
        check=False,
        env=_environment(hash_seed),
    )


def forked(command: Path, *arguments: str, given: bytes = b"", hash_seed: str = USUAL_SEED) -> Ran:
    """Run a program in Python, in a fork where it could have begun with the same."""
    environment = _environment(hash_seed)
    if the_forks().began_with != _read_at_start(environment):
        return begun(command, *arguments, given=given, hash_seed=hash_seed)
    asked = Asked(
        command=str(command),
        arguments=[*arguments],
        environment=environment,
        folder=os.getcwd(),
    )
    return the_forks().run(asked, given=given)


class Forks:
    """A process that forks for each run, one run after another."""

    def __init__(self) -> None:
        """Start it, with the environment of this moment."""
        environment = _environment(USUAL_SEED)
        self.began_with: Final = _read_at_start(environment)
        self._requests, theirs = socket.socketpair()
        with theirs:
            self._process = subprocess.Popen(
                [sys.executable, "-P", _FORKING, str(theirs.fileno())],
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                # With more than one, importing numpy begins threads, which a fork would lack.
                env={**environment, "OPENBLAS_NUM_THREADS": "1"},
                pass_fds=[theirs.fileno()],
            )

    def run(self, asked: Asked, *, given: bytes) -> Ran:
        """Run what is asked for in a fork, and give how it ended and what it said."""
        with (
            _holding(json.dumps(asked).encode()) as question,
            _holding(given) as stdin,
            _holding(b"") as stdout,
            _holding(b"") as stderr,
        ):
            files = [file.fileno() for file in (question, stdin, stdout, stderr)]
            socket.send_fds(self._requests, [b"?"], files)
            answer = self._requests.recv(CODE.size, socket.MSG_WAITALL)
            assert len(answer) == CODE.size, "the process that forks has ended"
            (code,) = CODE.unpack(answer)
            return subprocess.CompletedProcess(
                asked["arguments"], code, _said(stdout), _said(stderr)
            )

    def stop(self) -> int:
        """Let it end, and give its exit code."""
        self._requests.close()
        return self._process.wait(timeout=60)


@cache
def the_forks() -> Forks:
    """Give the process that forks, the same to all tests of a run; `stop_forks` ends it."""
    return Forks()


def stop_forks() -> None:
    """End the process that forks, if there is one; it must not have failed."""
    if the_forks.cache_info().currsize:
        assert the_forks().stop() == 0
        the_forks.cache_clear()


def _environment(hash_seed: str) -> dict[str, str]:
    return {**os.environ, "PYTHONHASHSEED": hash_seed, "COLUMNS": "80", "NO_COLOR": "1"}


def _read_at_start(environment: dict[str, str]) -> dict[str, str]:
    return {name: said for name, said in environment.items() if name.startswith(_READ_AT_START)}


@contextmanager
def _holding(content: bytes) -> Iterator[IO[bytes]]:
    """Open a file of no name that holds this, at its beginning."""
    with tempfile.TemporaryFile() as file:
        file.write(content)
        file.seek(0)
        yield file


def _said(file: IO[bytes]) -> bytes:
    file.seek(0)
    return file.read()
