"""Find what cannot be promised: what is not there, or more of a lot than is promised of it."""

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence

from daysworth.domain.errors import Fault
from daysworth.domain.identifiers import LotId, PartnerId, WindowId
from daysworth.domain.lots import Lot
from daysworth.domain.partners import Partner
from daysworth.domain.promises import Promise


def units_promised(promises: Sequence[Promise]) -> Counter[LotId]:
    """Count the units of each lot that open promises hold."""
    found = Counter[LotId]()
    for promise in promises:
        for item in promise.items:
            found[item.lot] += item.units
    return found


def promise_faults(
    promises: Sequence[Promise], *, partners: Sequence[Partner], lots: Sequence[Lot]
) -> Iterator[Fault]:
    """Find every fault of promises beside the partners, windows and lots they refer to."""
    windows = {one.id: {window.id for window in one.windows} for one in partners}
    held = {lot.id: lot for lot in lots}
    for promise in promises:
        yield from _dangling(promise, windows, lots=held)
    for lot, units in units_promised(promises).items():
        if lot in held and units > held[lot].units_promised:
            promised = held[lot].units_promised
            what = f"promises hold {units} of it, and {promised} are promised"
            yield Fault(f"lot {lot!r}", what)


def _dangling(
    promise: Promise,
    windows: Mapping[PartnerId, Collection[WindowId]],
    *,
    lots: Collection[LotId],
) -> Iterator[Fault]:
    where = f"promise {promise.id!r}"
    if promise.partner not in windows:
        yield Fault(where, f"its partner {promise.partner!r} is not in the snapshot")
    elif promise.window not in windows[promise.partner]:
        yield Fault(where, f"its window {promise.window!r} is none of its partner's")
    for item in promise.items:
        if item.lot not in lots:
            yield Fault(where, f"its lot {item.lot!r} is not in the snapshot")
