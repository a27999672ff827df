"""Make a believable synthetic store of any size; the same seed gives the same bytes.

Every draw comes from `random.Random(seed).random()`, the one method whose sequence Python promises
to keep. Shares of people with an allergy or a diet are our judgement, near published prevalences.
"""

import random
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import Final, TypeVar

from daysworth.demo.synthetic_labels import label_of
from daysworth.demo.synthetic_people import synthetic_households
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.errors import InputRefused
from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId, PlaceId, StoreId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import LabelReading
from daysworth.domain.lots import Condition, Lot, Place
from daysworth.domain.people import Household
from daysworth.domain.restrictions import Substance, with_implied
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot

Choice = TypeVar("Choice")

SELF_FILLED_WATER: Final = FoodId("water_self_filled")
MOST_HOUSEHOLDS: Final = 5_000
MOST_LOTS: Final = 200_000
DEFAULT_TAKEN_ON: Final = date(2026, 9, 1)


class Dates(StrEnum):
    """How hard the dates are: `slack` keeps for months to years, `tight` for days to weeks."""

    SLACK = "slack"
    TIGHT = "tight"


_DAYS_AHEAD: Final = {Dates.SLACK: (45, 900), Dates.TIGHT: (1, 150)}
_LOTS_A_PLACE: Final = 120
_WATER_EVERY: Final = 40
_WATER_DAYS: Final = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class StoreSize:
    """How large and how hard a synthetic store is. Raises InputRefused for what is out of range.

    `own_share` in [0, 1] is the share of lots that households keep for themselves.
    """

    households: int
    lots: int
    seed: int
    taken_on: date = DEFAULT_TAKEN_ON
    dates: Dates = Dates.SLACK
    own_share: float = 0.0

    def __post_init__(self) -> None:
        if not 1 <= self.households <= MOST_HOUSEHOLDS:
            raise InputRefused(f"a synthetic store has 1 to {MOST_HOUSEHOLDS} households")
        if not 0 <= self.lots <= MOST_LOTS:
            raise InputRefused(f"a synthetic store has 0 to {MOST_LOTS} lots")
        if not 0 <= self.own_share <= 1:
            raise InputRefused("the share of lots that households keep is from 0 to 1")


def synthetic_store(size: StoreSize) -> Snapshot:
    """Make a store of a size. Raises SnapshotRefused where `taken_on` is out of reach."""
    rng = random.Random(size.seed)
    homes = synthetic_households(rng, count=size.households, taken_on=size.taken_on)
    places = tuple(
        Place(id=PlaceId(f"P{n:03}"), name=f"Shelf {n}")
        for n in range(1, 2 + size.lots // _LOTS_A_PLACE)
    )
    shelves = _Shelves(rng, size=size, homes=homes, places=places)
    return Snapshot(
        store=StoreId(f"synthetic-{size.seed}"),
        store_name=f"Synthetic store {size.seed}",
        version=1,
        taken_on=size.taken_on,
        settings=StoreSettings(timezone="UTC"),
        households=homes,
        foods=tuple(generic_foods().values()),
        places=places,
        lots=tuple(shelves.lot(n) for n in range(1, size.lots + 1)),
    )


class _Shelves:
    """Draw lots one after another."""

    def __init__(
        self,
        rng: random.Random,
        *,
        size: StoreSize,
        homes: Sequence[Household],
        places: Sequence[Place],
    ) -> None:
        self._rng, self._size, self._homes, self._places = rng, size, homes, places
        foods = generic_foods().values()
        self._foods = [food for food in foods if not food.is_water]
        self._water = generic_foods()[SELF_FILLED_WATER]
        self._labels = {food.id: _labels(rng, food) for food in self._foods}
        people = sum(len(home.members) for home in homes)
        waters = max(1, size.lots // _WATER_EVERY)
        per_lot_l = people * StoreSettings().water_l_per_person_day * _WATER_DAYS / waters
        self._water_units = max(1, round(per_lot_l / self._water.stored_water_l()))

    def lot(self, number: int) -> Lot:
        """Draw the lot with a number; every fortieth holds self-filled water."""
        if number % _WATER_EVERY == 1:
            return self._water_lot(number)
        food = _one_of(self._rng, self._foods)
        kind, printed = self._label(food)
        home = _one_of(self._rng, self._homes)
        is_own = self._rng.random() < self._size.own_share
        units = 1 + int(self._rng.random() ** 2 * 36)
        return Lot(
            id=LotId(f"L{number:06}"),
            food=food.id,
            place=_one_of(self._rng, self._places).id,
            units=units,
            owner=self._owner(home, is_own=is_own),
            is_shared=not is_own,
            units_promised=units // 3 if self._rng.random() < 0.01 else 0,
            label_kind=kind,
            printed=printed,
            condition=self._condition(),
            readings=_one_of(self._rng, self._labels[food.id]),
        )

    def _water_lot(self, number: int) -> Lot:
        filled_on = self._size.taken_on - timedelta(days=int(self._rng.random() * 150))
        return Lot(
            id=LotId(f"L{number:06}"),
            food=self._water.id,
            place=_one_of(self._rng, self._places).id,
            units=self._water_units,
            label_kind=LabelKind.PACKED_ON,
            printed=filled_on.isoformat(),
        )

    def _owner(self, home: Household, *, is_own: bool) -> HouseholdId | None:
        return home.id if is_own or self._rng.random() < 0.3 else None

    def _label(self, food: Food) -> tuple[LabelKind, str | None]:
        draw = self._rng.random()
        if draw < 0.02:
            return LabelKind.UNLABELLED, None
        first, last = _DAYS_AHEAD[self._size.dates]
        ahead = -20 if draw < 0.04 else first + int(self._rng.random() * (last - first))
        day = self._size.taken_on + timedelta(days=ahead)
        is_use_by = food.group in (FoodGroup.INFANT_FORMULA, FoodGroup.BABY_FOOD)
        kind = LabelKind.USE_BY if is_use_by else LabelKind.BEST_BY
        by_month = self._size.dates is Dates.SLACK and self._rng.random() < 0.5
        return kind, day.isoformat()[:7] if by_month else day.isoformat()

    def _condition(self) -> Condition:
        draw = self._rng.random()
        if draw < 0.003:
            return Condition.DAMAGED
        return Condition.QUARANTINED if draw < 0.005 else Condition.SOUND


def _labels(rng: random.Random, food: Food) -> tuple[tuple[LabelReading, ...], ...]:
    """Give what is read on four makers' labels: nothing on one, and some "may contain" on one."""
    plain = with_implied(food.facts.contains)
    usual = with_implied(food.facts.may_contain) - plain
    traces = frozenset({Substance.PEANUT, Substance.TREE_NUT, Substance.MILK}) - plain
    more = with_implied(frozenset(one for one in sorted(usual) if rng.random() < 0.5))
    nothing: frozenset[Substance] = frozenset()
    return (
        (),
        (label_of(food, contains=plain, may_contain=nothing),),
        (label_of(food, contains=plain, may_contain=traces),),
        (label_of(food, contains=plain | more, may_contain=nothing),),
    )


def _one_of(rng: random.Random, choices: Sequence[Choice]) -> Choice:
    return choices[int(rng.random() * len(choices))]
