"""Write a round: what is due, one proposal for each, and the work by place.

The names here are the names in JSON. Households stand beside the numbers of their parcels; words
name parcels alone. Who is no coordinator is told no household.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from typing import Final

from daysworth.answers.kit_words import day_words, listed
from daysworth.answers.reference_data import release
from daysworth.answers.rounding import figure
from daysworth.answers.written import written
from daysworth.domain.acceptance import printed_last_day
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.entries import Credential, Role
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.rotation_round import plan_round
from daysworth.planners.round_proposals import (
    DueKit,
    DueLot,
    Proposal,
    RoundAction,
    RoundPlan,
)
from daysworth.planners.round_worklist import PlaceWork, WorkLine, worklist
from daysworth.planners.shelf import DatedLot
from daysworth.reference.cautions import CautionRow

ParcelNumbers = Mapping[HouseholdId, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class PortionAnswer:
    """Units for one household; `household` is told to coordinators alone."""

    household: str | None
    parcel_number: int | None
    units: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposalAnswer:
    """What becomes of one lot or kit that is due; `proposal` names it, and `words` say it.

    `action` is eat_first, hand_off or discard for a lot, eat_whole or unpack for a kit, for
    `action_units`. `action_on` is the last day to eat it, the day of the visit to the partner, or
    the first day on which it is thrown away. `rest_units` are left over. `last_good_day` is a kit's
    pull-by day. `kept_by` keeps the lot for itself. `to_pass_on` says what an unpacked kit leaves
    to be given.
    """

    proposal: str
    lot: str | None
    kit: str | None
    food: str | None
    name: str
    persons: int | None
    place: str
    place_name: str
    last_good_day: date | None
    units: int
    mass_g: float
    energy_kcal: float
    kept_by: str | None
    kept_by_parcel: int | None
    action: str
    action_on: date | None
    action_units: int
    portions: list[PortionAnswer]
    partner_name: str | None
    rest_units: int
    rest_action: str | None
    rest_on: date | None
    to_pass_on: list[str]
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LookedAtAnswer:
    """A lot that somebody has to look at: it has no date, or was set aside."""

    lot: str
    food: str
    food_name: str
    units: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkPlaceAnswer:
    """What is to be done in one place, the earliest date first; places stand in walking order."""

    place: str
    place_name: str
    proposals: list[ProposalAnswer]
    to_look_at: list[LookedAtAnswer]


@dataclass(frozen=True, slots=True, kw_only=True)
class ActionTotal:
    """All that is proposed of one action."""

    action: str
    units: int
    mass_g: float
    energy_kcal: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundPlanAnswer:
    """What is due at a round, and what is proposed, place by place.

    `round_on` None: there has been no round within two years. Due is what is past its date or
    damaged, or passes its date before `next_round_on`. `version` is the store's that the proposals
    rest on: it is sent along when they are accepted.
    """

    question: str
    release: str
    store: str
    store_name: str
    version: int
    as_of: date
    round_on: date | None
    next_round_on: date | None
    due: int
    totals: list[ActionTotal]
    worklist: list[WorkPlaceAnswer]
    cautions: list[CautionRow]

    @property
    def proposals(self) -> list[ProposalAnswer]:
        """Give every proposal, place by place."""
        return [one for place in self.worklist for one in place.proposals]


def answer_round(
    snapshot: Snapshot,
    as_of: date,
    *,
    round_on: date | None = None,
    parcel_numbers: ParcelNumbers,
) -> RoundPlanAnswer:
    """Plan a round, the latest there has been when no day is given. Raises as `plan_round`."""
    plan = plan_round(snapshot, as_of, round_on=round_on)
    places = [_place(one, numbers=parcel_numbers) for one in worklist(plan, snapshot)]
    return RoundPlanAnswer(
        question="round",
        release=release(),
        store=snapshot.store,
        store_name=snapshot.store_name,
        version=snapshot.version,
        as_of=as_of,
        round_on=plan.round_on,
        next_round_on=plan.next_round_on,
        due=len(plan.lots) + len(plan.kits),
        totals=_totals(plan),
        worklist=places,
        cautions=list(cautions_on({Topic.FOOD, Topic.WATER, Topic.ALLERGY, Topic.INFANTS})),
    )


def round_json(answer: RoundPlanAnswer) -> str:
    """Write an answer as JSON, two spaces deep; the same answer gives the same bytes."""
    return written(answer, of=RoundPlanAnswer)


def round_seen_by(reader: Credential, answer: RoundPlanAnswer) -> RoundPlanAnswer:
    """Give what a reader may see: who is no coordinator is told parcels and no household."""
    if reader.role is Role.COORDINATOR:
        return answer
    return replace(
        answer,
        worklist=[
            replace(place, proposals=[_nameless(one) for one in place.proposals])
            for place in answer.worklist
        ],
    )


def _nameless(one: ProposalAnswer) -> ProposalAnswer:
    portions = [replace(portion, household=None) for portion in one.portions]
    return replace(one, kept_by=None, portions=portions)


def _totals(plan: RoundPlan) -> list[ActionTotal]:
    return [
        ActionTotal(
            action=action,
            units=found.units,
            mass_g=figure(found.mass_g),
            energy_kcal=figure(found.energy_kcal),
        )
        for action, found in plan.totals.items()
    ]


def _place(work: PlaceWork, *, numbers: ParcelNumbers) -> WorkPlaceAnswer:
    return WorkPlaceAnswer(
        place=work.place.id,
        place_name=work.place.name,
        proposals=[_proposal(line, work=work, numbers=numbers) for line in work.lines],
        to_look_at=[_looked_at(item) for item in work.looked_at],
    )


def _proposal(line: WorkLine, *, work: PlaceWork, numbers: ParcelNumbers) -> ProposalAnswer:
    tell = partial(
        ProposalAnswer,
        place=work.place.id,
        place_name=work.place.name,
        units=line.figures.units,
        mass_g=figure(line.figures.mass_g),
        energy_kcal=figure(line.figures.energy_kcal),
    )
    if isinstance(line, DueKit):
        return _of_kit(line, tell=tell, numbers=numbers)
    return _of_lot(line, tell=tell, numbers=numbers)


def _of_lot(
    due: DueLot, *, tell: Callable[..., ProposalAnswer], numbers: ParcelNumbers
) -> ProposalAnswer:
    item, said = due.item, due.proposal
    return tell(
        proposal=f"lot:{item.lot.id}",
        lot=item.lot.id,
        kit=None,
        food=item.food.id,
        name=item.food.name,
        persons=None,
        last_good_day=item.last_good_day,
        kept_by=due.kept_by,
        kept_by_parcel=None if due.kept_by is None else numbers.get(due.kept_by),
        action=said.action,
        action_on=said.action_on,
        action_units=said.units,
        portions=[
            PortionAnswer(
                household=one.household,
                parcel_number=numbers.get(one.household),
                units=one.units,
            )
            for one in said.portions
        ],
        partner_name=said.partner_name,
        rest_units=said.rest_units,
        rest_action=said.rest_action,
        rest_on=said.rest_on,
        to_pass_on=[],
        words=_lot_words(said, item=item, numbers=numbers),
    )


def _of_kit(
    due: DueKit, *, tell: Callable[..., ProposalAnswer], numbers: ParcelNumbers
) -> ProposalAnswer:
    kit, home = due.kit, due.household
    foods = {item.lot.id: item.food.name for item in due.items}
    portions = []
    if home is not None:
        portions = [PortionAnswer(household=home, parcel_number=numbers.get(home), units=1)]
    return tell(
        proposal=f"kit:{kit.id}",
        lot=None,
        kit=kit.id,
        food=None,
        name=kit.name,
        persons=kit.persons,
        last_good_day=due.pull_by_day,
        kept_by=kit.household,
        kept_by_parcel=None if kit.household is None else numbers.get(kit.household),
        action=due.action,
        action_on=due.pull_by_day,
        action_units=1,
        portions=portions,
        partner_name=None,
        rest_units=0,
        rest_action=None,
        rest_on=None,
        to_pass_on=[f"{one.units} × {foods[one.lot]}" for one in due.to_pass_on],
        words=_kit_words(due, numbers=numbers),
    )


def _lot_words(said: Proposal, *, item: DatedLot, numbers: ParcelNumbers) -> str:
    if said.action is RoundAction.EAT_FIRST:
        whose = listed(f"{one.units} by {_parcel(one.household, numbers)}" for one in said.portions)
        first = f"eat first, by {day_words(said.action_on)}: {whose}"
    else:
        first = _leaving(said.action, said.action_on, said=said, item=item)
    if said.rest_action is None or said.rest_on is None:
        return first
    rest = _leaving(said.rest_action, said.rest_on, said=said, item=item)
    return f"{first}; {said.rest_units} left over: {rest}"


def _leaving(action: RoundAction, action_on: date, *, said: Proposal, item: DatedLot) -> str:
    if action is RoundAction.HAND_OFF:
        printed = printed_last_day(item.lot, item.food)
        is_past = printed is not None and printed < action_on
        past = ", who takes it past its date" if is_past else ""
        return f"hand off to {said.partner_name} on {day_words(action_on)}{past}"
    if item.standing in _WHY_OUT:
        return f"throw away: {_WHY_OUT[item.standing]}"
    return f"throw away from {day_words(action_on)} on, if it is still there"


def _kit_words(due: DueKit, *, numbers: ParcelNumbers) -> str:
    if due.household is None:
        return "unpack it: what is in it goes back on the shelf"
    by = "" if due.pull_by_day is None else f", by {day_words(due.pull_by_day)}"
    return f"eat it whole as an everyday dinner{by}: {_parcel(due.household, numbers)}"


def _parcel(household: HouseholdId, numbers: ParcelNumbers) -> str:
    number = numbers.get(household)
    return "a household" if number is None else f"parcel {number}"


_WHY_OUT: Final[Mapping[str, str]] = {
    "past": "it is past its date",
    "damaged": "it is damaged",
}

_WHY_LOOKED_AT: Final[Mapping[str, str]] = {
    "undated": "it has no date",
    "quarantined": "it was set aside",
}


def _looked_at(item: DatedLot) -> LookedAtAnswer:
    return LookedAtAnswer(
        lot=item.lot.id,
        food=item.food.id,
        food_name=item.food.name,
        units=item.lot.units,
        why=_WHY_LOOKED_AT[item.standing],
    )


def parcel_numbers_of(homes: Iterable[HouseholdId]) -> dict[HouseholdId, int]:
    """Number the households of a file, which has no parcels, in the order that it has them."""
    return {home: number for number, home in enumerate(homes, start=1)}
