"""Plan what a store can spare, and write it: what goes where and when, what stays and why.

The names here are the names in JSON. Times are on the clock at the partner's, without an offset.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import isinf
from typing import Final

from daysworth.answers.acceptance_words import DONATION_LAW
from daysworth.answers.packing_list import PackLineAnswer, PackPlaceAnswer, in_walking_order
from daysworth.answers.partners import local_time
from daysworth.answers.reference_data import release
from daysworth.answers.rounding import figure
from daysworth.answers.surplus_words import AIM_WORDS, floor_words, refused_words, why_stays
from daysworth.answers.window_words import visit_words
from daysworth.answers.written import written
from daysworth.domain.acceptance import printed_last_day
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.identifiers import PartnerId
from daysworth.domain.lots import Place
from daysworth.domain.partners import Partner
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.surplus import plan_surplus
from daysworth.planners.surplus_plan import (
    Going,
    PlannedVisit,
    Staying,
    SurplusAsked,
    SurplusPlan,
    SurplusStage,
    unit_kcal,
    unit_mass_g,
)
from daysworth.reference.cautions import CautionRow

_NOTHING: Final = 1e-6
"""A gap of less than this is none: figures are told to six decimals."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedVisitAnswer:
    """A visit, and what goes there. `opens_at` names it when it is promised.

    It can be promised up to `promise_by_day`. `free_kg` and `free_units` are what it has room for
    beside what is promised for it already; null: no bound. `law` is told of a partner that is no
    nonprofit.
    """

    partner: str
    partner_name: str
    window: str
    opens_at: str
    timezone: str
    visit_on: date
    words: str
    minutes: int
    promise_by_day: date
    driver: str
    appointment: str
    contact: str
    law: str | None
    free_kg: float | None
    free_units: int | None
    units: int
    mass_g: float
    energy_kcal: float
    packing: list[PackPlaceAnswer]


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusedByAnswer:
    """A partner that does not take a lot, and by which rule in words."""

    partner: str
    partner_name: str
    refusal: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StayingAnswer:
    """Units that could spoil and that no visit takes; `words` say why.

    `why` is never_goes, no_window, refused, capacity or floor; `never` names the rule of a lot that
    goes to nobody. `last_good_day` is by its label alone.
    """

    lot: str
    food: str
    food_name: str
    place: str
    place_name: str
    units: int
    mass_g: float
    energy_kcal: float
    last_good_day: date | None
    why: str
    never: str | None
    refused_by: list[RefusedByAnswer]
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SurplusStageAnswer:
    """One aim of the plan: what it reaches, what no plan exceeds or goes below, and the gap."""

    aim: str
    words: str
    value: float
    bound: float
    gap: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SurplusTotals:
    """All that goes."""

    visits: int
    units: int
    mass_g: float
    energy_kcal: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SurplusAnswer:
    """What can be spared before it spoils, visit by visit, and what stays and why.

    Food is spared whose last good day lies before `until_on`; everyone stays fed for `floor_days`
    on every day until then, or as long as without any hand-off. `is_own_floor`: it is the store's
    own. `below_floor_on` is the first day on which they are fed for fewer days anyway, and
    `held_days` on how many days the floor held something back; `floor_words` say what it holds.
    `partners` null: all of them were asked. `stages` are the aims in their order, each held by
    those before it.
    """

    question: str
    release: str
    store: str
    store_name: str
    version: int
    as_of: date
    until_on: date
    floor_days: int
    is_own_floor: bool
    partners: list[str] | None
    open_visits: int
    totals: SurplusTotals
    visits: list[PlannedVisitAnswer]
    staying: list[StayingAnswer]
    below_floor_on: date | None
    held_days: int
    floor_words: str
    stages: list[SurplusStageAnswer]
    is_proved_best: bool
    cautions: list[CautionRow]


def answer_surplus(
    snapshot: Snapshot, as_of: date, *, asked: SurplusAsked | None = None
) -> SurplusAnswer:
    """Plan what a store can spare, and write it. Raises as `plan_surplus`."""
    wanted = asked or SurplusAsked()
    plan = plan_surplus(snapshot, as_of, asked=wanted)
    partners = {one.id: one for one in snapshot.partners}
    stages = [_stage(one) for one in plan.stages]
    return SurplusAnswer(
        question="surplus",
        release=release(),
        store=snapshot.store,
        store_name=snapshot.store_name,
        version=snapshot.version,
        as_of=as_of,
        until_on=plan.until_on,
        floor_days=plan.floor_days,
        is_own_floor=plan.floor_days == snapshot.settings.floor_days,
        partners=None if wanted.partners is None else sorted(wanted.partners),
        open_visits=plan.open_visits,
        totals=_totals(plan),
        visits=[_visit(one, places=snapshot.places) for one in plan.visits],
        staying=_staying(plan, partners=partners, places=snapshot.places),
        below_floor_on=plan.below_floor_on,
        held_days=plan.held_days,
        floor_words=floor_words(plan),
        stages=stages,
        is_proved_best=all(one.gap == 0 for one in stages),
        cautions=list(cautions_on({Topic.FOOD, Topic.INFANTS})),
    )


