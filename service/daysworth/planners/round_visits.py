"""Find the first visit on which a partner takes what is due at a round.

A partner takes a lot by its own rules and by the date that is printed, never by our grace
(`acceptance`). Looked at are the visits for which notice can still be given and that have room for
a unit more than what is promised for them; how much of it they have room for, the plan for what
can be spared says. What a partner takes on a day by its date it takes on every day before, so that
of each partner the first visit with room tells.
"""

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Final

from daysworth.domain.acceptance import never_goes, printed_last_day, refusal
from daysworth.domain.identifiers import PartnerId
from daysworth.domain.rounds import LOOK_AHEAD_DAYS
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.shelf import DatedLot
from daysworth.planners.surplus_plan import Visit, unit_mass_g
from daysworth.planners.surplus_visits import visits_of

_GRAIN_G: Final = 1e-6
"""A bound in kilograms is no exact number of grams."""


class RoundVisits:
    """The visits to a store's partners, from a date until the last on which any due lot may go."""

    def __init__(
        self,
        snapshot: Snapshot,
        as_of: date,
        *,
        due: Iterable[DatedLot],
        dated: Iterable[DatedLot],
    ) -> None:
        """List the visits, two years ahead at most; `dated` are all lots of the store."""
        self._by_partner: list[list[tuple[int, Visit]]] = []
        last = _last_day(snapshot, due)
        if last is None:
            return
        found = visits_of(
            snapshot,
            as_of,
            until_on=min(last, as_of + timedelta(days=LOOK_AHEAD_DAYS)) + timedelta(days=1),
            partners=None,
            lots={item.lot.id: item for item in dated},
        )
        by_partner: dict[PartnerId, list[tuple[int, Visit]]] = {}
        for number, visit in enumerate(found):
            by_partner.setdefault(visit.partner.id, []).append((number, visit))
        # They stand by the first visit of each, as they were found.
        self._by_partner.extend(by_partner.values())

    def first_for(self, item: DatedLot) -> Visit | None:
        """Give the first visit on which a lot may be handed off; None: there is none."""
        if never_goes(item.lot, item.food) is not None:
            return None
        best: tuple[int, Visit] | None = None
        for visits in self._by_partner:
            if best is not None and visits[0][0] > best[0]:
                break
            first = next((one for one in visits if _has_room(one[1], item)), None)
            if first is None or (best is not None and first[0] > best[0]):
                continue
            if refusal(first[1].partner, item.lot, food=item.food, on=first[1].on) is None:
                best = first
        return None if best is None else best[1]


def _last_day(snapshot: Snapshot, due: Iterable[DatedLot]) -> date | None:
    """Give a day after which no partner takes anything of what is due; None: none takes any."""
    printed = (
        printed_last_day(item.lot, item.food)
        for item in due
        if never_goes(item.lot, item.food) is None
    )
    last = max((day for day in printed if day is not None), default=None)
    if last is None or not snapshot.partners:
        return None
    asked = (rule.least_days_left for one in snapshot.partners for rule in one.rules)
    return last - timedelta(days=min(0, min(asked, default=0)))


def _has_room(visit: Visit, item: DatedLot) -> bool:
    """Tell whether a unit fits beside what is promised, by the visit's bounds and the group's."""
    unit_g = unit_mass_g(item) - _GRAIN_G
    rooms = (visit.room, visit.room_of(item.food.group))
    return all(room.units >= 1 and room.mass_g >= unit_g for room in rooms)
