"""Write the weekly notice: what passes its date, and the days now against the floor.

The names here are the names in JSON. A notice goes to a whole group, so it has nothing in it of
what anybody must not eat: no need, no class, every caution whoever is fed, and none of the lots
that households keep for themselves, which would tell what they eat, whether in kits or promised. A
notice that is kept is read back by later releases: a field that is added later needs a default.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache

from pydantic import TypeAdapter

from daysworth.answers.coming_visits import (
    MOST_OTHERS,
    OtherVisitAnswer,
    PromisedVisitAnswer,
    other_visits,
    promised_visits,
)
from daysworth.answers.coverage import (
    CoverageAnswer,
    HouseholdAnswer,
    LotAnswer,
    RoundAnswer,
    round_answer,
    set_aside_answer,
)
from daysworth.answers.waiting import WaitingAnswer
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.identifiers import PlaceId
from daysworth.domain.iso_weeks import Week
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.coming_visits import plan_coming_visits
from daysworth.planners.notices import Band, plan_notice
from daysworth.planners.rotation import plan_rotation
from daysworth.planners.shelf import DatedLot
from daysworth.reference.cautions import CautionRow


@dataclass(frozen=True, slots=True)
class BandAnswer:
    """What passes its last good day within so many days, and in no earlier band."""

    within_days: int
    lots: list[LotAnswer]


@dataclass(frozen=True, slots=True)
class BelowFloorAnswer:
    """A household with fewer days than the store's floor."""

    household: str
    members: int
    days: float


@dataclass(frozen=True, slots=True)
class LastNoticeAnswer:
    """The figures of the notice before, and the week it was of; null: nobody had a need."""

    week: str
    everyone_fed_days: float | None
    person_days: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeAnswer:
    """The notice of one ISO week, of one version of one store.

    `from_day` to `to_day` is the week, Monday to Sunday; `as_of` the day it was computed for.
    `made_at` is the instant at which it was kept; null: it has not been. `below_floor` is worst
    first. `bands` are disjoint. `undated`, `damaged` and `quarantined` count in no plan.
    `promised_visits` to partners are those of the coming two weeks, and those past their day of
    which nobody has said what became; for `other_visits` nothing is promised yet, and
    `more_other_visits` are only counted.
    """

    id: str
    week: str
    from_day: date
    to_day: date
    release: str
    store: str
    store_name: str
    version: int
    as_of: date
    locale: str
    made_at: str | None
    everyone_fed_days: float | None
    everyone_fed_at_least: bool
    horizon_days: int
    person_days: float
    floor_days: int
    last_notice: LastNoticeAnswer | None
    below_floor: list[BelowFloorAnswer]
    past: list[LotAnswer]
    bands: list[BandAnswer]
    before_next_round: RoundAnswer
    undated: list[LotAnswer]
    damaged: list[LotAnswer]
    quarantined: list[LotAnswer]
    waiting: list[WaitingAnswer]
    promised_visits: list[PromisedVisitAnswer] = field(default_factory=list)
    other_visits: list[OtherVisitAnswer] = field(default_factory=list)
    more_other_visits: int = 0
    overdue_water_l: float
    overdue_water_days: float | None
    cautions: list[CautionRow]


def answer_notice(
    snapshot: Snapshot,
    as_of: date,
    *,
    coverage: CoverageAnswer,
    waiting: Sequence[WaitingAnswer],
    last: LastNoticeAnswer | None,
) -> NoticeAnswer:
    """Write the notice of the week that a date is in, from that day's answer on coverage.

    `waiting` are listed in the order given. Raises ValueError where `coverage` is not of this
    store at this version on this date.
    """
    _check(coverage, snapshot, as_of=as_of)
    week = Week.of(as_of)
    shared = _shared(snapshot)
    visits = plan_coming_visits(shared, as_of)
    planned = plan_notice(shared, as_of)
    rotation = plan_rotation(shared, as_of)
    places = {place.id: place.name for place in snapshot.places}
    aside = set_aside_answer(rotation, shared)
    floor_days = snapshot.settings.floor_days
    return NoticeAnswer(
        id=f"{snapshot.store}-{week}",
        week=str(week),
        from_day=week.first_day,
        to_day=week.last_day,
        release=coverage.release,
        store=snapshot.store,
        store_name=snapshot.store_name,
        version=snapshot.version,
        as_of=as_of,
        locale=snapshot.settings.locale,
        made_at=None,
        everyone_fed_days=coverage.everyone_fed_days,
        everyone_fed_at_least=coverage.everyone_fed_at_least,
        horizon_days=coverage.scenario.horizon_days,
        person_days=coverage.person_days,
        floor_days=floor_days,
        last_notice=last,
        below_floor=_below_floor(coverage.households, floor_days=floor_days),
        past=[_lot(item, places, units=item.lot.units) for item in planned.past],
        bands=[_band(band, places) for band in planned.bands],
        before_next_round=round_answer(rotation, shared),
        undated=aside.undated,
        damaged=aside.damaged,
        quarantined=aside.quarantined,
        waiting=list(waiting),
        promised_visits=promised_visits(visits.promised, places=snapshot.places),
        other_visits=other_visits(visits.others),
        more_other_visits=max(0, len(visits.others) - MOST_OTHERS),
        overdue_water_l=coverage.water.overdue_l,
        overdue_water_days=coverage.water.overdue_days,
        cautions=list(cautions_on(set(Topic) - {Topic.FLOOD})),
    )


def notice_json(answer: NoticeAnswer) -> str:
    """Write a notice as JSON, two spaces deep; the same notice gives the same bytes."""
    return _adapter().dump_json(answer, indent=2).decode()


def notice_from_json(text: str) -> NoticeAnswer:
    """Read a notice that was written by `notice_json`. Raises ValueError where it was not."""
    return _adapter().validate_json(text, strict=True)


@cache
def _adapter() -> TypeAdapter[NoticeAnswer]:
    return TypeAdapter(NoticeAnswer)


def _check(coverage: CoverageAnswer, snapshot: Snapshot, *, as_of: date) -> None:
    answered = (coverage.store, coverage.version, coverage.as_of)
    if answered != (snapshot.store, snapshot.version, as_of):
        raise ValueError("a notice and its coverage are of one store, one version and one day")


def _shared(snapshot: Snapshot) -> Snapshot:
    """Leave out what households keep for themselves, also of what is promised.

    What is in kits is told by the lots.
    """
    lots = tuple(lot for lot in snapshot.lots if lot.is_shared)
    told = {lot.id for lot in lots}
    kept = ((one, [item for item in one.items if item.lot in told]) for one in snapshot.promises)
    promises = tuple(replace(one, items=tuple(items)) for one, items in kept if items)
    return replace(snapshot, lots=lots, kits=(), promises=promises)


def _below_floor(
    households: Sequence[HouseholdAnswer], *, floor_days: int
) -> list[BelowFloorAnswer]:
    """Keep the order of coverage, worst first.

    A household that reaches the horizon is not below: how far it goes beyond is not known.
    """
    return [
        BelowFloorAnswer(home.household, home.members, home.days)
        for home in households
        if home.days is not None and home.days < floor_days and not home.at_least
    ]


def _band(band: Band, places: Mapping[PlaceId, str]) -> BandAnswer:
    lots = [_lot(item, places, units=item.lot.units_to_eat) for item in band.lots]
    return BandAnswer(band.within_days, lots)


def _lot(item: DatedLot, places: Mapping[PlaceId, str], *, units: int) -> LotAnswer:
    lot = item.lot
    return LotAnswer(lot.id, item.food.name, units, places[lot.place], item.last_good_day)
