"""Give tests kits to put up in the small store, and tell whether what is in kits adds up."""

from collections import Counter
from collections.abc import Sequence
from functools import partial
from typing import Final

from sqlalchemy import Engine, func, select

from daysworth.db.kits import KeptKit, KitChoice, all_kits, read_kit
from daysworth.db.ledger import kits as deeds
from daysworth.db.ledger.held import Held
from daysworth.db.tables import WARE_ENTRY
from daysworth.db.transactions import Reading
from daysworth.db.wares import list_wares, receive_wares
from daysworth.domain.entries import Credential
from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import KitId, LotId, PatternId, PlaceId, StoreId
from daysworth.domain.meal_kits import KitItem, KitToPack, WareTaken
from daysworth.domain.meal_patterns import (
    Choice,
    MealPattern,
    MealRule,
    Served,
    Slot,
    SlotKind,
    Utensil,
    Waiver,
    Wanted,
)
from daysworth.domain.wares import WareKind
from tests.grounds import CELLAR, SALMON, SHELF, STORE_ID, change, look, lots_of

STEPS: Final = ("Open the fish.", "Eat it from the pack.")
WARES: Final = ((WareKind.OPENER, 1), (WareKind.FORK, 2), (WareKind.BAG, 1))

FISH_AND: Final = MealPattern(
    id=PatternId("fish-and"),
    name="Fish, and what there is — “für zwei”",
    persons=2,
    slots=(
        Slot(
            kind=SlotKind.PROTEIN,
            choices=(
                Choice(foods=(Wanted(food=SALMON), Wanted(group=FoodGroup.FISH))),
                Choice(foods=(Wanted(group=FoodGroup.MEAT_AND_POULTRY),)),
            ),
            servings_each=1 / 3,
            served=Served.OWN_PACK,
        ),
        Slot(
            kind=SlotKind.EXTRA,
            choices=(Choice(foods=(Wanted(group=FoodGroup.CONDIMENTS),)),),
            grams_in_all=12.5,
            served=Served.MIXED_IN,
        ),
    ),
    utensil=Utensil.SPOON,
    waivers=(Waiver(rule=MealRule.COMPLETE, why="A snack."),),
    steps=("Open it.", "Eat it."),
    may_be_warmed="The fish, in its tin, opened.",
)


def to_pack(*items: tuple[Held, int], **changed: object) -> KitToPack:
    """Describe a kit for two of some units of lots, without wares unless said."""
    said: dict[str, object] = {"name": "Fish for two", "persons": 2, "steps": STEPS, **changed}
    return KitToPack(
        items=tuple(
            KitItem(lot=LotId(lot.id), units=units, served=Served.OWN_PACK) for lot, units in items
        ),
        **said,  # type: ignore[arg-type]
    )


def with_wares(*items: tuple[Held, int], place: PlaceId = SHELF, **changed: object) -> KitToPack:
    """Describe a kit for two with an opener, two forks and a bag, that waives the rule on water."""
    wares = tuple(WareTaken(kind=kind, place=place, units=units) for kind, units in WARES)
    waivers = (Waiver(rule=MealRule.NO_ADDED_WATER, why="There is a tap."),)
    return to_pack(*items, wares=wares, waivers=waivers, **changed)


def stock_wares(engine: Engine, units: int = 10, *, place: PlaceId = SHELF) -> None:
    """Receive so many of each ware that a kit takes."""
    for kind, _ in WARES:
        change(engine, partial(receive_wares, kind=kind, place=place, units=units))


def pack(
    engine: Engine,
    *kits: KitToPack,
    place: PlaceId = CELLAR,
    by: Credential | None = None,
) -> list[KeptKit]:
    """Put up kits, in the cellar unless told otherwise."""
    return change(engine, partial(deeds.put_up, kits=kits, place=place), by=by)


def kit_of(engine: Engine, kit: KitId) -> KeptKit:
    """Read a kit as it is now."""
    return look(engine, partial(read_kit, kit=kit))


def kits_of(engine: Engine, store: StoreId = STORE_ID) -> Sequence[KeptKit]:
    """Give every closed kit."""
    return look(engine, partial(all_kits, choice=KitChoice()), store=store)


def lots_in(engine: Engine, kit: KeptKit) -> list[Held]:
    """Give the lots of what is in a kit, in its order."""
    lots = lots_of(engine)
    return [lots[item.lot] for item in kit.kit.items]


def wares_of(engine: Engine, store: StoreId = STORE_ID) -> dict[tuple[str, str], int]:
    """Give how many of each ware stand free, by place and kind."""
    found = look(engine, list_wares, store=store)
    return {(ware.place, str(ware.kind)): ware.units for ware in found}


def kits_balance(engine: Engine, store: StoreId = STORE_ID) -> bool:
    """Tell whether lots have in kits what closed kits hold, and wares what their entries say."""
    packed, lots = Counter[str](), lots_of(engine, store)
    for kept in kits_of(engine, store):
        packed.update({item.lot: item.units for item in kept.kit.items})
        if any(lots[item.lot].place != kept.kit.place for item in kept.kit.items):
            return False
    wares = wares_of(engine, store)
    return (
        all(lot.units_in_kits == packed[id_] for id_, lot in lots.items())
        and wares == _entries_by_ware(engine, store)
        and all(units >= 0 for units in wares.values())
    )


def _entries_by_ware(engine: Engine, store: StoreId) -> dict[tuple[str, str], int]:
    columns = (WARE_ENTRY.c.place, WARE_ENTRY.c.ware)
    chosen = select(*columns, func.sum(WARE_ENTRY.c.units)).where(WARE_ENTRY.c.store == store)

    def sums(reading: Reading) -> dict[tuple[str, str], int]:
        rows = reading.connection.execute(chosen.group_by(*columns))
        return {(place, kind): int(units) for place, kind, units in rows}

    return look(engine, sums, store=store)
