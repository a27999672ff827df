"""Put the kits, wares and patterns of a snapshot into a store that has its lots already."""

from collections import Counter
from collections.abc import Iterator, Sequence

from sqlalchemy import Table, insert

from daysworth.db.kit_facts import facts_of
from daysworth.db.kits import item_values, kit_values
from daysworth.db.patterns import pattern_values
from daysworth.db.people_kept import Kept
from daysworth.db.tables import KIT, KIT_ITEM, PATTERN, WARE, WARE_ENTRY
from daysworth.db.transactions import Writing
from daysworth.domain.entries import KitState, WareEntryKind
from daysworth.domain.identifiers import LotId
from daysworth.domain.meal_kits import MealKit
from daysworth.domain.snapshot import Snapshot

Rows = list[dict[str, Kept]]


def units_in_kits(kits: Sequence[MealKit]) -> Counter[LotId]:
    """Count the units of each lot that kits hold."""
    found = Counter[LotId]()
    for kit in kits:
        found.update({item.lot: item.units for item in kit.items})
    return found


def fill_kits(writing: Writing, snapshot: Snapshot, *, version: int) -> None:
    """Put in what a snapshot has of kits, each ware by an entry of this version in its ledger.

    A kit is taken as one that was looked at: whoever puts the snapshot in answers for it.
    """
    for table, rows in _rows(writing, snapshot, version=version):
        if rows:
            kept: Rows = [{"store": writing.store, **row} for row in rows]
            writing.connection.execute(insert(table), kept)


def _rows(writing: Writing, snapshot: Snapshot, *, version: int) -> Iterator[tuple[Table, Rows]]:
    yield (
        PATTERN,
        [{"id": one.id, "revision": 1, **pattern_values(one)} for one in snapshot.patterns],
    )
    yield (
        WARE,
        [
            {"kind": ware.kind, "place": ware.place, "units": ware.units, "revision": 1}
            for ware in snapshot.wares
        ],
    )
    yield (
        WARE_ENTRY,
        [
            {
                "version": version,
                "line": line,
                "kind": WareEntryKind.RECEIVED,
                "ware": ware.kind,
                "place": ware.place,
                "units": ware.units,
                "at": writing.instant,
                "credential": writing.by.id,
                "by": writing.by.signs_as,
                "why": "from a snapshot",
            }
            for ware, line in zip(snapshot.wares, writing.lines, strict=False)
        ],
    )
    facts = facts_of(writing, snapshot.kits)
    yield (
        KIT,
        [
            {
                **kit_values(kit),
                "packed_by": writing.by.signs_as,
                "state": KitState.CLOSED,
                "facts": facts[kit.id],
                "revision": 1,
            }
            for kit in snapshot.kits
        ],
    )
    yield KIT_ITEM, [values for kit in snapshot.kits for values in item_values(kit)]
