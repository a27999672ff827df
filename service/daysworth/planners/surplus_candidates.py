"""Find what could spoil before the look-ahead ends, and which visits would take it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from daysworth.domain.acceptance import Refusal, last_day_to_go, never_goes, refusal
from daysworth.domain.identifiers import PartnerId
from daysworth.planners.shelf import DatedLot
from daysworth.planners.surplus_plan import Visit, unit_kcal, unit_mass_g


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """Free units of a lot that could spoil, and the positions of the visits that would take them.

    `never` says why it goes to nobody, `refused_by` why a partner that has a visit in time takes it
    on none. `is_in_time`: some visit is no later than its last good day.
    """

    item: DatedLot
    units: int
    mass_g: float
    energy_kcal: float
    visits: tuple[int, ...]
    never: Refusal | None
    refused_by: Mapping[PartnerId, Refusal]
    is_in_time: bool


def candidates_of(
    dated: Iterable[DatedLot], *, visits: Sequence[Visit], until_on: date
) -> tuple[Candidate, ...]:
    """List the shared lots that are dated before `until_on`, the earliest first.

    What is past its date already is among them, for some partners take it. Water is not: it gives
    no energy, and how long everyone is fed may hang on it.
    """
    found = [
        _candidate(item, visits=visits)
        for item in dated
        if item.lot.is_shared
        and not item.food.is_water
        and item.lot.units > item.lot.units_in_kits + item.lot.units_promised
        and item.last_good_day is not None
        and item.last_good_day < until_on
    ]
    return tuple(sorted(found, key=_by_day))


def _by_day(one: Candidate) -> tuple[object, ...]:
    return one.item.last_good_day, one.item.food.name, one.item.food.id, one.item.lot.id


def _candidate(item: DatedLot, *, visits: Sequence[Visit]) -> Candidate:
    lot, food = item.lot, item.food
    never = never_goes(lot, food)
    taken: list[int] = []
    refused: dict[PartnerId, Refusal] = {}
    last_days: dict[PartnerId, date | None] = {}
    for number, visit in enumerate(visits) if never is None else ():
        partner = visit.partner
        if partner.id not in last_days:
            why = refusal(partner, lot, food=food, on=visit.on)
            # Whatever does not hang on the day holds for all of a partner's visits.
            by_day = why in (None, Refusal.PAST_SAFETY_DATE, Refusal.TOO_FEW_DAYS_LEFT)
            last_days[partner.id] = last_day_to_go(partner, lot, food=food) if by_day else None
            if why is not None:
                refused[partner.id] = why
        last = last_days[partner.id]
        if last is not None and visit.on <= last:
            taken.append(number)
    takers = {visits[number].partner.id for number in taken}
    day = item.last_good_day
    assert day is not None, "a candidate is dated"
    return Candidate(
        item=item,
        units=lot.units - lot.units_in_kits - lot.units_promised,
        mass_g=unit_mass_g(item),
        energy_kcal=unit_kcal(item),
        visits=tuple(taken),
        never=never,
        refused_by={one: why for one, why in refused.items() if one not in takers},
        is_in_time=any(visit.on <= day for visit in visits),
    )
