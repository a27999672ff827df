"""Keep text to the columns of a page, whatever letters people's names have in them."""

from collections.abc import Iterator
from typing import Final
from unicodedata import east_asian_width

WIDTH: Final = 72
"""The columns of a line of mail."""

_CUT: Final = "…"


def one_line(name: str) -> str:
    """Write a name so that nothing in it breaks the line, turns it round or moves the cursor."""
    spaced = "".join(" " if letter.isspace() else letter for letter in name)
    return "".join(letter if letter.isprintable() else "\ufffd" for letter in spaced)


def columns(text: str) -> int:
    """Count the columns that a text takes, where wide letters take two."""
    return sum(2 if east_asian_width(letter) in "WF" else 1 for letter in text)


def fitted(name: str, most: int) -> str:
    """Write a name in at most so many columns; one that is cut short says so."""
    kept = one_line(name)
    if columns(kept) <= most:
        return kept
    return _head(kept, room=most - len(_CUT)).rstrip() + _CUT


def wrapped(text: str, *, mark: str = "") -> Iterator[str]:
    """Break a text into lines of at most `WIDTH` columns, the first after a mark such as "- "."""
    room = WIDTH - len(mark)
    before, line = mark, ""
    for piece in _pieces(text, room=room):
        longer = f"{line} {piece}" if line else piece
        if columns(longer) <= room:
            line = longer
        else:
            yield before + line
            before, line = " " * len(mark), piece
    if line:
        yield before + line


def _pieces(text: str, *, room: int) -> Iterator[str]:
    for word in text.split():
        rest = word
        while columns(rest) > room:
            head = _head(rest, room=room)
            yield head
            rest = rest[len(head) :]
        yield rest


def _head(text: str, *, room: int) -> str:
    """Give as much of the beginning of a text as fits."""
    end = taken = 0
    for letter in text:
        taken += columns(letter)
        if taken > room:
            break
        end += 1
    return text[:end]
