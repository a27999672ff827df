"""Guess below which day nothing is needed for the latest kits; what is guessed is proved later."""

from collections.abc import Sequence
from itertools import accumulate

from daysworth.planners.packing_fills import Way
from daysworth.planners.packing_piles import ALL_DAYS, NO_DAY, Shelf


def floors_of(shelf: Shelf, ways: Sequence[Way], *, fills: float) -> tuple[int, ...]:
    """Give for each kind the day beyond which so many fills of each slot are good, or more."""
    units: dict[tuple[int, int], dict[int, int]] = {}
    for way in ways:
        for part in way.parts:
            for slot in part.slots:
                of_slot = units.setdefault((way.kind, slot), {})
                of_slot.update((fill.good, fill.units) for fill in part.fills)
    floors = [ALL_DAYS] * len(shelf.kinds)
    for (kind, _), goods in units.items():
        supply = sorted(
            (
                (day, packs / goods[number])
                for number in goods
                for day, packs in shelf.goods[number].by_day
                if day >= shelf.from_days[kind]
            ),
            reverse=True,
        )
        sums = accumulate(count for _, count in supply)
        enough = (day for (day, _), n in zip(supply, sums, strict=True) if n >= fills)
        floors[kind] = min(floors[kind], next(enough, NO_DAY))
    return tuple(NO_DAY if day == ALL_DAYS else day for day in floors)
