"""Read a packaged table of published facts, refusing a row that does not fit its columns.

Every table is UTF-8 CSV (RFC 4180) with a header. A fault names the file and the line, because
the only person who can meet one is whoever edited the table.
"""

import csv
from collections.abc import Callable, Iterator, Mapping
from importlib.resources import files
from typing import Final, TypeVar

Row = TypeVar("Row")
_REFERENCE: Final = "daysworth.reference"


class ReferenceDataError(Exception):
    """Say that a packaged table is broken: file, line, and what is wrong with it."""


def read_table(
    filename: str, build: Callable[[Mapping[str, str]], Row], *, package: str = _REFERENCE
) -> tuple[Row, ...]:
    """Read every row of a package's `data/filename` through `build`, in the file's order.

    Raises ReferenceDataError where a row has too many or too few cells, or where `build` raises
    KeyError (a missing column) or ValueError (a cell that does not fit).
    """
    text = files(package).joinpath("data", filename).read_text(encoding="utf-8")
    return tuple(_built(filename, text=text, build=build))


def _built(filename: str, *, text: str, build: Callable[[Mapping[str, str]], Row]) -> Iterator[Row]:
    reader = csv.DictReader(text.splitlines(), strict=True)
    for row in reader:
        where = f"{filename}, line {reader.line_num}"
        if None in row or None in row.values():
            raise ReferenceDataError(f"{where}: the cells do not match the header")
        try:
            yield build(row)
        except (KeyError, ValueError) as fault:
            raise ReferenceDataError(f"{where}: {fault}") from fault


def number(cell: str, *, least: float = 0.0, most: float = float("inf")) -> float:
    """Read a number within [least, most]. Raises ValueError otherwise, and for NaN."""
    value = float(cell)
    if not least <= value <= most:
        raise ValueError(f"{cell} is not between {least:g} and {most:g}")
    return value


def optional_number(cell: str, *, most: float = float("inf")) -> float | None:
    """Read a number of at least 0, or None from an empty cell. Raises ValueError as `number`."""
    return number(cell, most=most) if cell else None


def optional_int(cell: str, *, most: int) -> int | None:
    """Read a whole number within [0, most], or None from an empty cell. Raises ValueError."""
    return int(number(str(int(cell)), most=most)) if cell else None


def yes_no(cell: str) -> bool:
    """Read "yes" or "no". Raises ValueError for anything else."""
    if cell not in ("yes", "no"):
        raise ValueError(f'{cell!r} is neither "yes" nor "no"')
    return cell == "yes"


def listed(cell: str) -> frozenset[str]:
    """Read a list parted by semicolons; an empty cell is an empty set."""
    return frozenset(part.strip() for part in cell.split(";") if part.strip())
