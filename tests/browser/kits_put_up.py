"""Put up kits in the invented neighbourhood, one of each kind that its pages tell apart."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import partial
from typing import Final

from sqlalchemy import Engine

from daysworth.db.ledger import kits as deeds
from daysworth.db.ledger.labels import record
from daysworth.domain.entries import Credential
from daysworth.domain.identifiers import HouseholdId, KitId, LotId, PlaceId
from daysworth.domain.labels import LabelReading, Regime
from daysworth.domain.lots import Condition
from daysworth.domain.meal_kits import KitItem, KitToPack, WareTaken
from daysworth.domain.meal_patterns import MealRule, Served, Waiver
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.wares import WareKind
from tests.grounds import change

HALL: Final = PlaceId("hall")

STEPS: Final = (
    "Open the tins; let the peaches drip off into a cup, and keep what drips off to drink.",
    "Lay crackers on each plate, and what is in the first tin beside them.",
    "Eat the peaches last, from their own tin.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class KitsPutUp:
    """The kits of the neighbourhood, by what a page says of them."""

    anybodys: KitId
    of_a_home: KitId
    changed: KitId
    soon: KitId
    eaten: KitId


def put_up_kits(engine: Engine, snapshot: Snapshot, *, by: Credential, at: datetime) -> KitsPutUp:
    """Put up kits in the first place, one of which has changed since and one was eaten."""
    lots = _good_lots(snapshot)
    kits = [
        _kit("Chicken and crackers for four", lots, ("chicken_chunks_tinned",), persons=4),
        replace(
            _kit("Beans and crackers for the corner house", lots, ("black_beans_tinned",)),
            household=HouseholdId("H05"),
        ),
        _kit("Sardine supper for two", lots, ("sardines_in_oil_tinned",)),
        _kit("Stew to eat soon", lots, ("beef_stew_tinned",), is_latest=False),
        _kit("Ravioli for two", lots, ("ravioli_with_meat_tinned",)),
    ]
    place = snapshot.places[0].id
    kept = change(engine, partial(deeds.put_up, kits=kits, place=place), by=by, at=at)
    anybodys, of_a_home, changed, soon, eaten = (one.id for one in kept)
    change(engine, partial(deeds.eat_kit, kit=eaten), by=by, at=at)
    label = LabelReading(
        text="Ingredients: sardines, sunflower oil, salt. Contains: fish. May contain soy.",
        is_whole=True,
        regime=Regime.US_FDA,
    )
    lot = kept[2].kit.items[0].lot
    change(engine, partial(record, lot=lot, reading=label), by=by, at=at)
    return KitsPutUp(
        anybodys=anybodys, of_a_home=of_a_home, changed=changed, soon=soon, eaten=eaten
    )


def _kit(
    name: str,
    lots: Mapping[str, Sequence[LotId]],
    proteins: Sequence[str],
    *,
    persons: int = 2,
    is_latest: bool = True,
) -> KitToPack:
    foods = (*proteins, "soda_crackers", "peaches_in_juice_tinned")
    found = [lots[food][-1 if is_latest else 0] for food in foods if lots.get(food)]
    return KitToPack(
        name=name,
        persons=persons,
        items=tuple(KitItem(lot=lot, units=1, served=Served.PLATE) for lot in found),
        wares=tuple(
            WareTaken(kind=kind, place=HALL, units=units)
            for kind, units in (
                (WareKind.OPENER, 1),
                (WareKind.PLATE, persons),
                (WareKind.FORK, persons),
                (WareKind.NAPKIN, persons),
                (WareKind.BAG, 1),
            )
        ),
        waivers=(Waiver(rule=MealRule.KEEPS, why="Everything in it is eaten by the next round."),),
        steps=STEPS,
        may_be_warmed="What is in the first tin, out of it, in a pan outdoors.",
    )


def _good_lots(snapshot: Snapshot) -> dict[str, list[LotId]]:
    """Give the sound lots of the first place by food, those that go first before the others."""
    foods = {food.id: food for food in snapshot.foods}
    found: dict[str, list[tuple[date, LotId]]] = {}
    for lot in snapshot.lots:
        day = lot.last_good_day(foods[lot.food], grace_days=snapshot.settings.grace_days)
        is_free = lot.units - lot.units_promised > 3 and lot.is_shared and lot.opened_on is None
        is_sound = lot.condition is Condition.SOUND and lot.place == snapshot.places[0].id
        if is_free and is_sound and day is not None and day > snapshot.taken_on:
            found.setdefault(lot.food, []).append((day, lot.id))
    return {food: [lot for _, lot in sorted(lots)] for food, lots in found.items()}
