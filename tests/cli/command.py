"""Run the command as a user does: the installed script, in a process of its own."""

import os
import subprocess
import sys
from collections.abc import Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Final

SCRIPT: Final = str(Path(sys.executable).with_name("daysworth"))
LONGEST_S: Final = 120
_AT_ONCE: Final = 2


@dataclass(frozen=True)
class Ran:
    """What a process left behind."""

    exit_code: int
    out: bytes
    err: str

    @property
    def text(self) -> str:
        """Give standard output as words."""
        return self.out.decode()


def environment(hash_seed: int | None = None) -> dict[str, str]:
    """Give this process's environment, with a hash seed of its own where one is asked for."""
    fixed = {} if hash_seed is None else {"PYTHONHASHSEED": str(hash_seed)}
    return {**os.environ, **fixed}


def daysworth(*arguments: str, stdin: bytes = b"", hash_seed: int | None = None) -> Ran:
    """Run `daysworth` with arguments and standard input."""
    return run([SCRIPT, *arguments], stdin=stdin, hash_seed=hash_seed)


def run(command: Sequence[str], *, stdin: bytes = b"", hash_seed: int | None = None) -> Ran:
    """Run any command to its end."""
    ran = subprocess.run(
        command,
        input=stdin,
        capture_output=True,
        timeout=LONGEST_S,
        check=False,
        env=environment(hash_seed),
    )
    return Ran(ran.returncode, ran.stdout, ran.stderr.decode())


def streamed(pieces: Iterable[bytes], *arguments: str) -> Ran:
    """Run `daysworth` on a stream that is made while it reads, and may be broken off by it."""
    with subprocess.Popen(
        [SCRIPT, *arguments],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as process:
        assert process.stdin is not None
        try:
            for piece in pieces:
                process.stdin.write(piece)
        except BrokenPipeError:
            pass  # It has read as much as it wants to.
        out, err = _rest(process)
    return Ran(process.returncode, out, err.decode())


def _rest(process: "subprocess.Popen[bytes]") -> tuple[bytes, bytes]:
    try:
        return process.communicate(timeout=LONGEST_S)
    except BrokenPipeError:
        # Closing standard input flushes what it no longer reads.
        assert process.stdout is not None
        assert process.stderr is not None
        return process.stdout.read(), process.stderr.read()


def piped(left: Sequence[str], right: Sequence[str]) -> Ran:
    """Run `left | right`, joined by a real pipe, and give what comes out on the right."""
    with (
        subprocess.Popen(left, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as first,
        subprocess.Popen(
            right, stdin=first.stdout, stdout=subprocess.PIPE, stderr=subprocess.PIPE
        ) as second,
    ):
        assert first.stdout is not None
        first.stdout.close()
        out, err = second.communicate(timeout=LONGEST_S)
        assert first.stderr is not None
        said = first.stderr.read()
    assert (first.returncode, said) == (0, b"")
    return Ran(second.returncode, out, err.decode())


def cut_off(*arguments: str, after_bytes: int) -> Ran:
    """Run `daysworth … | head -c N`: read a little, and close the pipe."""
    with subprocess.Popen(
        [SCRIPT, *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        out = process.stdout.read(after_bytes)
        process.stdout.close()
        err = process.stderr.read()
    return Ran(process.returncode, out, err.decode())


def all_on_stdin(inputs: Sequence[bytes], *arguments: str) -> list[Ran]:
    """Run `daysworth` once for each input, a few at a time."""
    with ThreadPoolExecutor(_AT_ONCE) as pool:
        return list(pool.map(lambda given: daysworth(*arguments, stdin=given), inputs))


def all_of(asked: Sequence[Sequence[str]], *, stdin: bytes = b"") -> list[Ran]:
    """Run `daysworth` once for each list of arguments, a few at a time, on the same input."""
    with ThreadPoolExecutor(_AT_ONCE) as pool:
        return list(pool.map(lambda arguments: daysworth(*arguments, stdin=stdin), asked))
