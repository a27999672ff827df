"""Run the real server in a process of its own, on a port of this machine's that is free."""

import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Final

from sqlalchemy import Engine

DAYSWORTH: Final = Path(sys.executable).with_name("daysworth")

UNREADABLE: Final = "Invalid HTTP request received"
"""What the server says of bytes that are no HTTP; they come from whoever sent them."""


@dataclass(frozen=True)
class Server:
    """Where a server is, and a token for it."""

    address: str
    token: str

    @property
    def headers(self) -> dict[str, str]:
        """Give the header that opens it."""
        return {"Authorization": f"Bearer {self.token}"}


def url_of(engine: Engine) -> str:
    """Give an engine's URL as the command takes it."""
    return engine.url.set(drivername=engine.dialect.name).render_as_string(hide_password=False)


@contextmanager
def serving(engine: Engine, *, token: str) -> Iterator[Server]:
    """Serve a database until the block ends; the server must then stop without complaint."""
    with started("serve", "--database", url_of(engine), "--port", "0") as said:
        address = next(word for word in said if word.startswith("http://"))
        yield Server(address.removesuffix("/v1/stores"), token)


@contextmanager
def started(*arguments: str) -> Iterator[list[str]]:
    """Run a command that serves, and give the words it printed before it began to."""
    with tempfile.TemporaryFile("w+") as complaints:
        process = subprocess.Popen(
            [DAYSWORTH, *arguments],
            stdout=subprocess.PIPE,
            stderr=complaints,
            env={**os.environ, "PYTHONUNBUFFERED": "1"},
            text=True,
        )
        assert process.stdout is not None
        try:
            yield _first_words(process.stdout)
        finally:
            process.terminate()
            process.wait(timeout=60)
            process.stdout.close()
            complaints.seek(0)
            assert [line for line in complaints if UNREADABLE not in line] == []


def _first_words(said: IO[str]) -> list[str]:
    words: list[str] = []
    for line in said:
        words.extend(line.split())
        if "/v1/stores\n" in line or "TOKEN=" in line:
            return words
    raise AssertionError("the server stopped before it said where it is")
