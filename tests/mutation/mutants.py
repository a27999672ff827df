"""Make mutants of a module: the same source with one decision changed.

A test suite that proves something about the module fails for every mutant that decides otherwise.
"""

import ast
from collections.abc import Iterator, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

COMPARISONS: Final[Mapping[type[ast.cmpop], tuple[type[ast.cmpop], ...]]] = {
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
}
SET_OPERATORS: Final[Mapping[type[ast.operator], tuple[type[ast.operator], ...]]] = {
    ast.BitOr: (ast.BitAnd,),
    ast.BitAnd: (ast.BitOr,),
    ast.Sub: (ast.BitOr, ast.BitAnd),
}
MEMBERS: Final[Mapping[str, Sequence[str]]] = {
    "Verdict": ("SUITABLE", "UNKNOWN", "UNSUITABLE"),
    "Presence": ("CONTAINED", "POSSIBLE", "IN_DOUBT", "NOT_KNOWN", "NOT_LISTED", "ABSENT"),
    "Duty": ("DECLARED", "BY_LIST"),
}
"""Enums whose members are exchanged for the next one."""


@dataclass(frozen=True, slots=True)
class Mutant:
    """One changed source: the line that changed, how, and the whole of it."""

    line: int
    what: str
    source: str


def mutants_of(source: str) -> Iterator[Mutant]:
    """Make every mutant of a module's source."""
    tree = ast.parse(source)
    left_alone = _left_alone(tree)
    for number, node in enumerate(ast.walk(tree)):
        if node not in left_alone:
            for what, instead in _changes(node):
                yield Mutant(_line(node), what, ast.unparse(_exchanged(tree, number, instead)))


def _line(node: ast.AST) -> int:
    return int(getattr(node, "lineno", 0))


def _left_alone(tree: ast.Module) -> frozenset[ast.AST]:
    """Gather what decides nothing: annotations, decorators, and what they hold."""
    roots: list[ast.AST] = []
    for node in ast.walk(tree):
        roots += getattr(node, "decorator_list", [])
        roots += [one for name in ("annotation", "returns") if (one := getattr(node, name, None))]
    return frozenset(within for root in roots for within in ast.walk(root))


def _exchanged(tree: ast.Module, number: int, instead: ast.AST) -> ast.Module:
    """Copy a tree with its node of that number exchanged."""
    copied = deepcopy(tree)
    old = next(node for n, node in enumerate(ast.walk(copied)) if n == number)
    for parent in ast.walk(copied):
        for name, value in ast.iter_fields(parent):
            if value is old:
                setattr(parent, name, instead)
            elif isinstance(value, list) and any(one is old for one in value):
                setattr(parent, name, [instead if one is old else one for one in value])
    return copied


def _changes(node: ast.AST) -> Iterator[tuple[str, ast.AST]]:
    match node:
        case ast.Constant(value=bool(value)):
            yield f"{value} to {not value}", ast.Constant(not value)
        case ast.Attribute(value=ast.Name(id=name), attr=attr) if attr in MEMBERS.get(name, ()):
            other = _next(MEMBERS[name], attr)
            yield f"{name}.{attr} to {other}", _with(node, "attr", other)
        case ast.Dict():
            yield from _other_tables(node)
        case ast.If() | ast.IfExp():
            yield from _forced(node)
        case ast.comprehension(ifs=[_, *_]):
            yield "filter taken away", _with(node, "ifs", [])
        case ast.Expr(value=ast.Yield() | ast.YieldFrom()):
            # A branch that is never taken keeps a generator what it is.
            never = ast.If(ast.Constant(value=False), [deepcopy(node)], [])
            yield "yield taken away", ast.fix_missing_locations(ast.copy_location(never, node))
        case _:
            yield from _other_operators(node)


def _other_operators(node: ast.AST) -> Iterator[tuple[str, ast.AST]]:
    match node:
        case ast.Compare(ops=[op]):
            for other in COMPARISONS[type(op)]:
                yield f"{_name(op)} to {other.__name__}", _with(node, "ops", [other()])
        case ast.BoolOp(op=ast.And()):
            yield "and to or", _with(node, "op", ast.Or())
        case ast.BoolOp(op=ast.Or()):
            yield "or to and", _with(node, "op", ast.And())
        case ast.UnaryOp(op=ast.Not(), operand=operand):
            yield "not taken away", deepcopy(operand)
        case ast.BinOp(op=op) | ast.AugAssign(op=op):
            for operator in SET_OPERATORS.get(type(op), ()):
                yield f"{_name(op)} to {operator.__name__}", _with(node, "op", operator())
        case _:
            return


def _name(node: ast.AST) -> str:
    return type(node).__name__


def _with(node: ast.AST, field: str, value: object) -> ast.AST:
    changed = deepcopy(node)
    setattr(changed, field, value)
    return changed


def _next(members: Sequence[str], attr: str) -> str:
    return members[(members.index(attr) + 1) % len(members)]


def _forced(node: ast.If | ast.IfExp) -> Iterator[tuple[str, ast.AST]]:
    for value in (True, False):
        yield f"condition always {value}", _with(node, "test", ast.Constant(value))


def _other_tables(table: ast.Dict) -> Iterator[tuple[str, ast.AST]]:
    """Take each entry out of a table of several, and exchange the values of neighbours."""
    keys, values = table.keys, table.values
    if len(keys) < 2 or None in keys:
        return
    for number, key in enumerate(keys):
        named = "" if key is None else ast.unparse(key)
        rest = ast.Dict(
            deepcopy(keys[:number] + keys[number + 1 :]),
            deepcopy(values[:number] + values[number + 1 :]),
        )
        yield f"entry {named} taken out", rest
    for number, (one, other) in enumerate(pairwise(values)):
        if ast.dump(one) != ast.dump(other):
            swapped = [*values[:number], other, one, *values[number + 2 :]]
            yield f"values {number} and {number + 1} exchanged", _with(table, "values", swapped)
