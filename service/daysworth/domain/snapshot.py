"""Hold one immutable value with all that a planner needs of one store at one version.

A snapshot that exists is sound: its ids are unique, what it refers to is in it, and its dates
belong to this century.
"""

from collections import Counter
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Annotated, Final, Literal

from annotated_types import Ge, Le, Len

from daysworth.domain.errors import Fault, SnapshotRefused
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import IdLength, Name, StoreId, is_addressable, is_plain
from daysworth.domain.kit_faults import kit_faults
from daysworth.domain.label_dates import FIRST_YEAR, LAST_YEAR
from daysworth.domain.lots import Lot, Place
from daysworth.domain.meal_kits import MealKit
from daysworth.domain.meal_patterns import MealPattern
from daysworth.domain.partner_faults import partner_faults
from daysworth.domain.partners import Partner
from daysworth.domain.people import Household, Member
from daysworth.domain.promise_faults import promise_faults
from daysworth.domain.promises import Promise
from daysworth.domain.settings import StoreSettings
from daysworth.domain.wares import WareStock

SNAPSHOT_FORMAT: Final = "daysworth-snapshot-4"
EARLIEST_BIRTH: Final = date(1900, 1, 1)
MOST_PARTNERS: Final = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Snapshot:
    """All that a planner needs of one store at one version, without names of those it feeds.

    `taken_on` is the date in the store's own time zone. `patterns` are the store's own; built-in
    ones come with the release. `promises` are those that are open. Raises SnapshotRefused, naming
    every fault, where an id stands twice, a lot, a kit or a promise refers to what is not there,
    kits hold more of a lot than is in kits, promises more than is promised, or a date is out of
    reach.
    """

    format: Literal["daysworth-snapshot-4"] = SNAPSHOT_FORMAT
    store: Annotated[StoreId, IdLength]
    store_name: Name
    version: Annotated[int, Ge(0), Le(2**53 - 1)] = 0
    taken_on: date
    settings: StoreSettings = field(default_factory=StoreSettings)
    households: tuple[Household, ...] = ()
    foods: tuple[Food, ...] = ()
    places: tuple[Place, ...] = ()
    lots: tuple[Lot, ...] = ()
    kits: tuple[MealKit, ...] = ()
    wares: tuple[WareStock, ...] = ()
    patterns: tuple[MealPattern, ...] = ()
    partners: Annotated[tuple[Partner, ...], Len(0, MOST_PARTNERS)] = ()
    promises: tuple[Promise, ...] = ()

    def __post_init__(self) -> None:
        faults = tuple(_faults(self))
        if faults:
            raise SnapshotRefused(faults)


def _faults(snapshot: Snapshot) -> Iterator[Fault]:
    yield from _dates_out_of_reach(snapshot)
    for kind, ids in _ids(snapshot):
        yield from _repeated(kind, ids)
    yield from _dangling(snapshot)
    if snapshot.kits or snapshot.wares:
        yield from kit_faults(
            snapshot.kits,
            snapshot.wares,
            lots=snapshot.lots,
            places={place.id for place in snapshot.places},
            households={home.id for home in snapshot.households},
            taken_on=snapshot.taken_on,
        )
    if snapshot.promises:
        yield from promise_faults(snapshot.promises, partners=snapshot.partners, lots=snapshot.lots)


def unreadable(snapshot: Snapshot) -> Iterator[Fault]:
    """Find ids that can stand in no address, and names with a line break or a control sign.

    A file may have them, and is planned with; a store that is kept may not.
    """
    for kind, ids in _ids(snapshot):
        # All at once first: a large store has tens of thousands.
        if not is_addressable("".join(ids)):
            for id_ in ids:
                if not is_addressable(id_):
                    what = "an id has no slash, line break or control sign in it"
                    yield Fault(f"{kind} {id_!r}", what)
    for where, name in (
        ("store_name", snapshot.store_name),
        *((f"food {food.id!r}", food.name) for food in snapshot.foods),
        *((f"place {place.id!r}", place.name) for place in snapshot.places),
        *((f"kit {kit.id!r}", kit.name) for kit in snapshot.kits),
        *((f"pattern {pattern.id!r}", pattern.name) for pattern in snapshot.patterns),
    ):
        if not is_plain(name):
            yield Fault(where, "a name has no line break or control sign in it")
    for partner in snapshot.partners:
        for fault in partner_faults(partner):
            yield Fault(f"partner {partner.id!r} > {fault.where}", fault.what)


