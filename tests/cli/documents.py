"""Make a small good snapshot document, and break one thing in it."""

import copy
import json
from collections.abc import Iterator
from functools import cache
from typing import Final

from daysworth.answers.snapshot_file import write_snapshot
from daysworth.demo.synthetic import StoreSize, synthetic_store

Json = dict[str, "Json"] | list["Json"] | str | int | float | bool | None
Path = tuple[str | int, ...]

SMALL: Final = StoreSize(households=6, lots=12, seed=236, own_share=0.3)
"""A store with a formula-fed infant, allergies, diets and stock that homes keep."""


@cache
def _good_text() -> bytes:
    document = _parsed(write_snapshot(synthetic_store(SMALL)))
    foods, lots = at(document, "foods"), at(document, "lots")
    assert isinstance(foods, list)
    assert isinstance(lots, list)
    used = {at(lot, "food") for lot in lots if isinstance(at(lot, "food"), str)}
    kept: list[Json] = [food for food in foods if at(food, "id") in used]
    return written(changed(document, ("foods",), kept))


def good() -> Json:
    """Give a fresh copy of a good document: a synthetic store with the foods its lots are of."""
    return _parsed(_good_text())


def good_text() -> bytes:
    """Give the good document as a file holds it."""
    return _good_text()


def _parsed(text: bytes) -> Json:
    document: Json = json.loads(text)
    return document


def written(document: Json) -> bytes:
    """Write a document as JSON, NaN and infinity as Python spells them."""
    return json.dumps(document).encode()


def at(document: Json, *path: str | int) -> Json:
    """Give what stands at a path."""
    for part in path:
        match document, part:
            case dict(), str():
                document = document[part]
            case list(), int():
                document = document[part]
            case _:
                raise LookupError(path)
    return document


def changed(document: Json, path: Path, value: Json) -> Json:
    """Give a copy with a value put at a path, which is made where its last part is missing."""
    if not path:
        return copy.deepcopy(value)
    fresh = copy.deepcopy(document)
    match at(fresh, *path[:-1]), path[-1]:
        case dict() as holder, str() as name:
            holder[name] = copy.deepcopy(value)
        case list() as listed, int() as number:
            listed[number] = copy.deepcopy(value)
        case _:
            raise LookupError(path)
    return fresh


def without(document: Json, path: Path) -> Json:
    """Give a copy with the field at a path left out."""
    fresh = copy.deepcopy(document)
    holder, last = at(fresh, *path[:-1]), path[-1]
    assert isinstance(holder, dict)
    assert isinstance(last, str)
    del holder[last]
    return fresh


def replaced_text(before: bytes, after: bytes) -> bytes:
    """Give the good document as a file, with one piece of its text replaced."""
    text = good_text()
    assert before in text
    return text.replace(before, after, 1)


def nodes(document: Json, path: Path = ()) -> Iterator[tuple[Path, Json]]:
    """List every node of a document with its path, the whole first."""
    yield path, document
    if isinstance(document, dict):
        for name, value in document.items():
            yield from nodes(value, (*path, name))
    elif isinstance(document, list):
        for number, value in enumerate(document):
            yield from nodes(value, (*path, number))
