"""Judge what is in a kit for a household: every food that does not simply suit, worst first.

It goes by the store's own warnings, so that a food in a kit is warned of in the same words and
with the same mark as on its shelf, and so is what to give instead.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from itertools import count
from typing import Final

from daysworth.domain.identifiers import HouseholdId, LotId, PlaceId
from daysworth.domain.lots import Condition, Lot, Place
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge, judge
from daysworth.domain.verdicts import Verdict
from daysworth.planners.household_fit import WORST_FIRST, Finding, Table, fit, table_of
from daysworth.planners.kit_contents import KitFood
from daysworth.planners.shelf import DatedLot
from daysworth.planners.warnings import FoodWarning, household_in, plan_warnings

_IN_A_BAG: Final = Place(id=PlaceId("in-a-bag"), name="In a bag")
"""Where a food stands that is not stock, in a store without a place."""


def kit_warnings(
    snapshot: Snapshot,
    as_of: date,
    *,
    foods: Sequence[KitFood],
    household: HouseholdId,
    judged_by: Judge = judge,
) -> tuple[FoodWarning, ...]:
    """List the foods in a kit that are not simply suitable for a household, worst first.

    Each has the needs, the evidence, and a lot in stock to put in instead; its `lots` are those of
    the kit, none where it is not stock. Raises NotThere for a household that the store lacks.
    """
    table = table_of(household_in(snapshot, household), as_of)
    if not any(_findings(foods, table, judged_by=judged_by)):
        # What else is in stock is asked only for what needs something instead of it.
        return ()
    judged = _beside_the_stock(snapshot, foods)
    found = plan_warnings(
        replace(snapshot, lots=(*snapshot.lots, *judged), places=_places(snapshot)),
        as_of,
        household=household,
        judged_by=judged_by,
    )
    of_id = {lot.id: food for lot, food in zip(judged, foods, strict=True)}
    return tuple(
        replace(warning, lots=_lots(items))
        for warning in found.warnings
        if (items := [of_id[one.lot.id] for one in warning.lots if one.lot.id in of_id])
    )


def worst_for(foods: Sequence[KitFood], table: Table, *, judged_by: Judge = judge) -> Verdict:
    """Give the worst verdict of any food in a kit for anybody at a household's table.

    What is for another age is no fault of the food, and a medical diet excludes nothing.
    """
    said = {one.reason.verdict for one in _findings(foods, table, judged_by=judged_by)}
    return min(said, key=WORST_FIRST.index, default=Verdict.SUITABLE)


def _findings(foods: Sequence[KitFood], table: Table, *, judged_by: Judge) -> Iterator[Finding]:
    for offer in dict.fromkeys(food.offer for food in foods):
        for one in fit(offer, table, judged_by=judged_by).findings:
            if not one.reason.is_by_stage and not one.only_advises:
                yield one


def _beside_the_stock(snapshot: Snapshot, foods: Sequence[KitFood]) -> tuple[Lot, ...]:
    """Stand what is in the kit beside the stock, to be judged with it.

    It is set aside: all of it is warned of, damaged or kept by whom it may be, and none of it is
    what is given instead.
    """
    taken = {lot.id for lot in snapshot.lots}
    ids = (id_ for n in count() if (id_ := LotId(f"in-a-kit/{n}")) not in taken)
    place = _places(snapshot)[0].id
    return tuple(
        replace(
            Lot(id=id_, food=food.food.id, place=place, units=food.units)
            if food.lot is None
            else food.lot,
            id=id_,
            units=food.units,
            owner=None,
            is_shared=True,
            units_in_kits=0,
            units_promised=0,
            condition=Condition.QUARANTINED,
        )
        for id_, food in zip(ids, foods, strict=False)
    )


def _places(snapshot: Snapshot) -> tuple[Place, ...]:
    return snapshot.places or (_IN_A_BAG,)


def _lots(items: Sequence[KitFood]) -> tuple[DatedLot, ...]:
    return tuple(
        DatedLot(one.lot, one.food, one.last_good_day, one.standing)
        for one in items
        if one.lot is not None
    )