def _ids(snapshot: Snapshot) -> tuple[tuple[str, list[str]], ...]:
    return (
        ("store", [snapshot.store]),
        ("households", [household.id for household in snapshot.households]),
        ("members", [member.id for home in snapshot.households for member in home.members]),
        ("foods", [food.id for food in snapshot.foods]),
        ("places", [place.id for place in snapshot.places]),
        ("lots", [lot.id for lot in snapshot.lots]),
        ("kits", [kit.id for kit in snapshot.kits]),
        ("patterns", [pattern.id for pattern in snapshot.patterns]),
        ("partners", [partner.id for partner in snapshot.partners]),
        ("promises", [promise.id for promise in snapshot.promises]),
    )


def _repeated(kind: str, ids: Collection[str]) -> Iterator[Fault]:
    for id_, times in Counter(ids).items() if len(set(ids)) < len(ids) else ():
        if times > 1:
            yield Fault(kind, f"the id {id_!r} stands {times} times; ids are unique")


def _dangling(snapshot: Snapshot) -> Iterator[Fault]:
    lots = snapshot.lots
    # Sets find quickly that nothing is missing, as it is in a store's every load.
    foods = {lot.food for lot in lots} - {food.id for food in snapshot.foods}
    places = {lot.place for lot in lots} - {place.id for place in snapshot.places}
    owners = {lot.owner for lot in lots} - {home.id for home in snapshot.households} - {None}
    for lot in lots if foods or places or owners else ():
        where = f"lot {lot.id!r}"
        if lot.food in foods:
            yield Fault(where, f"its food {lot.food!r} is not in the snapshot")
        if lot.place in places:
            yield Fault(where, f"its place {lot.place!r} is not in the snapshot")
        if lot.owner in owners:
            yield Fault(where, f"its owner {lot.owner!r} is not in the snapshot")


def _dates_out_of_reach(snapshot: Snapshot) -> Iterator[Fault]:
    if not _in_century(snapshot.taken_on):
        yield Fault("taken_on", f"is not between {FIRST_YEAR} and {LAST_YEAR}")
    for household in snapshot.households:
        for member in household.members:
            yield from _member_dates(member, snapshot.taken_on)
    for lot in snapshot.lots:
        if lot.is_handled_here:
            yield from _handling_dates(lot, snapshot.taken_on)
        if lot.readings:
            yield from _packing_dates(lot, snapshot.taken_on)


def _handling_dates(lot: Lot, taken_on: date) -> Iterator[Fault]:
    for name, day in (("opened_on", lot.opened_on), ("repacked_on", lot.repacked_on)):
        if day is not None and not date(FIRST_YEAR, 1, 1) <= day <= taken_on:
            yield Fault(f"lot {lot.id!r}", f"{name} is after the snapshot, or before 2000")


def _packing_dates(lot: Lot, taken_on: date) -> Iterator[Fault]:
    # Somebody may have read it today, before the store was moved to a zone further west.
    last_day = taken_on + timedelta(days=1)
    for reading in lot.readings:
        day = reading.packed_on
        if day is not None and not date(FIRST_YEAR, 1, 1) <= day <= last_day:
            yield Fault(f"lot {lot.id!r}", "packed_on is after the snapshot, or before 2000")


def _member_dates(member: Member, taken_on: date) -> Iterator[Fault]:
    where = f"member {member.id!r}"
    if member.born_on is not None and not EARLIEST_BIRTH <= member.born_on <= taken_on:
        yield Fault(where, "the birth date is after the snapshot, or before 1900")
    for day in (member.pregnancy_due_on, member.breastfeeding_since_on):
        if day is not None and not _in_century(day):
            yield Fault(where, f"a date is not between {FIRST_YEAR} and {LAST_YEAR}")


def _in_century(day: date) -> bool:
    return FIRST_YEAR <= day.year <= LAST_YEAR
