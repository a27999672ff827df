"""Measure modules and functions as the eye meets them.

A function's lines are its signature and its body. Docstrings and blank lines are not counted: they
are rests for the eye, and counting them would reward writing fewer. Comments are counted, because
they are read in the way of the code, and so are the lines of functions within the function.
"""

import ast
from collections.abc import Iterable, Iterator
from statistics import median

from tests.house.rules import MOST_FUNCTION_LINES, MOST_MODULE_LINES, Function, Source, every_node


def module_lines(source: Source) -> int:
    """Count the lines of a module, the last one too when no line break ends it."""
    return source.text.count("\n") + (not source.text.endswith("\n") and bool(source.text))


def functions(source: Source) -> Iterator[Function]:
    """List every function and method of a module, nested ones too."""
    for node in every_node(source):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            yield node


def read_lines(source: Source, function: Function) -> int:
    """Count the lines of a function that are read: no docstring, no blank line."""
    first, last = function.lineno, function.end_lineno or function.lineno
    text = source.text.splitlines()
    written = {number for number in range(first, last + 1) if text[number - 1].strip()}
    return len(written - set(_docstring_lines(function)))


def _docstring_lines(function: Function) -> Iterator[int]:
    for node in ast.walk(function):
        if not isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)):
            continue
        if ast.get_docstring(node) is not None and node.body[0].lineno != node.lineno:
            yield from range(node.body[0].lineno, (node.body[0].end_lineno or 0) + 1)


def long_modules(source: Source) -> Iterator[str]:
    """Find modules of more lines than one idea takes."""
    if module_lines(source) > MOST_MODULE_LINES:
        yield f"{source.path}: {module_lines(source)} lines"


def long_functions(source: Source) -> Iterator[str]:
    """Find functions of more lines than fit in the eye."""
    for function in functions(source):
        lines = read_lines(source, function)
        if lines > MOST_FUNCTION_LINES:
            yield f"{source.path}:{function.lineno}: {function.name} has {lines} lines"


def median_read_lines(found: Iterable[Source]) -> float:
    """Give the median length of the functions of some modules, in lines that are read."""
    return median(
        read_lines(source, function) for source in found for function in functions(source)
    )
