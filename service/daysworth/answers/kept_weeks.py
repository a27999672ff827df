"""Write what is kept of a store each week, and read it back as a snapshot.

The pieces of an export are parts of a snapshot file in the published format, so that it outlasts
the release that wrote it as any file does. Which household gave what it shares with all is left
out: no plan asks, and stock that is everyone's need not go with the household that gave it. A kit
that was put up for a household goes with it; what is in the kit stays, and is told by the lots.
"""

import json
from collections import defaultdict
from dataclasses import fields, is_dataclass, replace
from datetime import date, datetime

from daysworth.answers.snapshot_file import MOST_BYTES, read_snapshot
from daysworth.db.kept_exports import KeptExport, kept_week
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.iso_weeks import Week
from daysworth.domain.lots import Lot
from daysworth.domain.meal_kits import MealKit
from daysworth.domain.pseudonyms import pseudonymous
from daysworth.domain.snapshot import Snapshot


def export_of(
    snapshot: Snapshot, week: Week, *, key: bytes, taken_on: date, at: datetime
) -> KeptExport | None:
    """Write a store's export under pseudonyms; None: it is larger than a snapshot file may be."""
    named = pseudonymous(snapshot, key=key)
    shared = [
        lot if lot.owner is None else replace(lot, owner=None)
        for lot in named.lots
        if lot.is_shared
    ]
    own: dict[HouseholdId | None, list[Lot]] = defaultdict(list)
    for lot in named.lots:
        if not lot.is_shared:
            own[lot.owner].append(lot)
    kits: dict[HouseholdId | None, list[MealKit]] = defaultdict(list)
    for kit in named.kits:
        kits[kit.household].append(kit)
    stock = _written({**_fields_of(named), "households": (), "lots": shared, "kits": kits[None]})
    homes = {
        home.id: _written({"household": home, "lots": own[home.id], "kits": kits[home.id]})
        for home in named.households
    }
    if len(stock) + sum(map(len, homes.values())) > MOST_BYTES:
        return None
    kept = kept_week(week, version=snapshot.version, taken_on=taken_on, at=at)
    return KeptExport(kept=kept, stock=stock, homes=homes)


def snapshot_of(export: KeptExport) -> Snapshot:
    """Read an export back as one snapshot under pseudonyms, its parts in the order of their ids.

    A kit, or a promise, with something of a household in it that was erased since is left out.
    """
    written = json.loads(export.stock)
    homes = [json.loads(home) for home in export.homes.values()]
    written["households"] = [home["household"] for home in homes]
    lots = [*written["lots"], *(lot for home in homes for lot in home["lots"])]
    written["lots"] = sorted(lots, key=lambda lot: str(lot["id"]))
    there = {lot["id"] for lot in lots}
    # What an earlier release wrote has no kits, and no promises.
    kits = [*written.get("kits", ()), *(kit for home in homes for kit in home.get("kits", ()))]
    for name, parts in (("kits", kits), ("promises", written.get("promises", ()))):
        if parts:
            whole = [one for one in parts if there.issuperset(item["lot"] for item in one["items"])]
            written[name] = sorted(whole, key=lambda one: str(one["id"]))
    return read_snapshot(json.dumps(written).encode())


def _written(part: object) -> bytes:
    """Write a part of a snapshot file without a space in it, which is the quickest."""
    return json.dumps(part, default=_plain, ensure_ascii=False, separators=(",", ":")).encode()


def _plain(value: object) -> str | list[str] | list[int] | dict[str, object]:
    if isinstance(value, datetime):
        return value.isoformat(timespec="minutes")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, frozenset):
        return sorted(value)
    return _fields_of(value)


def _fields_of(value: object) -> dict[str, object]:
    if not is_dataclass(value):
        raise TypeError(f"a snapshot holds no {type(value).__name__}")
    return {field.name: getattr(value, field.name) for field in fields(value)}