def surplus_json(answer: SurplusAnswer) -> str:
    """Write an answer as JSON, two spaces deep; the same answer gives the same bytes."""
    return written(answer, of=SurplusAnswer)


def _visit(one: PlannedVisit, *, places: Sequence[Place]) -> PlannedVisitAnswer:
    visit, window = one.visit, one.visit.window
    grouped = in_walking_order(one.going, places=places, place_of=lambda each: each.item.lot.place)
    return PlannedVisitAnswer(
        partner=visit.partner.id,
        partner_name=visit.partner.name,
        window=window.id,
        opens_at=local_time(visit.opens_at),
        timezone=window.recurrence.timezone,
        visit_on=visit.on,
        words=visit_words(visit.opens_at, window.minutes),
        minutes=window.minutes,
        promise_by_day=visit.on - timedelta(days=window.notice_days),
        driver=window.driver,
        appointment=window.appointment,
        contact=window.contact or visit.partner.contact,
        law=None if visit.partner.is_nonprofit else DONATION_LAW,
        free_kg=None if isinf(visit.room.mass_g) else figure(visit.room.mass_g / 1000),
        free_units=None if isinf(visit.room.units) else int(visit.room.units),
        units=one.units,
        mass_g=figure(one.mass_g),
        energy_kcal=figure(one.energy_kcal),
        packing=[
            PackPlaceAnswer(
                place=place.id,
                place_name=place.name,
                lines=[_going(each) for each in sorted(going, key=_by_name)],
            )
            for place, going in grouped
        ],
    )


def _by_name(one: Going) -> tuple[str, date, str]:
    item = one.item
    return item.food.name, printed_last_day(item.lot, item.food) or date.max, item.lot.id


def _going(one: Going) -> PackLineAnswer:
    lot, food = one.item.lot, one.item.food
    return PackLineAnswer(
        lot=lot.id,
        food=food.id,
        food_name=food.name,
        units=one.units,
        mass_g=figure(one.mass_g),
        energy_kcal=figure(one.energy_kcal),
        label_kind=lot.label_kind,
        printed=lot.printed,
        last_good_day=printed_last_day(lot, food),
    )


def _staying(
    plan: SurplusPlan, *, partners: Mapping[PartnerId, Partner], places: Sequence[Place]
) -> list[StayingAnswer]:
    names = {place.id: place.name for place in places}
    return [
        _stays(one, partners=partners, place_name=names[one.item.lot.place], plan=plan)
        for one in plan.staying
    ]


def _stays(
    one: Staying, *, partners: Mapping[PartnerId, Partner], place_name: str, plan: SurplusPlan
) -> StayingAnswer:
    lot, food = one.item.lot, one.item.food
    return StayingAnswer(
        lot=lot.id,
        food=food.id,
        food_name=food.name,
        place=lot.place,
        place_name=place_name,
        units=one.units,
        mass_g=figure(one.units * unit_mass_g(one.item)),
        energy_kcal=figure(one.units * unit_kcal(one.item)),
        last_good_day=printed_last_day(lot, food),
        why=one.why,
        never=one.never,
        refused_by=[
            RefusedByAnswer(
                partner=partner,
                partner_name=partners[partner].name,
                refusal=refusal,
                words=refused_words(one, partners[partner], refusal=refusal),
            )
            for partner, refusal in sorted(one.refused_by.items())
        ],
        words=why_stays(one, partners=partners, floor_days=plan.floor_days),
    )


def _stage(one: SurplusStage) -> SurplusStageAnswer:
    gap = one.gap if abs(one.bound - one.value) >= _NOTHING else 0.0
    return SurplusStageAnswer(
        aim=one.aim,
        words=AIM_WORDS[one.aim],
        value=figure(one.value),
        bound=figure(one.bound),
        gap=figure(gap),
    )


def _totals(plan: SurplusPlan) -> SurplusTotals:
    return SurplusTotals(
        visits=len(plan.visits),
        units=plan.units,
        mass_g=figure(plan.mass_g),
        energy_kcal=figure(plan.energy_kcal),
    )
