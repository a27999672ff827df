"""Find what the types and docstrings of public code leave unsaid, however it is spelt."""

import ast
from collections.abc import Iterator
from typing import Final

from tests.house.rules import Function, Source, every_node, parsed
from tests.house.size_rules import functions

MOST_PLACED: Final = 2
"""The arguments that may be given by position."""

_SELF: Final = frozenset({"self", "cls"})
_EVERYTHING: Final = frozenset({"Exception", "BaseException"})


def many_placed(source: Source) -> Iterator[str]:
    """Find functions with more than two positional parameters, self and cls aside."""
    for function in functions(source):
        count = len(_placed(function))
        if count > MOST_PLACED:
            yield f"{source.path}:{function.lineno}: {function.name} takes {count} by position"


def placed_booleans(source: Source) -> Iterator[str]:
    """Find booleans taken by position: annotated, defaulted to one, or gathered by a star."""
    for function in functions(source):
        for argument, default in _with_defaults(function):
            if _is_boolean(argument.annotation) or _is_boolean(default):
                yield f"{source.path}:{function.lineno}: {function.name} takes {argument.arg}"


def _placed(function: Function) -> list[ast.arg]:
    # Only a first parameter is the object itself; one called self further on is any parameter.
    placed = [*function.args.posonlyargs, *function.args.args]
    return placed[1:] if placed and placed[0].arg in _SELF else placed


def _with_defaults(function: Function) -> Iterator[tuple[ast.arg, ast.expr | None]]:
    placed, defaults = _placed(function), function.args.defaults
    for number, argument in enumerate(placed):
        from_last = len(placed) - number
        yield argument, defaults[-from_last] if from_last <= len(defaults) else None
    if function.args.vararg is not None:
        yield function.args.vararg, None


def _is_boolean(node: ast.expr | None) -> bool:
    for part in ast.walk(node) if node is not None else ():
        if isinstance(part, ast.Name) and part.id == "bool":
            return True
        if isinstance(part, ast.Constant) and (part.value is True or part.value is False):
            return True
        if isinstance(part, ast.Constant) and part.value == "bool":
            return True
    return False


def unsaid(source: Source) -> Iterator[str]:
    """Find public functions, classes and methods whose docstring's first line does not end."""
    for node, first in _first_lines(source):
        if not first.endswith("."):
            yield f"{source.path}:{node.lineno}: {node.name}: {first!r}"


def _first_lines(source: Source) -> Iterator[tuple[Function | ast.ClassDef, str]]:
    for node in _public(parsed(source)):
        yield node, (ast.get_docstring(node) or "").partition("\n")[0]


def _public(tree: ast.Module | ast.ClassDef) -> Iterator[Function | ast.ClassDef]:
    for node in tree.body:
        if not isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)):
            continue
        if not node.name.startswith("_"):
            yield node
            if isinstance(node, ast.ClassDef):
                yield from _public(node)


def any_as_a_type(source: Source) -> Iterator[str]:
    """Find Any under each of its names: imported, imported as another, dotted or quoted."""
    for node in every_node(source):
        if isinstance(node, ast.ImportFrom) and any(n.name == "Any" for n in node.names):
            yield f"{source.path}:{node.lineno}: imports Any"
        if isinstance(node, ast.Attribute) and node.attr == "Any":
            yield f"{source.path}:{node.lineno}: {ast.unparse(node)}"
    for annotation in _annotations(source):
        for node in ast.walk(annotation):
            quoted = node.value if isinstance(node, ast.Constant) else None
            if isinstance(quoted, str) and "Any" in _names_in(quoted):
                yield f"{source.path}:{annotation.lineno}: {quoted!r}"


def _annotations(source: Source) -> Iterator[ast.expr]:
    for node in every_node(source):
        written: ast.expr | None = None
        if isinstance(node, (ast.arg, ast.AnnAssign)):
            written = node.annotation
        elif isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            written = node.returns
        if written is not None:
            yield written


def _names_in(text: str) -> set[str]:
    try:
        quoted = ast.parse(text, mode="eval")
    except SyntaxError:
        # Prose within Annotated[...] is no type.
        return set()
    return {node.id for node in ast.walk(quoted) if isinstance(node, ast.Name)}


def caught_all(source: Source) -> Iterator[str]:
    """Find what catches everything: bare, by name, dotted, among others, or suppressed."""
    for node in every_node(source):
        match node:
            case ast.ExceptHandler(type=None):
                yield f"{source.path}:{node.lineno}: except"
            case ast.ExceptHandler(type=ast.expr() as caught) if _names_everything(caught):
                yield f"{source.path}:{node.lineno}: except {ast.unparse(caught)}"
            case ast.Call(func=ast.Name("suppress") | ast.Attribute(attr="suppress")):
                if any(_names_everything(argument) for argument in node.args):
                    yield f"{source.path}:{node.lineno}: suppress"


def _names_everything(caught: ast.expr) -> bool:
    listed = caught.elts if isinstance(caught, ast.Tuple) else [caught]
    return any(ast.unparse(one).rpartition(".")[2] in _EVERYTHING for one in listed)
