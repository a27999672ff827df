"""Tell what the silence of a label is worth: which law obliges its maker to declare what.

A label may be held to two laws at once, its own and that of the kind of food it is on; then its
silence counts only where it counts under both.
"""

from collections.abc import Mapping, Set
from datetime import date
from enum import StrEnum
from functools import cache
from typing import Final

from daysworth.domain.foods import Food, FoodGroup, MadeOf
from daysworth.domain.labels import Regime
from daysworth.domain.restrictions import Substance
from daysworth.reference.regimes import RegimeRow, regime_rows

COCONUT_COUNTED_AS_NUT_UNTIL_DAY: Final = date(2025, 1, 6)
"""Until then FDA counted coconut among the tree nuts (guidance edition 5, January 2025; the day is
from memory), so that an older "tree nuts" may stand for coconut."""


class Duty(StrEnum):
    """What a law asks of a maker: to declare a substance, or only to list every ingredient."""

    DECLARED = "declared"
    BY_LIST = "by_list"


def regimes_of(food: Food, *, named: Regime | None) -> frozenset[Regime]:
    """Give the laws a label is held to: the one named for it, the food's, the one of its kind.

    Meat, poultry and egg foods in the United States are the Department of Agriculture's, whatever
    a reader ticked. No law named, and none known of the food: `other`.
    """
    said = {regime for regime in (named, food.regime) if regime is not None}
    if Regime.US_FDA in said and _is_meat_or_egg(food):
        said.add(Regime.US_MEAT)
    return frozenset(said or {Regime.OTHER})


def _is_meat_or_egg(food: Food) -> bool:
    return (
        food.group is FoodGroup.MEAT_AND_POULTRY
        or food.made_of in (MadeOf.MEAT, MadeOf.EGG)
        or Substance.MEAT in food.facts.contains
    )


def duty(
    substance: Substance, *, regimes: Set[Regime], packed_on: date | None = None
) -> Duty | None:
    """Tell what all these laws ask of the maker for a substance; None: nothing.

    `packed_on` None: not known. A substance that a law has named only since some day counts from
    that day on.
    """
    found = {_duty_under(substance, regime=regime, packed_on=packed_on) for regime in regimes}
    if not found or None in found:
        return None
    return Duty.BY_LIST if Duty.BY_LIST in found else Duty.DECLARED


@cache
def _duty_under(substance: Substance, *, regime: Regime, packed_on: date | None) -> Duty | None:
    row = _rows().get((regime, substance))
    if row is None:
        return None
    if packed_on is None:
        return None if row.needs_pack_date else Duty(row.how)
    return Duty(row.how) if packed_on >= row.from_on else None


@cache
def _rows() -> Mapping[tuple[Regime, Substance], RegimeRow]:
    return {(Regime(row.regime), Substance(row.substance)): row for row in regime_rows()}


@cache
def named_by_a_law() -> frozenset[Substance]:
    """Give the substances that some law makes declarable, so that elsewhere silence says little."""
    return frozenset(substance for _, substance in _rows())


def lists_every_ingredient(regimes: Set[Regime]) -> bool:
    """Tell whether a complete list under these laws is known to be one."""
    return bool(regimes) and Regime.OTHER not in regimes


@cache
def _turning_days() -> tuple[date, ...]:
    days = {row.from_on for row in _rows().values()} | {COCONUT_COUNTED_AS_NUT_UNTIL_DAY}
    return tuple(sorted(days, reverse=True))


@cache
def packed_since_day(packed_on: date) -> date:
    """Give the last day on which a law changed, up to a day of packing: all that matters of it."""
    return next((day for day in _turning_days() if day <= packed_on), date.min)


def may_mean_coconut(*, regimes: Set[Regime], packed_on: date | None) -> bool:
    """Tell whether "tree nuts" on this label may stand for coconut."""
    if not regimes & {Regime.US_FDA, Regime.OTHER, Regime.US_MEAT}:
        return False
    return packed_on is None or packed_on < COCONUT_COUNTED_AS_NUT_UNTIL_DAY
