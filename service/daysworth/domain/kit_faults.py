"""Find what cannot be in a store's kits: what is not there, or more of it than is in kits."""

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from datetime import date, timedelta

from daysworth.domain.errors import Fault
from daysworth.domain.identifiers import HouseholdId, LotId, PlaceId
from daysworth.domain.label_dates import FIRST_YEAR
from daysworth.domain.lots import Lot
from daysworth.domain.meal_kits import MealKit
from daysworth.domain.wares import WareStock


def kit_faults(
    kits: Sequence[MealKit],
    wares: Sequence[WareStock],
    *,
    lots: Sequence[Lot],
    places: Collection[PlaceId],
    households: Collection[HouseholdId],
    taken_on: date,
) -> Iterator[Fault]:
    """Find every fault of kits and wares beside the lots, places and households they refer to."""
    for ware in wares:
        if ware.place not in places:
            yield Fault(f"wares > {ware.kind}", f"its place {ware.place!r} is not in the snapshot")
    for (kind, place), times in Counter((ware.kind, ware.place) for ware in wares).items():
        if times > 1:
            yield Fault(f"wares > {kind}", f"stands {times} times in {place!r}; once is enough")
    held = {lot.id: lot for lot in lots}
    packed: Counter[LotId] = Counter()
    for kit in kits:
        yield from _kit_faults(kit, held, places=places, households=households)
        # Somebody may have packed it today, before the store was moved to a zone further west.
        if not date(FIRST_YEAR, 1, 1) <= kit.packed_on <= taken_on + timedelta(days=1):
            yield Fault(f"kit {kit.id!r}", "packed_on is after the snapshot, or before 2000")
        for item in kit.items:
            packed[item.lot] += item.units
    for lot, units in packed.items():
        if lot in held and units > held[lot].units_in_kits:
            in_kits = held[lot].units_in_kits
            yield Fault(f"lot {lot!r}", f"kits hold {units} of it, and {in_kits} are in kits")


def _kit_faults(
    kit: MealKit,
    held: Mapping[LotId, Lot],
    *,
    places: Collection[PlaceId],
    households: Collection[HouseholdId],
) -> Iterator[Fault]:
    where = f"kit {kit.id!r}"
    if kit.place not in places:
        yield Fault(where, f"its place {kit.place!r} is not in the snapshot")
    if kit.household is not None and kit.household not in households:
        yield Fault(where, f"its household {kit.household!r} is not in the snapshot")
    for item in kit.items:
        if item.lot not in held:
            yield Fault(where, f"its lot {item.lot!r} is not in the snapshot")
        elif held[item.lot].place != kit.place:
            yield Fault(where, f"its lot {item.lot!r} stands in another place than the kit")
