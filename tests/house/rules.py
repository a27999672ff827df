"""State the house rules as functions from source to offences, so that each can be tested itself."""

import ast
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from typing import Final

ROOT: Final = Path(__file__).parents[2]
MOST_MODULE_LINES: Final = 400
MOST_FUNCTION_LINES: Final = 50
MEDIAN_FUNCTION_LINES: Final = 12
VAGUE: Final = frozenset(
    {"util", "utils", "helper", "helpers", "manager", "managers", "common", "base", "misc"}
)
SECOND_WORDS: Final = {
    "warehouse": "store",
    "inventory": "ledger or stock",
    "basket": "parcel",
    "user": "household, coordinator or volunteer",
    "batch_no": "lot",
    "location": "place",
    "product": "food",
    "recipient": "household",
    "expiry": "last good day",
}
"""Second words for things that have one already, and the one they have."""
UNITS: Final = re.compile(
    r"(_(kcal|g|mg|ml|l|cm|kg|days|months|years|100g|day|kj|share|on|at)\b|_kcal$)"
)
MEASURED: Final = re.compile(r"^(energy|mass|water|protein|sodium|weight|height|net_mass)(_|$)")

Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True)
class Source:
    """One parsed module, with its path from the root."""

    path: str
    text: str

    @property
    def tree(self) -> ast.Module:
        """Parse the module."""
        return ast.parse(self.text)

    @property
    def is_test(self) -> bool:
        """Tell whether it is a test's, to which the rules on signatures do not apply."""
        return self.path.startswith("tests/")


def sources(*folders: str) -> list[Source]:
    """Read every module under the given folders of the repository."""
    paths = sorted(path for folder in folders for path in (ROOT / folder).rglob("*.py"))
    return [Source(str(path.relative_to(ROOT)), path.read_text("utf-8")) for path in paths]


def functions(source: Source) -> Iterator[Function]:
    """List every function and method of a module."""
    for node in ast.walk(source.tree):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            yield node


def lines_of(function: Function) -> int:
    """Count the lines a reader takes in: the signature and the body, not the docstring."""
    first, last = function.lineno, function.end_lineno or function.lineno
    body = function.body[0]
    documented = ast.get_docstring(function) is not None
    doc = (body.end_lineno or body.lineno) - body.lineno + 1 if documented else 0
    return last - first + 1 - doc


def too_long(source: Source) -> Iterator[str]:
    """Find modules and functions that do not fit the eye."""
    length = source.text.count("\n")
    if length > MOST_MODULE_LINES:
        yield f"{source.path}: {length} lines"
    for function in functions(source):
        if lines_of(function) > MOST_FUNCTION_LINES:
            yield f"{source.path}:{function.lineno}: {function.name} has {lines_of(function)} lines"


def median_lines(found: Iterable[Source]) -> float:
    """Give the median length of the functions of some modules, in lines."""
    return median(lines_of(function) for source in found for function in functions(source))


def vague_names(source: Source) -> Iterator[str]:
    """Find modules and packages whose name says nothing."""
    for part in Path(source.path).with_suffix("").parts:
        if part in VAGUE:
            yield f"{source.path}: {part}"


def second_words(source: Source) -> Iterator[str]:
    """Find names of our own that are a second word for one of the trade's."""
    for name, line in _own_names(source.tree):
        for word, ours in SECOND_WORDS.items():
            if re.search(rf"(^|_){word}s?(_|$)", name.lower()):
                yield f"{source.path}:{line}: {name} (we say {ours})"


def _own_names(tree: ast.Module) -> Iterator[tuple[str, int]]:
    for node in ast.walk(tree):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)):
            yield node.name, node.lineno
        elif isinstance(node, ast.arg):
            yield node.arg, node.lineno
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            yield node.id, node.lineno


def fields(source: Source) -> Iterator[tuple[str, str, int]]:
    """List the annotated fields of classes: name, annotation as written, line."""
    for node in ast.walk(source.tree):
        if isinstance(node, ast.ClassDef):
            for item in node.body:
                if isinstance(item, ast.AnnAssign) and isinstance(item.target, ast.Name):
                    yield item.target.id, ast.unparse(item.annotation), item.lineno


