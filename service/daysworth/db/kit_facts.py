"""Tell whether what made a kit suit whom it is for has changed since somebody looked at it.

The facts are what suitability and dates hang on: of each lot its food, owner, date, label and
condition, of each food of the store's own its row, of a household its members and what they must
not eat. A kit keeps their digest, SHA-256 over JSON, and nothing that can be read back. Units and,
for a kit, places are left out: they change without a change to what is in the bag.
"""

import json
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Final, cast

from sqlalchemy import select

from daysworth.db.food_kept import food_from, food_values
from daysworth.db.households import members_of
from daysworth.db.kits import KeptKit, read_kit
from daysworth.db.lot_kept import LOT_KEPT, KeptLot, lot_from, lot_values
from daysworth.db.pages_of_rows import MOST_A_PAGE
from daysworth.db.people_kept import Kept, member_values, restriction_values
from daysworth.db.tables import FOOD, LOT
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, HouseholdId, KitId, LotId
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.meal_kits import KitToPack, MealKit
from daysworth.domain.people import Member
from daysworth.domain.snapshot import Snapshot

_NO_FACTS: Final = frozenset({"id", "units", "units_in_kits", "units_promised"})

Facts = Mapping[str, "Kept | Facts | Sequence[Facts]"]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """What some kits are made of and for: lots, foods of the store's own, members."""

    lots: Mapping[LotId, Lot]
    own_foods: Mapping[FoodId, Food]
    members: Mapping[HouseholdId, Sequence[Member]]


def facts_now(reading: Reading | Writing, kit: KitId) -> str:
    """Give the digest of a kit's facts as they are now. Raises NotThere."""
    return facts_of(reading, [read_kit(reading, kit).kit])[kit]


def facts_of(reading: Reading | Writing, kits: Sequence[MealKit]) -> dict[KitId, str]:
    """Give the digests of kits' facts as they are now, by kit."""
    known = _known_now(reading, kits)
    return {kit.id: _kit_digest(kit, known) for kit in kits}


def to_be_looked_at(reading: Reading | Writing, kits: Sequence[KeptKit]) -> set[KitId]:
    """Find the kits that a coordinator must look at again before anybody eats of them.

    Their facts changed since they were put up or last looked at, or a lot in them is not sound.
    """
    known = _known_now(reading, [kept.kit for kept in kits])
    return {
        kept.id
        for kept in kits
        if kept.facts != _kit_digest(kept.kit, known) or _unsound(kept.kit, known)
    }


def unsound_lots(reading: Reading | Writing, kit: MealKit) -> list[Lot]:
    """Give the lots of a kit that are not sound."""
    known = _known_now(reading, [kit])
    return [known.lots[lot] for lot in _unsound(kit, known)]


def plan_facts(snapshot: Snapshot, kits: Sequence[KitToPack]) -> str:
    """Give the digest of all that a plan for packing was made of, by the snapshot it was made on.

    It has the lots' places, for a picking list names them.
    """
    generic = generic_foods()
    known = _Known(
        lots={lot.id: lot for lot in snapshot.lots},
        own_foods={food.id: food for food in snapshot.foods if generic.get(food.id) != food},
        members={home.id: home.members for home in snapshot.households},
    )
    return _plan_digest(kits, known)


def plan_facts_now(reading: Reading | Writing, kits: Sequence[KitToPack]) -> str:
    """Give the digest of all that a plan for packing was made of, as it is now."""
    return _plan_digest(kits, _known_now(reading, kits))


def _kit_digest(kit: MealKit, known: _Known) -> str:
    # By what they are and not by their ids, for a kit that is moved gets lots of its own.
    items: list[Facts] = [
        {
            "lot": _lot_facts(known.lots[item.lot], but={"place"}),
            "served": item.served,
            "units": item.units,
        }
        for item in kit.items
    ]
    said: Facts = {
        "items": sorted(items, key=_written),
        "foods": _food_facts((known.lots[item.lot].food for item in kit.items), known),
        "household": _household_facts(kit.household, known),
    }
    return _digest(said)


def _plan_digest(kits: Sequence[KitToPack], known: _Known) -> str:
    named = {item.lot for kit in kits for item in kit.items}
    lots = {id_: known.lots[id_] for id_ in named if id_ in known.lots}
    homes = {kit.household for kit in kits if kit.household is not None}
    said: Facts = {
        "lots": {id_: _lot_facts(lot, but=()) for id_, lot in lots.items()},
        "foods": _food_facts((lot.food for lot in lots.values()), known),
        "households": {home: _household_facts(home, known) for home in homes},
    }
    return _digest(said)


def _lot_facts(lot: Lot, *, but: Collection[str]) -> Facts:
    left_out = {*_NO_FACTS, *but}
    return _said({name: one for name, one in lot_values(lot).items() if name not in left_out})


def _food_facts(foods: Iterable[FoodId], known: _Known) -> Facts:
    own = {food for food in foods if food in known.own_foods}
    return {food: _said(food_values(known.own_foods[food])) for food in own}


def _household_facts(household: HouseholdId | None, known: _Known) -> Sequence[Facts]:
    members = () if household is None else known.members.get(household, ())
    return [
        {
            **_said(member_values(member)),
            "restrictions": [_said(one) for one in restriction_values(member.restrictions)],
        }
        for member in members
    ]


def _said(values: Mapping[str, Kept]) -> Facts:
    """Leave out what is not said, so that a column which a later release adds changes nothing."""
    return {name: one for name, one in values.items() if one is not None and one is not False}


def _digest(said: Facts) -> str:
    return sha256(_written(said).encode()).hexdigest()


def _written(said: Facts) -> str:
    return json.dumps(said, default=str, sort_keys=True, separators=(",", ":"))


def _unsound(kit: MealKit, known: _Known) -> list[LotId]:
    return [item.lot for item in kit.items if known.lots[item.lot].condition is not Condition.SOUND]


def _known_now(reading: Reading | Writing, kits: Sequence[MealKit | KitToPack]) -> _Known:
    named = {item.lot for kit in kits for item in kit.items}
    lots = {lot.id: lot for lot in _lots(reading, named)}
    homes = {kit.household for kit in kits if kit.household is not None}
    people = members_of(reading, homes)
    return _Known(
        lots=lots,
        own_foods={food.id: food for food in _foods(reading, {lot.food for lot in lots.values()})},
        members={home: [one.facts for one in people[home]] for home in homes},
    )


def _lots(reading: Reading | Writing, ids: Collection[LotId]) -> Iterable[Lot]:
    for some in _in_parts(ids):
        of_them = (LOT.c.store == reading.store, LOT.c.id.in_(some), LOT.c.food.is_not(None))
        for row in reading.connection.execute(select(*LOT_KEPT).where(*of_them)).all():
            yield lot_from(cast(KeptLot, row))


def _foods(reading: Reading | Writing, ids: Collection[FoodId]) -> Iterable[Food]:
    generic = generic_foods()
    for some in _in_parts(ids):
        chosen = select(FOOD).where(FOOD.c.store == reading.store, FOOD.c.id.in_(some))
        for row in reading.connection.execute(chosen).all():
            food = food_from(row)
            if generic.get(food.id) != food:
                yield food


def _in_parts(ids: Collection[str]) -> Iterable[list[str]]:
    ordered = sorted(ids)
    for first in range(0, len(ordered), MOST_A_PAGE):
        yield ordered[first : first + MOST_A_PAGE]
