"""State house rules as functions from source to offences, so that each can be tested itself.

The rules on size, names, signatures, imports and words stand in modules of their own beside this.
"""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

Function = ast.FunctionDef | ast.AsyncFunctionDef

MOST_MODULE_LINES: Final = 400
MOST_FUNCTION_LINES: Final = 50
MEDIAN_FUNCTION_LINES: Final = 12
ROOT: Final = Path(__file__).parents[2]
VAGUE: Final = frozenset(
    {"util", "utils", "helper", "helpers", "manager", "managers", "common", "base", "misc"}
)


@dataclass(frozen=True)
class Source:
    """One module: its path from the root, and its text."""

    path: str
    text: str


def sources(*folders: str) -> list[Source]:
    """Read every module under the given folders of the repository."""
    paths = sorted(path for folder in folders for path in (ROOT / folder).rglob("*.py"))
    return [Source(str(path.relative_to(ROOT)), path.read_text("utf-8")) for path in paths]


@cache
def parsed(source: Source) -> ast.Module:
    """Parse a module once, however many rules ask for it."""
    return ast.parse(source.text)


@cache
def every_node(source: Source) -> tuple[ast.AST, ...]:
    """Walk a module once, however many rules look at what is in it."""
    return tuple(ast.walk(parsed(source)))


def vague_names(source: Source) -> Iterator[str]:
    """Find modules and packages whose name says nothing."""
    for part in Path(source.path).with_suffix("").parts:
        if part in VAGUE:
            yield f"{source.path}: {part}"


def dates_without_ending(source: Source) -> Iterator[str]:
    """Find date fields that do not end in _on or _day, and instants that do not end in _at.

    The as-of date has its name from the trade.
    """
    for name, annotation, line in _fields(source):
        if name == "as_of":
            continue
        if name == "at" or annotation.startswith("Callable"):
            # The instant of a deed has its name from the ledger; a clock only gives instants.
            continue
        if re.search(r"\bdate\b", annotation) and not name.endswith(("_on", "_day")):
            yield f"{source.path}:{line}: {name}"
        if re.search(r"\bdatetime\b", annotation) and not name.endswith("_at"):
            yield f"{source.path}:{line}: {name}"


def _fields(source: Source) -> Iterator[tuple[str, str, int]]:
    for node in every_node(source):
        if isinstance(node, ast.ClassDef):
            for item in node.body:
                if isinstance(item, ast.AnnAssign) and isinstance(item.target, ast.Name):
                    yield item.target.id, ast.unparse(item.annotation), item.lineno