def dates_without_ending(source: Source) -> Iterator[str]:
    """Find date fields that do not end in _on or _day, and instants that do not end in _at."""
    for name, annotation, line in fields(source):
        if name == "as_of":
            continue
        if re.search(r"\bdate\b", annotation) and not name.endswith(("_on", "_day")):
            yield f"{source.path}:{line}: {name}"
        if re.search(r"\bdatetime\b", annotation) and not name.endswith("_at"):
            yield f"{source.path}:{line}: {name}"


def figures_without_unit(source: Source) -> Iterator[str]:
    """Find fields for a measured figure whose name does not say its unit."""
    for name, annotation, line in fields(source):
        is_measured = re.search(r"\bfloat\b", annotation) and MEASURED.search(name)
        if is_measured and not UNITS.search(name):
            yield f"{source.path}:{line}: {name}"


def loose_signatures(source: Source) -> Iterator[str]:
    """Find functions with more than two positional arguments, or with a positional boolean."""
    for function in functions(source):
        placed = [a for a in function.args.posonlyargs + function.args.args if a.arg not in _SELF]
        where = f"{source.path}:{function.lineno}: {function.name}"
        if len(placed) > 2:
            yield f"{where} takes {len(placed)} positional arguments"
        for argument in placed:
            if argument.annotation and re.search(r"\bbool\b", ast.unparse(argument.annotation)):
                yield f"{where} takes {argument.arg} by position"


_SELF: Final = frozenset({"self", "cls"})


def undocumented(source: Source) -> Iterator[str]:
    """Find public modules, classes and functions whose docstring does not begin with a sentence."""
    if not _is_sentence(ast.get_docstring(source.tree)):
        yield f"{source.path}: the module"
    for node in _public(source.tree):
        if not _is_sentence(ast.get_docstring(node)):
            yield f"{source.path}:{node.lineno}: {node.name}"


def _public(tree: ast.Module | ast.ClassDef) -> Iterator[Function | ast.ClassDef]:
    for node in tree.body:
        if not isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)):
            continue
        if node.name.startswith("_"):
            continue
        yield node
        if isinstance(node, ast.ClassDef):
            yield from _public(node)


def _is_sentence(docstring: str | None) -> bool:
    first = (docstring or "").split("\n\n")[0].strip()
    return first.endswith((".", ":", "?"))


def bare_any(source: Source) -> Iterator[str]:
    """Find Any as a type: it says nothing and checks nothing."""
    for node in ast.walk(source.tree):
        if isinstance(node, ast.Name) and node.id == "Any":
            yield f"{source.path}:{node.lineno}"


def caught_all(source: Source) -> Iterator[str]:
    """Find handlers that catch everything, and so hide what nobody thought of."""
    for node in ast.walk(source.tree):
        if isinstance(node, ast.ExceptHandler):
            caught = "" if node.type is None else ast.unparse(node.type)
            if caught in ("", "Exception", "BaseException"):
                yield f"{source.path}:{node.lineno}"


def _joined(*parts: str) -> str:
    return "".join(parts)


FORBIDDEN_TEXT: Final = {
    "a package index": re.compile(_joined('https?://[^ "]*(py', "pi|python", "hosted|npm", "js)")),
    "a path of one machine": re.compile(r"(?<![\w.])/(work|root|home|farm)/"),
    "a place outside the repository": re.compile(_joined(r"\.\./", "shared")),
    "something unfinished": re.compile(
        _joined(r"\b(TO", "DO|FIX", "ME|X", "XX)\\b|NotImpl", "emented")
    ),
    "a check that may not check": re.compile(
        _joined("pytest\\.sk", "ip|mark\\.sk", "ip|xf", "ail\\(|assert T", "rue")
    ),
}
"""What no file may say, each written so that it does not say it itself."""


def forbidden_text(path: str, text: str) -> Iterator[str]:
    """Find what no file of the repository may say."""
    for what, pattern in FORBIDDEN_TEXT.items():
        for number, line in enumerate(text.splitlines(), start=1):
            if pattern.search(line):
                yield f"{path}:{number}: {what}"
