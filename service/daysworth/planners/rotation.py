"""Say what passes its date before the next rotation round, and what stands aside.

At a date, a lot is due when its last good day falls before the next round's date: nobody will look
at it again in time. Past, undated, damaged and quarantined lots are listed apart.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from math import fsum

from daysworth.domain.rounds import next_round_day
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.shelf import DatedLot, Standing, dated_lots


@dataclass(frozen=True, slots=True)
class Rotation:
    """Lots due before the next round, earliest first, and lots set aside by standing.

    `next_round_day` None: the store's rule has no round within two years, and nothing is due.
    """

    next_round_day: date | None
    due: tuple[DatedLot, ...]
    set_aside: dict[Standing, tuple[DatedLot, ...]]

    @property
    def due_units(self) -> int:
        """Count the units due, those promised to a partner left out."""
        return sum(item.lot.units_to_eat for item in self.due)

    @property
    def due_energy_kcal(self) -> float:
        """Sum the kcal due."""
        return fsum(
            item.lot.units_to_eat * item.food.energy_kcal(item.lot.net_mass_g) for item in self.due
        )


def plan_rotation(snapshot: Snapshot, as_of: date) -> Rotation:
    """Find what is due between a date and the next round, and what is set aside on that date."""
    held = [item for item in dated_lots(snapshot, as_of) if item.lot.units > 0]
    round_day = next_round_day(snapshot.settings.rounds_rule, after=as_of)
    due = [] if round_day is None else _good_only_before(round_day, held)
    return Rotation(
        round_day,
        tuple(sorted(due, key=_by_day)),
        {
            standing: tuple(
                sorted((item for item in held if item.standing is standing), key=_by_day)
            )
            for standing in Standing
            if standing is not Standing.GOOD
        },
    )


def _good_only_before(round_day: date, held: Iterable[DatedLot]) -> list[DatedLot]:
    return [
        item
        for item in held
        if item.standing is Standing.GOOD
        and item.lot.units_to_eat > 0
        and item.last_good_day is not None
        and item.last_good_day < round_day
    ]


def _by_day(item: DatedLot) -> tuple[date, str, str]:
    return (item.last_good_day or date.max, item.food.name, item.lot.id)
