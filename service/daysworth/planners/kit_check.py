"""Check what is in a kit, or is to be: its rules, its figures, and whom it does not suit.

Whatever is asked about is judged, and nothing is refused for being a bad meal: a damaged tin, a
food past its date or what one household keeps for itself is told with the rest.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Annotated

from annotated_types import Ge, Gt, Le, Len

from daysworth.domain.eaters import is_advised
from daysworth.domain.errors import Fault, FieldsRefused
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, HouseholdId, IdLength, LotId
from daysworth.domain.kit_allergens import KitAllergens, allergens_of
from daysworth.domain.kit_rules import Diners, RuleFinding, RuleStatus, check_rules
from daysworth.domain.meal_patterns import Persons, Served, Waiver
from daysworth.domain.offers import Offer
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge, judge
from daysworth.domain.verdicts import Verdict
from daysworth.domain.wares import WareKind
from daysworth.planners.diners import diners_of
from daysworth.planners.kit_contents import (
    ItemTrouble,
    KitFood,
    KitTotals,
    from_stock,
    needs_opener,
    pull_by_day,
    totals_of,
)
from daysworth.planners.kit_suitability import kit_warnings
from daysworth.planners.shelf import DatedLot, Standing, dated_lots
from daysworth.planners.warnings import FoodWarning


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemAsked:
    """Units of a lot, or of a food that is not stock, whose net mass and date are given here.

    `net_mass_g` None: the food's usual one; `last_good_day` None: undated. Raises ValueError where
    both or neither is named, or a lot's own mass or date is given.
    """

    units: Annotated[int, Ge(1), Le(1_000)]
    lot: Annotated[LotId, IdLength] | None = None
    food: Annotated[FoodId, IdLength] | None = None
    net_mass_g: Annotated[float, Gt(0), Le(1_000_000)] | None = None
    last_good_day: date | None = None
    served: Served = Served.PLATE

    def __post_init__(self) -> None:
        if (self.lot is None) == (self.food is None):
            raise ValueError("an item names a lot or a food, one of them")
        if self.lot is not None and (self.net_mass_g, self.last_good_day) != (None, None):
            raise ValueError("a lot has its own net mass and its own date")


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckAsked:
    """What to check, and for whom: so many persons, or a household (its members at the table).

    `packed_on` None: the day that is asked about. `wares` are those in the bag.
    """

    items: Annotated[tuple[ItemAsked, ...], Len(1, 60)]
    persons: Persons | None = None
    household: Annotated[HouseholdId, IdLength] | None = None
    wares: Mapping[WareKind, Annotated[int, Ge(1), Le(1_000)]] = field(default_factory=dict)
    waivers: Annotated[tuple[Waiver, ...], Len(0, 10)] = ()
    packed_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class KitCheck:
    """How a kit stands. `warnings` are for its household, worst first; None was named: none.

    `pull_by_day` None: something in it is undated. `asks_care_team`: somebody in the household
    follows a medical diet, for which nothing here says that a food suits.
    """

    foods: tuple[KitFood, ...]
    wares: Mapping[WareKind, int]
    diners: Diners
    household: HouseholdId | None
    packed_on: date
    rules: tuple[RuleFinding, ...]
    totals: KitTotals
    pull_by_day: date | None
    warnings: tuple[FoodWarning, ...]
    allergens: KitAllergens
    needs_opener: bool
    asks_care_team: bool

    @property
    def failed(self) -> tuple[RuleFinding, ...]:
        """Give the rules that it fails and is held to."""
        return tuple(one for one in self.rules if one.status is RuleStatus.FAILED)

    @property
    def troubled(self) -> tuple[KitFood, ...]:
        """Give the foods that are not to be eaten by those it is for, suitability apart."""
        return tuple(one for one in self.foods if one.trouble is not None)

    @property
    def unsuited(self) -> tuple[FoodWarning, ...]:
        """Give the foods that are unsuitable for its household, or unknown, worst first."""
        return tuple(one for one in self.warnings if one.verdict is not Verdict.SUITABLE)

    @property
    def is_sound(self) -> bool:
        """Tell whether no rule fails, all of it may be eaten, and nothing in it is unsuited."""
        return not (self.failed or self.troubled or self.unsuited)


@dataclass(frozen=True, slots=True, kw_only=True)
class KitPacked:
    """What stands in a bag, for whom, and since when."""

    foods: tuple[KitFood, ...]
    wares: Mapping[WareKind, int]
    diners: Diners
    household: HouseholdId | None
    packed_on: date
    waivers: tuple[Waiver, ...]


def check_kit(
    snapshot: Snapshot, as_of: date, *, asked: CheckAsked, judged_by: Judge = judge
) -> KitCheck:
    """Check any set of items as a kit put up for a household or for so many persons.

    Raises FieldsRefused where an item is not in the store, or in it in fewer units; ScenarioRefused
    where nobody is named to be served, or a household that the store lacks.
    """
    diners = diners_of(snapshot, as_of, household=asked.household, persons=asked.persons)
    packed = KitPacked(
        foods=_foods(snapshot, as_of, asked=asked),
        wares=asked.wares,
        diners=diners,
        household=asked.household,
        packed_on=asked.packed_on or as_of,
        waivers=asked.waivers,
    )
    return check_packed(snapshot, as_of, packed=packed, judged_by=judged_by)


def check_packed(
    snapshot: Snapshot, as_of: date, *, packed: KitPacked, judged_by: Judge = judge
) -> KitCheck:
    """Check what stands in a bag, as things are on a date."""
    household = packed.household
    homes = [home for home in snapshot.households if home.id == household]
    return KitCheck(
        foods=packed.foods,
        wares=packed.wares,
        diners=packed.diners,
        household=household,
        packed_on=packed.packed_on,
        rules=check_rules(
            [one.packed for one in packed.foods],
            wares=packed.wares,
            diners=packed.diners,
            packed_on=packed.packed_on,
            rules=snapshot.settings.meal_rules,
            waivers=packed.waivers,
        ),
        totals=totals_of(packed.foods, persons=packed.diners.persons),
        pull_by_day=pull_by_day(packed.foods),
        warnings=()
        if household is None
        else kit_warnings(
            snapshot, as_of, foods=packed.foods, household=household, judged_by=judged_by
        ),
        allergens=allergens_of(one.offer for one in packed.foods),
        needs_opener=needs_opener(packed.foods),
        asks_care_team=any(is_advised(home) for home in homes),
    )


def _foods(snapshot: Snapshot, as_of: date, *, asked: CheckAsked) -> tuple[KitFood, ...]:
    shelf = _Shelf(
        lots={item.lot.id: item for item in dated_lots(snapshot, as_of)},
        foods={food.id: food for food in snapshot.foods},
        household=asked.household,
        as_of=as_of,
    )
    faults = list(_lots_twice(asked.items))
    taken = []
    for number, item in enumerate(asked.items, start=1):
        found = shelf.take(item)
        if isinstance(found, str):
            faults.append(Fault(f"items number {number}", found))
        else:
            taken.append(found)
    if faults:
        raise FieldsRefused(tuple(faults))
    return tuple(taken)


def _lots_twice(items: Iterable[ItemAsked]) -> Iterator[Fault]:
    for lot, times in Counter(item.lot for item in items).items():
        if lot is not None and times > 1:
            yield Fault("items", f"the lot {lot!r} stands {times} times: add its units up")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shelf:
    lots: Mapping[LotId, DatedLot]
    foods: Mapping[FoodId, Food]
    household: HouseholdId | None
    as_of: date

    def take(self, item: ItemAsked) -> KitFood | str:
        """Take what an item names, or say why it cannot be."""
        if item.lot is not None:
            dated = self.lots.get(item.lot)
            if dated is None:
                return f"there is no lot {item.lot!r} in this store"
            if item.units > dated.lot.units:
                return f"there are {dated.lot.units} of the lot {item.lot!r}, and not {item.units}"
            return from_stock(dated, units=item.units, served=item.served, household=self.household)
        if item.food is None or item.food not in self.foods:
            return f"there is no food {item.food!r} in this store"
        return self._of_no_stock(self.foods[item.food], item=item)

    def _of_no_stock(self, food: Food, *, item: ItemAsked) -> KitFood:
        day = item.last_good_day
        standing = Standing.GOOD
        if day is None or day < self.as_of:
            standing = Standing.UNDATED if day is None else Standing.PAST
        return KitFood(
            food=food,
            offer=Offer(food),
            units=item.units,
            net_mass_g=item.net_mass_g,
            last_good_day=day,
            served=item.served,
            standing=standing,
            trouble=None if standing is Standing.GOOD else ItemTrouble(standing.value),
        )
