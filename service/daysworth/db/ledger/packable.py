"""Find what stands in the way of putting up kits, before anything is changed."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from daysworth.db.households import household_names
from daysworth.db.ledger.held import Held, as_planned, find_all
from daysworth.db.ledger.intake import foods_named
from daysworth.db.transactions import Reading, Writing
from daysworth.db.wares import check_wares
from daysworth.domain.errors import Fault, FieldsRefused, NotAsItWas, StockRefused
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, LotId, PlaceId
from daysworth.domain.kit_rules import keeps_until_day
from daysworth.domain.lots import Condition
from daysworth.domain.meal_kits import KitToPack
from daysworth.domain.meal_patterns import MealRule
from daysworth.domain.wares import WareKind


@dataclass(frozen=True, slots=True, kw_only=True)
class ToTake:
    """What some kits take from where, over all of them: units of lots, and wares."""

    lots: Mapping[LotId, Held]
    units: Mapping[LotId, int]
    wares: Mapping[tuple[WareKind, PlaceId], int]


def check_packable(writing: Writing, kits: Sequence[KitToPack]) -> ToTake:
    """Find what kits take from where.

    Raises FieldsRefused for a household or a lot that is not there, StockRefused where a lot must
    not go into a kit, or where fewer are free than all kits together take.
    """
    units, wares = Counter[LotId](), Counter[tuple[WareKind, PlaceId]]()
    for kit in kits:
        units.update({item.lot: item.units for item in kit.items})
        wares.update({(ware.kind, ware.place): ware.units for ware in kit.wares})
    lots = find_all(writing, units)
    faults = tuple(_not_there(writing, kits, lots=lots))
    if faults:
        raise FieldsRefused(faults)
    named = {FoodId(lot.food) for lot in lots.values() if lot.food is not None}
    foods = foods_named(writing, named)
    wrong = [
        *_unfit(kits, lots=lots, foods=foods),
        *_too_few(units, lots=lots, foods=foods),
        *check_wares(writing, wares),
    ]
    if wrong:
        # One lot may be in every kit; it is enough to say once what is wrong with it.
        raise StockRefused("; ".join(dict.fromkeys(wrong)) + "; nothing was changed")
    return ToTake(lots=lots, units=units, wares=wares)


def check_keeps(writing: Writing, kits: Sequence[KitToPack]) -> None:
    """Refuse kits of a plan whose food no longer keeps until the round, counted from today.

    A plan may wait for days before it is packed. Kits that waive the rule are not held to it.
    Raises NotAsItWas.
    """
    held = [one for kit in kits if not _waives_keeping(kit) for one in kit.items]
    lots = find_all(writing, {item.lot for item in held})
    foods = foods_named(writing, {FoodId(lot.food) for lot in lots.values() if lot.food})
    rules = writing.settings.meal_rules
    asked = keeps_until_day(writing.today, rules)
    for lot in sorted(lots.values(), key=lambda one: one.id):
        day = _last_good_day(writing, lot, foods=foods)
        if day is None or day < asked:
            raise NotAsItWas(
                f"{_called(lot, foods)} does not keep {rules.keeps_months} months from today any "
                "more: plan again"
            )


def _waives_keeping(kit: KitToPack) -> bool:
    return any(waiver.rule is MealRule.KEEPS for waiver in kit.waivers)


def _last_good_day(writing: Writing, lot: Held, *, foods: Mapping[FoodId, Food]) -> date | None:
    if lot.food is None:
        return None
    food = foods[FoodId(lot.food)]
    return as_planned(lot).last_good_day(food, grace_days=writing.settings.grace_days)


def _not_there(
    writing: Writing, kits: Sequence[KitToPack], *, lots: Mapping[LotId, Held]
) -> Iterator[Fault]:
    homes = household_names(Reading(connection=writing.connection, store=writing.store))
    if not kits:
        yield Fault("kits", "there is no kit to put up")
    for number, kit in enumerate(kits, start=1):
        where = f"kits number {number}"
        if kit.household is not None and kit.household not in homes:
            yield Fault(f"{where} > household", f"there is no household {kit.household!r}")
        for at, item in enumerate(kit.items, start=1):
            if item.lot not in lots:
                yield Fault(f"{where} > items number {at} > lot", f"there is no lot {item.lot!r}")


def _unfit(
    kits: Sequence[KitToPack], *, lots: Mapping[LotId, Held], foods: Mapping[FoodId, Food]
) -> Iterator[str]:
    for number, kit in enumerate(kits, start=1):
        for item in kit.items:
            what = _unfit_lot(lots[item.lot], kit=kit)
            if what is not None:
                yield f"{_called(lots[item.lot], foods)} {what} (kits number {number})"


def _unfit_lot(lot: Held, *, kit: KitToPack) -> str | None:
    if lot.food is None:
        return "waits for somebody to say what food it is"
    if lot.condition != Condition.SOUND:
        return f"is {lot.condition}"
    if lot.opened_on is not None:
        return f"was opened on {lot.opened_on}"
    if not lot.is_shared and lot.owner != kit.household:
        return "is kept by a household for itself"
    return None


def _too_few(
    units: Mapping[LotId, int], *, lots: Mapping[LotId, Held], foods: Mapping[FoodId, Food]
) -> Iterator[str]:
    for id_, wanted in sorted(units.items()):
        free = lots[id_].units_free
        if wanted > free:
            yield f"{wanted} of {_called(lots[id_], foods)} asked for, and {free} are free"


def _called(lot: Held, foods: Mapping[FoodId, Food]) -> str:
    food = None if lot.food is None else foods.get(FoodId(lot.food))
    name = lot.words if food is None else food.name
    return f"lot {lot.id!r} ({name})" if name else f"lot {lot.id!r}"
