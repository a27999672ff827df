"""Plan a rotation round: what is due, and one proposal for what becomes of each lot and kit.

Let `D` be the as-of date, `R` the round's day and `N` the first round after both. A lot is due
where it has units that are in no kit and promised to nobody, and it is damaged, past its last good
day on `D`, or passes it before `N`: nobody looks at it again in time. A kit is due where one of its
items is; its pull-by date is the earliest last good day among them. Undated and quarantined lots
are listed apart, to be looked at.

What is damaged is thrown away. The rest is proposed, the earliest dates first, kits before lots of
the same day,

    1  to be eaten first by homes that it suits and that have the room (`eat_first`), but not what
       is past its date; a kit whole, by the household it was put up for, or by one of about as many
       persons
    2  what finds no home: to be handed off on the first visit on which a partner takes it
       (`round_visits`)
    3  else to be thrown away on the day after its last good day, and what is past it today; a kit
       is unpacked

Some partners take what is past a best-by date, and it goes to them as in a plan for what can be
spared. To nobody goes what `acceptance.never_goes` names: what was opened, repacked or filled here,
what is damaged, and what a household keeps for itself, which is for that household alone.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

from daysworth.domain import suitability
from daysworth.domain.acceptance import never_goes
from daysworth.domain.errors import ScenarioRefused
from daysworth.domain.identifiers import LotId
from daysworth.domain.lots import Lot
from daysworth.domain.meal_kits import MealKit
from daysworth.domain.rounds import LOOK_AHEAD_DAYS, next_round_day, round_days, round_held_on
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge
from daysworth.planners.eat_first import Room
from daysworth.planners.round_homes import Homes
from daysworth.planners.round_proposals import (
    DueKit,
    DueLot,
    Portion,
    Proposal,
    RoundAction,
    RoundPlan,
)
from daysworth.planners.round_visits import RoundVisits
from daysworth.planners.shelf import DatedLot, Standing, dated_lots, kept_by

EARLIEST_DAYS: Final = 31
"""How many days before its day a round may be worked: our judgement."""

_TO_LOOK_AT: Final = (Standing.UNDATED, Standing.QUARANTINED)
_TO_THROW_AWAY: Final = (Standing.PAST, Standing.DAMAGED)


def plan_round(
    snapshot: Snapshot,
    as_of: date,
    *,
    round_on: date | None = None,
    judge: Judge = suitability.judge,
) -> RoundPlan:
    """Plan the round of a day, as things stand on a date; None: the latest that there has been.

    Raises ScenarioRefused where `round_on` is no day of a round by the store's rule, lies more than
    31 days ahead of the as-of date, or more than two years back.
    """
    rule = snapshot.settings.rounds_rule
    held_on = round_held_on(rule, on=as_of) if round_on is None else round_on
    if round_on is not None:
        _check_round(rule, round_on=round_on, as_of=as_of)
    next_on = next_round_day(rule, after=as_of if held_on is None else max(held_on, as_of))
    dated = dated_lots(snapshot, as_of)
    looked_at = sorted(
        (item for item in dated if item.standing in _TO_LOOK_AT and item.lot.units > 0),
        key=lambda item: (item.food.name, item.lot.id),
    )
    if held_on is None:
        return RoundPlan(
            as_of=as_of, round_on=None, next_round_on=next_on, looked_at=tuple(looked_at)
        )
    due = [item for item in dated if free_units(item.lot) > 0 and _is_due(item, next_on=next_on)]
    visits = RoundVisits(snapshot, as_of, due=due, dated=dated)
    lots, kits = _Proposing(snapshot, as_of, visits=visits, judge=judge).about(
        due, _due_kits(snapshot.kits, dated=dated, next_on=next_on)
    )
    return RoundPlan(
        as_of=as_of,
        round_on=held_on,
        next_round_on=next_on,
        lots=lots,
        kits=kits,
        looked_at=tuple(looked_at),
    )


def free_units(lot: Lot) -> int:
    """Count the units of a lot that are in no kit and promised to nobody."""
    return lot.units - lot.units_in_kits - lot.units_promised


def _check_round(rule: str, *, round_on: date, as_of: date) -> None:
    days_ahead = (round_on - as_of).days
    if days_ahead > EARLIEST_DAYS:
        raise ScenarioRefused(
            f"{round_on} lies too far ahead: a round is worked at most {EARLIEST_DAYS} days early"
        )
    if days_ahead < -LOOK_AHEAD_DAYS:
        raise ScenarioRefused(f"{round_on} lies too far back: it is more than two years ago")
    if not round_days(rule, from_on=round_on, to_on=round_on):
        raise ScenarioRefused(f"{round_on} is no day of a round by this store's rule")


def _is_due(item: DatedLot, *, next_on: date | None) -> bool:
    if item.standing is not Standing.GOOD:
        return item.standing in _TO_THROW_AWAY
    return next_on is not None and item.last_good_day is not None and item.last_good_day < next_on


def _due_kits(
    kits: Iterable[MealKit], *, dated: Iterable[DatedLot], next_on: date | None
) -> list[DueKit]:
    """Find the kits that are due, as if all of them were unpacked."""
    by_lot: dict[LotId, DatedLot] = {item.lot.id: item for item in dated}
    found = []
    for kit in kits:
        items = tuple(by_lot[packed.lot] for packed in kit.items)
        if any(_is_due(item, next_on=next_on) for item in items):
            days = [item.last_good_day for item in items if item.last_good_day is not None]
            to_pass_on = tuple(
                packed
                for packed, item in zip(kit.items, items, strict=True)
                if item.standing is Standing.GOOD and never_goes(item.lot, item.food) is None
            )
            day = min(days, default=None)
            found.append(DueKit(kit=kit, pull_by_day=day, items=items, to_pass_on=to_pass_on))
    return sorted(found, key=lambda due: (_day_of(due.pull_by_day), due.kit.name, due.kit.id))


@dataclass(frozen=True, slots=True)
class _Leaving:
    """How units that nobody here eats leave the store, and on which day."""

    action: RoundAction
    leaves_on: date
    partner_name: str | None = None


class _Proposing:
    """Find one proposal after another; what one home was proposed leaves it less room."""

    def __init__(
        self, snapshot: Snapshot, as_of: date, *, visits: RoundVisits, judge: Judge
    ) -> None:
        self._as_of = as_of
        self._room = Room(Homes(snapshot, as_of, judge=judge), as_of)
        self._visits = visits

    def about(
        self, lots: Iterable[DatedLot], kits: Sequence[DueKit]
    ) -> tuple[tuple[DueLot, ...], tuple[DueKit, ...]]:
        """Propose for lots and kits, the earliest first, kits before lots of the same day."""
        found_lots: list[DueLot] = []
        found_kits: list[DueKit] = []
        for item in sorted(lots, key=_by_day):
            for due in kits[len(found_kits) :]:
                if _day_of(due.pull_by_day) > _day_of(item.last_good_day):
                    break
                found_kits.append(self._about_kit(due))
            found_lots.append(DueLot(item, self._about_lot(item)))
        found_kits.extend(self._about_kit(due) for due in kits[len(found_kits) :])
        return tuple(found_lots), tuple(found_kits)

    def _about_kit(self, due: DueKit) -> DueKit:
        keepers = {kept_by(item.lot) for item in due.items} | {due.kit.household}
        whose = [one for one in keepers if one is not None]
        is_good = all(item.standing is Standing.GOOD for item in due.items)
        if due.pull_by_day is None or not is_good or len(whose) > 1:
            return due
        units = (packed.units for packed in due.kit.items)
        household = self._room.seat(
            list(zip(due.items, units, strict=True)),
            persons=due.kit.persons,
            by_day=due.pull_by_day,
            only=whose[0] if whose else None,
        )
        return due if household is None else replace(due, household=household, to_pass_on=())

    def _about_lot(self, item: DatedLot) -> Proposal:
        units, day, leaving = free_units(item.lot), item.last_good_day, self._leaving(item)
        portions: tuple[Portion, ...] = ()
        if item.standing is Standing.GOOD:
            portions = self._room.give(item, units=units, only=kept_by(item.lot))
        eaten = sum(portion.units for portion in portions)
        if day is None or not eaten:
            return Proposal(
                action=leaving.action,
                action_on=leaving.leaves_on,
                units=units,
                partner_name=leaving.partner_name,
            )
        has_rest = eaten < units
        return Proposal(
            action=RoundAction.EAT_FIRST,
            action_on=day,
            units=eaten,
            portions=portions,
            rest_units=units - eaten,
            rest_action=leaving.action if has_rest else None,
            rest_on=leaving.leaves_on if has_rest else None,
            partner_name=leaving.partner_name if has_rest else None,
        )

    def _leaving(self, item: DatedLot) -> _Leaving:
        visit = self._visits.first_for(item)
        if visit is not None:
            return _Leaving(RoundAction.HAND_OFF, visit.on, visit.partner.name)
        if item.standing is not Standing.GOOD or item.last_good_day is None:
            return _Leaving(RoundAction.DISCARD, self._as_of)
        return _Leaving(RoundAction.DISCARD, item.last_good_day + timedelta(days=1))


def _day_of(day: date | None) -> date:
    return day or date.max


def _by_day(item: DatedLot) -> tuple[object, ...]:
    lot, food = item.lot, item.food
    return _day_of(item.last_good_day), lot.is_shared, food.name, food.id, lot.id
