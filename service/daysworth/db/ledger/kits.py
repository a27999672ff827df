"""Put up kits, move them, unpack them and eat them: each in one write, all of it or nothing.

What is in a kit stays in lots, which stand in the kit's place, and is told by their
`units_in_kits`: that is always the sum of what closed kits hold of a lot.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import date, datetime

from sqlalchemy import insert, update

from daysworth.db.kit_facts import facts_now, facts_of, plan_facts_now, unsound_lots
from daysworth.db.kits import KeptKit, item_values, kit_values, read_kit, read_kits
from daysworth.db.ledger.handling import handled_day, part_of
from daysworth.db.ledger.held import Held, begin, change, find
from daysworth.db.ledger.packable import ToTake, check_keeps, check_packable
from daysworth.db.packing_plans import read_plan
from daysworth.db.people_kept import Kept
from daysworth.db.places import read_place
from daysworth.db.tables import KIT, KIT_ITEM, PACKING_PLAN
from daysworth.db.transactions import Writing, day_there, new_id
from daysworth.db.wares import put
from daysworth.domain.entries import EntryKind, KitState, WareEntryKind
from daysworth.domain.errors import NotAsItWas, StockRefused
from daysworth.domain.identifiers import KitId, LotId, PlaceId
from daysworth.domain.meal_kits import KitItem, KitToPack, MealKit
from daysworth.domain.wares import WareKind

Detail = Mapping[str, Kept]


def put_up(
    writing: Writing, kits: Sequence[KitToPack], *, place: PlaceId, packed_on: date | None = None
) -> list[KeptKit]:
    """Put up kits in a place, today when no day is given.

    Raises NotThere, FieldsRefused; StockRefused where a lot or a ware does not allow it, in words.
    """
    read_place(writing, place)
    day = handled_day(writing, packed_on, where="packed_on")
    taken = check_packable(writing, kits)
    ids = [KitId(new_id("K")) for _ in kits]
    into = _take_lots(writing, taken, place=place, detail={"kits": ", ".join(ids)})
    for (kind, where), units in sorted(taken.wares.items()):
        put(writing, kind, place=where, units=-units, entry=WareEntryKind.PACKED)
    made = [
        _made(kit, id_=id_, place=place, packed_on=day, into=into)
        for id_, kit in zip(ids, kits, strict=True)
    ]
    _keep(writing, made)
    kept = read_kits(writing, ids)
    return [kept[id_] for id_ in ids]


def _take_lots(
    writing: Writing, taken: ToTake, *, place: PlaceId, detail: Detail
) -> dict[LotId, LotId]:
    """Take what kits take out of its lots, and tell in which lot of the place it is then."""
    into = {}
    for id_, units in sorted(taken.units.items()):
        lot = taken.lots[id_]
        if lot.place == place:
            values = {"units_in_kits": lot.units_in_kits + units}
            change(writing, lot, kind=EntryKind.PACKED, detail=detail, values=values)
            into[id_] = id_
            continue
        said = {**detail, "from": lot.place, "to": place}
        change(writing, lot, kind=EntryKind.PACKED, units=-units, detail=said)
        part = part_of(lot, units=units, units_in_kits=units, place=place)
        said["lot"] = lot.id
        into[id_] = LotId(begin(writing, part, kind=EntryKind.PACKED, detail=said).id)
    return into


def _made(
    kit: KitToPack, *, id_: KitId, place: PlaceId, packed_on: date, into: Mapping[LotId, LotId]
) -> MealKit:
    wares = Counter[WareKind]()
    for ware in kit.wares:
        wares[ware.kind] += ware.units
    return MealKit(
        id=id_,
        name=kit.name,
        place=place,
        persons=kit.persons,
        packed_on=packed_on,
        items=tuple(
            KitItem(lot=into[item.lot], units=item.units, served=item.served) for item in kit.items
        ),
        household=kit.household,
        pattern=kit.pattern,
        wares=dict(wares),
        utensil=kit.utensil,
        waivers=kit.waivers,
        steps=kit.steps,
        may_be_warmed=kit.may_be_warmed,
    )


def _keep(writing: Writing, kits: Sequence[MealKit]) -> None:
    facts = facts_of(writing, kits)
    rows = [
        {
            "store": writing.store,
            **kit_values(kit),
            "packed_by": writing.by.signs_as,
            "state": KitState.CLOSED,
            "facts": facts[kit.id],
            "revision": 1,
        }
        for kit in kits
    ]
    writing.connection.execute(insert(KIT), rows)
    items = [{"store": writing.store, **values} for kit in kits for values in item_values(kit)]
    writing.connection.execute(insert(KIT_ITEM), items)


def pack_plan(writing: Writing, plan: str) -> list[KeptKit]:
    """Put up the kits of a plan that was kept.

    Raises NotThere; NotAsItWas where something that it was made of has changed since, or no longer
    keeps until the round; StockRefused where it was packed already, or too few are free.
    """
    kept = read_plan(writing, plan)
    if kept.packed_at is not None:
        day = _day_of(writing, kept.packed_at)
        raise StockRefused(f"this plan was packed already, on {day} by {kept.packed_by}")
    if plan_facts_now(writing, kept.kits) != kept.facts:
        raise NotAsItWas(
            "a lot, a food or a household of this plan was changed since it was made: plan again"
        )
    check_keeps(writing, kept.kits)
    packed = put_up(writing, kept.kits, place=kept.place)
    writing.connection.execute(
        update(PACKING_PLAN)
        .where(PACKING_PLAN.c.store == writing.store, PACKING_PLAN.c.id == plan)
        .values(packed_at=writing.instant, packed_by=writing.by.signs_as)
    )
    return packed


def move_kit(writing: Writing, kit: KitId, *, place: PlaceId, why: str | None = None) -> KeptKit:
    """Move a closed kit with what is in it to another place. Raises NotThere, StockRefused."""
    found = find_closed(writing, kit)
    read_place(writing, place)
    if found.kit.place == place:
        raise StockRefused(f"kit {kit!r} stands there already")
    for item in found.kit.items:
        into = _move_item(writing, item, kit=found.kit, place=place, why=why)
        writing.connection.execute(
            update(KIT_ITEM)
            .where(
                KIT_ITEM.c.store == writing.store,
                KIT_ITEM.c.kit == kit,
                KIT_ITEM.c.lot == item.lot,
            )
            .values(lot=into)
        )
    return _change_kit(writing, found, values={"place": place})


def _move_item(
    writing: Writing, item: KitItem, *, kit: MealKit, place: PlaceId, why: str | None
) -> LotId:
    lot = find(writing, item.lot)
    detail: dict[str, Kept] = {"from": lot.place, "to": place, "kit": kit.id}
    if lot.units == item.units:
        values = {"place": place}
        change(writing, lot, kind=EntryKind.MOVED, why=why, detail=detail, values=values)
        return item.lot
    left = {"units_in_kits": lot.units_in_kits - item.units}
    change(
        writing,
        lot,
        kind=EntryKind.MOVED,
        units=-item.units,
        why=why,
        detail=detail,
        values=left,
    )
    part = part_of(lot, units=item.units, units_in_kits=item.units, place=place)
    detail["lot"] = lot.id
    return LotId(begin(writing, part, kind=EntryKind.MOVED, why=why, detail=detail).id)


def unpack_kit(
    writing: Writing, kit: KitId, *, why: str | None = None, detail: Detail | None = None
) -> KeptKit:
    """Take a closed kit apart: what was in it stands free in its place, with its dates.

    `detail` is said of every entry. Raises NotThere, StockRefused.
    """
    found = find_closed(writing, kit)
    said = {**(detail or {}), "kit": kit}
    for item in found.kit.items:
        _release(writing, item, kind=EntryKind.UNPACKED, why=why, detail=said)
    for kind, units in sorted(found.kit.wares.items()):
        place, entry = found.kit.place, WareEntryKind.UNPACKED
        put(writing, kind, place=place, units=units, entry=entry, why=why)
    return _end(writing, found, state=KitState.UNPACKED)


def eat_kit(
    writing: Writing, kit: KitId, *, why: str | None = None, detail: Detail | None = None
) -> KeptKit:
    """Record that a closed kit was eaten whole; its opener goes back to its place.

    Tableware is used up, and the bag takes the rubbish. `detail` is said of every entry. Raises
    NotThere, StockRefused.
    """
    found = find_closed(writing, kit)
    said = {**(detail or {}), "kit": kit}
    for item in found.kit.items:
        _release(writing, item, kind=EntryKind.EATEN, why=why, detail=said)
    openers = found.kit.wares.get(WareKind.OPENER, 0)
    if openers:
        place, entry = found.kit.place, WareEntryKind.EATEN
        put(writing, WareKind.OPENER, place=place, units=openers, entry=entry, why=why)
    return _end(writing, found, state=KitState.EATEN)


def confirm_kit(writing: Writing, kit: KitId, *, why: str, if_revision: int) -> KeptKit:
    """Answer for a closed kit whose facts have changed: as it is now, it may be eaten.

    Raises NotThere, NotAsItWas; StockRefused where a lot in it is not sound.
    """
    found = find_closed(writing, kit)
    if found.revision != if_revision:
        raise NotAsItWas(f"kit {kit!r} was changed since you looked: look again")
    unsound = [f"lot {lot.id!r} is {lot.condition}" for lot in unsound_lots(writing, found.kit)]
    if unsound:
        raise StockRefused(f"{'; '.join(unsound)}: unpack kit {kit!r}, or settle that first")
    values = {
        "facts": facts_now(writing, kit),
        "looked_at": writing.instant,
        "looked_by": writing.by.signs_as,
        "looked_why": why,
    }
    return _change_kit(writing, found, values=values)


def find_closed(writing: Writing, kit: KitId) -> KeptKit:
    """Find a kit to do something with. Raises NotThere, StockRefused where it has ended."""
    found = read_kit(writing, kit)
    if found.ended_at is not None:
        day = _day_of(writing, found.ended_at)
        raise StockRefused(f"kit {kit!r} was {found.state} on {day} already; nothing was changed")
    return found


def _release(
    writing: Writing, item: KitItem, *, kind: EntryKind, why: str | None, detail: Detail
) -> Held:
    """Take a kit's units of a lot out of it: they stand free, or they are eaten."""
    lot = find(writing, item.lot)
    return change(
        writing,
        lot,
        kind=kind,
        units=-item.units if kind is EntryKind.EATEN else 0,
        why=why,
        detail={**detail, "units_in_kit": item.units},
        values={"units_in_kits": lot.units_in_kits - item.units},
    )


def _end(writing: Writing, found: KeptKit, *, state: KitState) -> KeptKit:
    values = {"state": state, "ended_at": writing.instant}
    return _change_kit(writing, found, values=values)


def _change_kit(writing: Writing, found: KeptKit, *, values: Mapping[str, Kept]) -> KeptKit:
    writing.connection.execute(
        update(KIT)
        .where(KIT.c.store == writing.store, KIT.c.id == found.id)
        .values(**values, revision=found.revision + 1)
    )
    return read_kit(writing, found.id)


def _day_of(writing: Writing, instant: str) -> date:
    return day_there(writing.settings, at=datetime.fromisoformat(instant))
