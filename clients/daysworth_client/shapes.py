"""Hold what came as JSON against the types that name its parts."""

from collections.abc import Iterator
from functools import cache
from types import UnionType
from typing import TypeVar, cast, get_args, get_origin, get_type_hints, is_typeddict

_Part = TypeVar("_Part")


def read_as(part: type[_Part], value: object) -> _Part:
    """Take a value for the part of an answer that it should be; names beyond it are kept.

    Raises ValueError, which says where it is something else and not what stands there.
    """
    misfit = next(_misfits(value, part, where=""), None)
    if misfit is not None:
        raise ValueError(f"not as expected: {misfit.lstrip('.') or 'the whole'}")
    return cast("_Part", value)


def _misfits(value: object, type_: object, *, where: str) -> Iterator[str]:
    if is_typeddict(type_):
        yield from _misfits_by_name(value, cast("type", type_), where=where)
    elif get_origin(type_) is list:
        yield from _misfits_by_place(value, get_args(type_)[0], where=where)
    elif get_origin(type_) is dict:
        yield from _misfits_by_key(value, get_args(type_)[1], where=where)
    elif isinstance(type_, UnionType):
        if all(any(_misfits(value, one, where=where)) for one in get_args(type_)):
            yield where
    elif type(value) is not type_ and not (type_ is float and type(value) is int):
        yield where


def _misfits_by_name(value: object, part: type, *, where: str) -> Iterator[str]:
    if not isinstance(value, dict):
        yield where
        return
    hints, needed = _names(part)
    for name, hint in hints.items():
        if name in value:
            yield from _misfits(value[name], hint, where=f"{where}.{name}")
        elif name in needed:
            yield f"{where}.{name}"


def _misfits_by_place(value: object, inner: object, *, where: str) -> Iterator[str]:
    if not isinstance(value, list):
        yield where
        return
    for one in value:
        yield from _misfits(one, inner, where=f"{where}[]")


def _misfits_by_key(value: object, inner: object, *, where: str) -> Iterator[str]:
    if not isinstance(value, dict):
        yield where
        return
    for one in value.values():
        yield from _misfits(one, inner, where=f"{where}{{}}")


@cache
def _names(part: type) -> tuple[dict[str, object], frozenset[str]]:
    return get_type_hints(part), part.__required_keys__  # type: ignore[attr-defined]
