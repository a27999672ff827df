"""Deliver a notice to this machine: into a file, or onto standard output."""

import os
import secrets
import shutil
import sys
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from daysworth_client.deliveries import terminal_text
from daysworth_client.errors import ChannelRefused, DeliveryFailed
from daysworth_client.store_answers import NoticePart
from daysworth_client.weeks import read_week

_WEEK: Final = "{week}"
_HTML: Final = ".html"


@dataclass(frozen=True, slots=True)
class FileChannel:
    """Write the notice's text into a file, or its HTML where the name ends in .html.

    Whoever reads the file sees the old notice or the new, never a part of one. `{week}` in the
    path stands for the notice's week.
    """

    path: str
    written: str

    @property
    def label(self) -> str:
        """Give what it is, without its path."""
        return "file"

    @property
    def shown(self) -> str:
        """Give it as it was written."""
        return self.written

    def deliver(self, notice: NoticePart) -> tuple[str, ...]:
        """Write the file. Raises DeliveryFailed."""
        text = notice["html" if self.path.endswith(_HTML) else "text"]
        try:
            path = self.path.replace(_WEEK, read_week(notice["week"]))
            _write_whole(Path(path).resolve(), text.encode())
        except OSError as fault:
            raise DeliveryFailed(f"it cannot be written: {fault.strerror or fault}") from fault
        except ValueError:
            # A week that is none could lead to another folder.
            raise DeliveryFailed("the notice's week makes no name of a file") from None
        return ()


class StandardOutput:
    """Print the notice's text."""

    written: Final = "-"
    label: Final = "standard output"
    shown: Final = "standard output"

    def deliver(self, notice: NoticePart) -> tuple[str, ...]:
        """Print the text, at once. Raises DeliveryFailed."""
        try:
            sys.stdout.write(terminal_text(notice))
            sys.stdout.flush()
        except (OSError, ValueError) as fault:
            raise DeliveryFailed("it does not take the text") from fault
        return ()


def read_file(path: str, *, written: str) -> FileChannel:
    """Read the path of a file. Raises ChannelRefused where it names none."""
    if not path or path.endswith((os.sep, f"{os.sep}.", f"{os.sep}..")) or path in (".", ".."):
        raise ChannelRefused("file: is followed by the path of a file")
    return FileChannel(path, written)


def _write_whole(path: Path, content: bytes) -> None:
    part = path.with_name(f".{secrets.token_hex(8)}.part")
    try:
        with part.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        with suppress(FileNotFoundError):
            shutil.copymode(path, part)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
