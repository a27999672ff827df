"""List what a round's plan asks of each place, in the order in which somebody walks round."""

from dataclasses import dataclass
from datetime import date

from daysworth.domain.identifiers import PlaceId
from daysworth.domain.lots import Place
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.round_proposals import DueKit, DueLot, RoundPlan
from daysworth.planners.shelf import DatedLot

WorkLine = DueLot | DueKit
"""What is pulled from its place, with what becomes of it."""


@dataclass(frozen=True, slots=True)
class PlaceWork:
    """What is to be pulled from a place, the earliest date first, and what is to be looked at.

    What is due without a date is damaged, and comes last.
    """

    place: Place
    lines: tuple[WorkLine, ...]
    looked_at: tuple[DatedLot, ...]


def worklist(plan: RoundPlan, snapshot: Snapshot) -> tuple[PlaceWork, ...]:
    """List the places with anything to do, by walking position, then by name and id."""
    lines: dict[PlaceId, list[WorkLine]] = {}
    looked_at: dict[PlaceId, list[DatedLot]] = {}
    for kit in plan.kits:
        lines.setdefault(kit.kit.place, []).append(kit)
    for due in plan.lots:
        lines.setdefault(due.item.lot.place, []).append(due)
    for item in plan.looked_at:
        looked_at.setdefault(item.lot.place, []).append(item)
    return tuple(
        PlaceWork(
            place,
            tuple(sorted(lines.get(place.id, ()), key=_earliest)),
            tuple(looked_at.get(place.id, ())),
        )
        for place in sorted(snapshot.places, key=lambda one: (one.walk_position, one.name, one.id))
        if place.id in lines or place.id in looked_at
    )


def _earliest(due: WorkLine) -> tuple[date, str, str]:
    if isinstance(due, DueKit):
        return due.pull_by_day or date.max, due.kit.name, due.kit.id
    item = due.item
    return item.last_good_day or date.max, item.food.name, item.lot.id
