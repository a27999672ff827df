"""Find second words for what has a word, and figures that do not say their unit."""

import ast
from collections.abc import Iterator
from itertools import pairwise
from pathlib import PurePosixPath
from typing import Final

from tests.house.rules import Source, every_node
from tests.house.source_tree import words_of

SECOND_WORDS: Final = {
    "store": {"warehouse", "depot", "pantry", "larder", "storehouse"},
    "household": {"family", "user", "customer", "beneficiary"},
    "member": {"resident", "dependant", "dependent", "individual"},
    "lot": {"batch", "consignment", "item lot", "stock item"},
    "place": {"location", "storeroom", "bin"},
    "food": {"product", "article", "sku", "grocery"},
    "ledger": {"inventory"},
    "parcel": {"basket", "hamper"},
}
"""Each of our words, and the words that would say the same thing again (architecture, Words)."""

QUANTITIES: Final = frozenset(
    {"energy", "energies", "mass", "masses", "weight", "height", "water", "protein", "sodium"}
    | {"fat", "carbohydrate", "volume"}
    | {"age", "keeps", "grace", "horizon", "life", "duration"}
)
"""What is measured. The last six are times, for which the unit is days, months or years."""

UNITS: Final = frozenset(
    {"kcal", "kj", "g", "mg", "kg", "100g", "ml", "l", "litres", "gallons", "mm", "cm"}
    | {"days", "weeks", "months", "years"}
)
"""The units that names carry."""

RATIOS: Final = frozenset({"share", "fraction", "ratio", "count"})
"""Figures that have no unit, and say so."""

_OURS_BY_SECOND: Final = {word: ours for ours, words in SECOND_WORDS.items() for word in words}


def second_words(source: Source) -> Iterator[str]:
    """Find names of our own, anywhere that Python lets a name be made, that are second words."""
    for name, line in [(PurePosixPath(source.path).stem, 1), *_made_names(source)]:
        words = [_singular(word) for word in words_of(name)]
        said = [*words, *(f"{one} {next_one}" for one, next_one in pairwise(words))]
        for word in said:
            if word in _OURS_BY_SECOND:
                yield f"{source.path}:{line}: {name} (we say {_OURS_BY_SECOND[word]})"


def _singular(word: str) -> str:
    if word.endswith("ies"):
        return word[:-3] + "y"
    for ending in ("ches", "xes"):
        if word.endswith(ending):
            return word[:-2]
    return word.removesuffix("s")


def _made_names(source: Source) -> Iterator[tuple[str, int]]:
    for node in every_node(source):
        match node:
            case ast.FunctionDef() | ast.AsyncFunctionDef() | ast.ClassDef():
                yield node.name, node.lineno
            case ast.arg():
                yield node.arg, node.lineno
            case ast.Name(ctx=ast.Store()):
                yield node.id, node.lineno
            case ast.Attribute(ctx=ast.Store()):
                yield node.attr, node.lineno
            case ast.Import() | ast.ImportFrom():
                yield from ((n.asname, node.lineno) for n in node.names if n.asname)
            case ast.ExceptHandler(name=str(name)) | ast.MatchAs(name=str(name)):
                yield name, node.lineno


def figures_without_unit(source: Source) -> Iterator[str]:
    """Find numeric fields whose name speaks of a quantity and, after it, of no unit."""
    for node in every_node(source):
        if not isinstance(node, ast.ClassDef):
            continue
        for item in node.body:
            match item:
                case ast.AnnAssign(target=ast.Name(id=name), annotation=annotation):
                    if _is_numeric(annotation) and not _says_its_unit(name):
                        yield f"{source.path}:{item.lineno}: {node.name}.{name}"


def _is_numeric(annotation: ast.expr) -> bool:
    named = {node.id for node in ast.walk(annotation) if isinstance(node, ast.Name)}
    return bool(named & {"int", "float", "Decimal", "Fraction"})


def _says_its_unit(name: str) -> bool:
    words = words_of(name)
    at = [number for number, word in enumerate(words) if word in QUANTITIES]
    if not at:
        return True
    return bool((UNITS | RATIOS).intersection(words[at[0] + 1 :]))
