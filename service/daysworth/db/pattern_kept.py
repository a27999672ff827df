"""Keep patterns, and what kits have of them, as JSON text; letters beyond ASCII are escaped."""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from functools import cache
from typing import Final

from pydantic import TypeAdapter

from daysworth.domain.meal_kits import KitToPack
from daysworth.domain.meal_patterns import MealPattern, Waiver
from daysworth.domain.wares import WareKind

_NO_SPACE: Final = (",", ":")


def pattern_text(pattern: MealPattern) -> str:
    """Write a pattern, the same one always as the same text."""
    return _written(asdict(pattern))


def pattern_from(text: str) -> MealPattern:
    """Read a pattern."""
    return _patterns().validate_json(text)


def waivers_text(waivers: Iterable[Waiver]) -> str:
    """Write waivers, in their order."""
    return _written([asdict(waiver) for waiver in waivers])


def waivers_from(text: str) -> tuple[Waiver, ...]:
    """Read waivers."""
    return _waivers().validate_json(text)


def steps_text(steps: Sequence[str]) -> str:
    """Write the steps of serving, in their order."""
    return _written(list(steps))


def steps_from(text: str) -> tuple[str, ...]:
    """Read the steps of serving."""
    return tuple(json.loads(text))


def wares_text(wares: Mapping[WareKind, int]) -> str:
    """Write how many of each ware there are."""
    return _written({str(kind): units for kind, units in wares.items()})


def wares_from(text: str) -> dict[WareKind, int]:
    """Read how many of each ware there are."""
    return {WareKind(kind): units for kind, units in json.loads(text).items()}


def kits_text(kits: Iterable[KitToPack]) -> str:
    """Write kits that are to be put up, in their order."""
    return _written([asdict(kit) for kit in kits])


def kits_from(text: str) -> tuple[KitToPack, ...]:
    """Read kits that are to be put up."""
    return _kits().validate_json(text)


def _written(value: object) -> str:
    return json.dumps(value, sort_keys=True, separators=_NO_SPACE)


@cache
def _patterns() -> TypeAdapter[MealPattern]:
    return TypeAdapter(MealPattern)


@cache
def _waivers() -> TypeAdapter[tuple[Waiver, ...]]:
    return TypeAdapter(tuple[Waiver, ...])


@cache
def _kits() -> TypeAdapter[tuple[KitToPack, ...]]:
    return TypeAdapter(tuple[KitToPack, ...])
