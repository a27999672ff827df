"""List the visits that a store could still promise for, with what is promised for each already."""

from collections.abc import Iterable, Mapping
from datetime import UTC, date, timedelta
from math import fsum

from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import LotId, PartnerId
from daysworth.domain.promises import Promise
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.visits import VisitKey
from daysworth.planners.shelf import DatedLot
from daysworth.planners.surplus_plan import Load, Visit, unit_mass_g


def visits_of(
    snapshot: Snapshot,
    as_of: date,
    *,
    until_on: date,
    partners: frozenset[PartnerId] | None,
    lots: Mapping[LotId, DatedLot],
    over: frozenset[VisitKey] = frozenset(),
) -> tuple[Visit, ...]:
    """List the visits before `until_on` for which notice can still be given, the earliest first.

    Those that are `over` are left out. `lots` has every lot that is promised to somebody.
    """
    promised = _promised(snapshot.promises, lots=lots)
    found = [
        Visit(
            partner=partner,
            window=window,
            opens_at=opens_at,
            promised=promised.get((partner.id, window.id, opens_at.replace(tzinfo=None)), {}),
        )
        for partner in snapshot.partners
        if partners is None or partner.id in partners
        for window in partner.windows
        for opens_at in window.opens(
            from_on=as_of + timedelta(days=window.notice_days),
            to_on=until_on - timedelta(days=1),
        )
        if (partner.id, window.id, opens_at.replace(tzinfo=None, fold=0)) not in over
    ]
    return tuple(
        sorted(found, key=lambda one: (one.opens_at.astimezone(UTC), one.partner.id, one.window.id))
    )


def _promised(
    promises: Iterable[Promise], *, lots: Mapping[LotId, DatedLot]
) -> dict[VisitKey, dict[FoodGroup, Load]]:
    found: dict[VisitKey, dict[FoodGroup, list[Load]]] = {}
    for one in promises:
        loads = found.setdefault((one.partner, one.window, one.opens_at), {})
        for part in one.items:
            item = lots[part.lot]
            load = Load(part.units * unit_mass_g(item), part.units)
            loads.setdefault(item.food.group, []).append(load)
    return {
        key: {
            group: Load(fsum(one.mass_g for one in each), sum(one.units for one in each))
            for group, each in loads.items()
        }
        for key, loads in found.items()
    }
