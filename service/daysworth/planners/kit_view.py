"""Look at a closed kit as it stands today: what is in it, its figures, and what has changed.

The rules are those of the day on which it was put up; whom it suits is asked anew every time, so
that a label read since, or a need told since, opens it again.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from daysworth.domain.errors import NotThere, ScenarioRefused
from daysworth.domain.identifiers import FoodId, KitId, LotId
from daysworth.domain.kit_rules import Diners
from daysworth.domain.meal_kits import MealKit
from daysworth.domain.meal_patterns import MealRule
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge, judge
from daysworth.domain.verdicts import Verdict
from daysworth.planners.diners import diners_of, persons_at_table
from daysworth.planners.kit_check import KitCheck, KitPacked, check_packed
from daysworth.planners.kit_contents import ItemTrouble, KitFood, from_stock
from daysworth.planners.shelf import dated_lots


class KitChangeKind(StrEnum):
    """What keeps a closed kit from being given as it is.

    `not_good`: a food in it is not to be eaten any more. `unsuitable`, `unknown`: a food in it is
    so for its household. `more_at_table`: more eat in its household than it serves.
    """

    NOT_GOOD = "not_good"
    UNSUITABLE = "unsuitable"
    UNKNOWN = "unknown"
    MORE_AT_TABLE = "more_at_table"


@dataclass(frozen=True, slots=True, kw_only=True)
class KitChange:
    """One thing for which a closed kit is to be opened. `trouble` says what a food's is."""

    kind: KitChangeKind
    food: FoodId | None = None
    lots: tuple[LotId, ...] = ()
    trouble: ItemTrouble | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class KitView:
    """A closed kit with its check, and what has changed, the worst first."""

    kit: MealKit
    check: KitCheck
    what_changed: tuple[KitChange, ...]


def kit_view(snapshot: Snapshot, kit: KitId, *, as_of: date, judged_by: Judge = judge) -> KitView:
    """Look at a closed kit of a store. Raises NotThere for one that it has not, or not closed."""
    for one in snapshot.kits:
        if one.id == kit:
            return _view(snapshot, one, as_of=as_of, judged_by=judged_by)
    raise NotThere(f"there is no closed kit {kit!r} in this store")


def contents_of(snapshot: Snapshot, as_of: date) -> dict[KitId, tuple[KitFood, ...]]:
    """Give what stands in each closed kit of a store, as it is on a date."""
    dated = {item.lot.id: item for item in dated_lots(snapshot, as_of)}
    return {
        kit.id: tuple(
            from_stock(
                dated[item.lot], units=item.units, served=item.served, household=kit.household
            )
            for item in kit.items
        )
        for kit in snapshot.kits
    }


def _view(snapshot: Snapshot, kit: MealKit, *, as_of: date, judged_by: Judge) -> KitView:
    packed = KitPacked(
        foods=contents_of(snapshot, as_of)[kit.id],
        wares=kit.wares,
        diners=_diners(snapshot, kit),
        household=kit.household,
        packed_on=kit.packed_on,
        waivers=kit.waivers,
    )
    check = check_packed(snapshot, as_of, packed=packed, judged_by=judged_by)
    return KitView(
        kit=kit, check=check, what_changed=tuple(_changes(snapshot, kit, as_of=as_of, check=check))
    )


def _diners(snapshot: Snapshot, kit: MealKit) -> Diners:
    """Give those whom it was put up for: as many as it serves, with the needs of that day."""
    try:
        found = diners_of(snapshot, kit.packed_on, household=kit.household, persons=kit.persons)
    except ScenarioRefused:
        # The household changed since: nobody in it was at the table then, or too many are there.
        found = diners_of(snapshot, kit.packed_on, persons=kit.persons)
    each_kcal = found.energy_kcal_day / found.persons
    return Diners(persons=kit.persons, energy_kcal_day=kit.persons * each_kcal)


def _changes(
    snapshot: Snapshot, kit: MealKit, *, as_of: date, check: KitCheck
) -> Iterator[KitChange]:
    for warning in check.unsuited:
        is_worst = warning.verdict is Verdict.UNSUITABLE
        yield KitChange(
            kind=KitChangeKind.UNSUITABLE if is_worst else KitChangeKind.UNKNOWN,
            food=warning.offer.food.id,
            lots=tuple(item.lot.id for item in warning.lots),
        )
    is_dated = MealRule.KEEPS not in {waiver.rule for waiver in kit.waivers}
    for one in check.troubled:
        # Whoever waived that all of it keeps knew of what has no date.
        if is_dated or one.trouble is not ItemTrouble.UNDATED:
            yield KitChange(
                kind=KitChangeKind.NOT_GOOD,
                food=one.food.id,
                lots=() if one.lot is None else (one.lot.id,),
                trouble=one.trouble,
            )
    for home in snapshot.households:
        if home.id == kit.household and persons_at_table(home, as_of) > kit.persons:
            yield KitChange(kind=KitChangeKind.MORE_AT_TABLE)
