"""Write a packing plan: the kits that can be put up, what is short and why, what to pick where.

The names here are the names in JSON. Households stand beside the numbers of their parcels; words
name parcels alone. Who is no coordinator is told no household.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from math import fsum

from pydantic import TypeAdapter, ValidationError

from daysworth.answers.kit_contents import (
    KitFoodAnswer,
    KitWareAnswer,
    WaiverAnswer,
    kit_food,
    kit_wares,
    waiver_answers,
)
from daysworth.answers.kit_picking import PickPlaceAnswer, picking_answer
from daysworth.answers.reference_data import release
from daysworth.answers.rounding import figure
from daysworth.answers.written import written
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.entries import Credential, Role
from daysworth.domain.errors import NotThere
from daysworth.domain.identifiers import HouseholdId, LotId, PlaceId
from daysworth.domain.meal_kits import KitToPack
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.wares import WareKind
from daysworth.planners.kit_contents import KitFood, KitTotals, from_stock, pull_by_day, totals_of
from daysworth.planners.shelf import DatedLot
from daysworth.reference.cautions import CautionRow

ParcelNumbers = Mapping[HouseholdId, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class KindMadeAnswer:
    """One kind of kit: how many were wanted, and how many the plan makes.

    `short` says in words which part of the meal cannot be filled, and why; null: all are made.
    `number` counts from 0.
    """

    number: int
    pattern: str | None
    name: str
    persons: int
    household: str | None
    parcel_number: int | None
    wanted: int
    made: int
    short: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class KitsAlikeAnswer:
    """So many kits with the same in each, of the kind of a number."""

    kind: int
    how_many: int
    name: str
    persons: int
    household: str | None
    parcel_number: int | None
    pull_by_day: date | None
    mass_g: float
    energy_kcal: float
    energy_kcal_per_person: float
    protein_g_per_person: float
    contents: list[KitFoodAnswer]
    wares: list[KitWareAnswer]
    waivers: list[WaiverAnswer]


@dataclass(frozen=True, slots=True, kw_only=True)
class StageAnswer:
    """One aim of the plan: what it reaches, what no plan exceeds, and the gap between the two."""

    stage: str
    words: str
    value: float
    bound: float
    gap: float


@dataclass(frozen=True, slots=True, kw_only=True)
class KitPlanTotals:
    """All kits of the plan. A kit counts one meal for each it serves.

    A meal is the share of a day that the store has set, a third unless it was changed:
    `person_days` are `person_meals` times that.
    """

    kits: int
    person_meals: int
    person_days: float
    mass_g: float
    energy_kcal: float


@dataclass(frozen=True, slots=True, kw_only=True)
class KitPlanAnswer:
    """A packing plan; `plan` is its id, null: it is not kept.

    `packed_at` and `packed_by` are of whoever packed it, null: nobody has. `stages` are its aims in
    their order, each held by those before it; `is_proved_best`: no gap is left in any.
    """

    question: str
    release: str
    store: str
    store_name: str
    version: int
    as_of: date
    plan: str | None
    packed_at: str | None
    packed_by: str | None
    place: str | None
    place_name: str | None
    kinds: list[KindMadeAnswer]
    kits: list[KitsAlikeAnswer]
    stages: list[StageAnswer]
    is_proved_best: bool
    picking: list[PickPlaceAnswer]
    totals: KitPlanTotals
    cautions: list[CautionRow]


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """What a plan puts up where: its kits, each with the number of its kind, and how it was found.

    `lots` has every lot that they are of.
    """

    kits: Sequence[tuple[int, KitToPack]]
    kinds: Sequence[KindMadeAnswer]
    stages: Sequence[StageAnswer]
    lots: Mapping[LotId, DatedLot]
    place: PlaceId


def kit_plan_answer(
    snapshot: Snapshot, as_of: date, *, planned: Planned, parcel_numbers: ParcelNumbers
) -> KitPlanAnswer:
    """Write a plan that is not kept yet."""
    bags = [_Bag(number, kit, _foods(kit, planned.lots)) for number, kit in planned.kits]
    place_name = next(place.name for place in snapshot.places if place.id == planned.place)
    return KitPlanAnswer(
        question="kit_plan",
        release=release(),
        store=snapshot.store,
        store_name=snapshot.store_name,
        version=snapshot.version,
        as_of=as_of,
        plan=None,
        packed_at=None,
        packed_by=None,
        place=planned.place,
        place_name=place_name,
        kinds=list(planned.kinds),
        kits=_alike(bags, numbers=parcel_numbers),
        stages=list(planned.stages),
        is_proved_best=all(one.gap == 0 for one in planned.stages),
        picking=picking_answer(
            (kit for _, kit in planned.kits), lots=planned.lots, places=snapshot.places
        ),
        totals=_totals(bags, share_of_day=snapshot.settings.meal_rules.share_of_day),
        cautions=list(cautions_on(set(Topic) - {Topic.FLOOD})),
    )


def kit_plan_json(answer: KitPlanAnswer) -> str:
    """Write an answer as JSON, two spaces deep; the same answer gives the same bytes."""
    return written(answer, of=KitPlanAnswer)


def kit_plan_from(text: str) -> KitPlanAnswer:
    """Read an answer that was written as JSON.

    Raises NotThere where it does not read as one: another release may have kept it.
    """
    try:
        return _reader().validate_json(text)
    except ValidationError as found:
        raise NotThere("this plan was kept by another release: plan again") from found


@cache
def _reader() -> TypeAdapter[KitPlanAnswer]:
    return TypeAdapter(KitPlanAnswer)


def kit_plan_seen_by(reader: Credential, answer: KitPlanAnswer) -> KitPlanAnswer:
    """Give what a reader may see: who is no coordinator is told parcels, and why nothing of them.

    Why a kit for a parcel cannot be made tells of what must not be in it.
    """
    if reader.role is Role.COORDINATOR:
        return answer
    return replace(
        answer,
        kinds=[_nameless(one) for one in answer.kinds],
        kits=[replace(one, household=None) for one in answer.kits],
    )


def _nameless(one: KindMadeAnswer) -> KindMadeAnswer:
    if one.household is None:
        return one
    short = None if one.short is None else "a coordinator knows why not all are made"
    return replace(one, household=None, short=short)


@dataclass(frozen=True, slots=True)
class _Bag:
    kind: int
    kit: KitToPack
    foods: Sequence[KitFood]

    @property
    def totals(self) -> KitTotals:
        return totals_of(self.foods, persons=self.kit.persons)

    @property
    def wares(self) -> Counter[WareKind]:
        found: Counter[WareKind] = Counter()
        for ware in self.kit.wares:
            found[ware.kind] += ware.units
        return found

    @property
    def content(self) -> tuple[object, ...]:
        """Give what makes two kits alike: all that is in them, by lot."""
        items = sorted((item.lot, item.units, item.served) for item in self.kit.items)
        return self.kind, tuple(items), tuple(sorted(self.wares.items()))


def _foods(kit: KitToPack, lots: Mapping[LotId, DatedLot]) -> list[KitFood]:
    return [
        from_stock(lots[item.lot], units=item.units, served=item.served, household=kit.household)
        for item in kit.items
    ]


def _alike(bags: Sequence[_Bag], *, numbers: ParcelNumbers) -> list[KitsAlikeAnswer]:
    found: dict[tuple[object, ...], list[_Bag]] = {}
    for bag in bags:
        found.setdefault(bag.content, []).append(bag)
    return [_kits(alike[0], how_many=len(alike), numbers=numbers) for alike in found.values()]


def _kits(bag: _Bag, *, how_many: int, numbers: ParcelNumbers) -> KitsAlikeAnswer:
    kit, totals = bag.kit, bag.totals
    return KitsAlikeAnswer(
        kind=bag.kind,
        how_many=how_many,
        name=kit.name,
        persons=kit.persons,
        household=kit.household,
        parcel_number=None if kit.household is None else numbers.get(kit.household),
        pull_by_day=pull_by_day(bag.foods),
        mass_g=figure(totals.mass_g),
        energy_kcal=figure(totals.energy_kcal),
        energy_kcal_per_person=figure(totals.energy_kcal_each),
        protein_g_per_person=figure(totals.protein_g_each),
        contents=[kit_food(one) for one in bag.foods],
        wares=kit_wares(bag.wares),
        waivers=waiver_answers(kit.waivers),
    )


def _totals(bags: Sequence[_Bag], *, share_of_day: float) -> KitPlanTotals:
    meals = sum(bag.kit.persons for bag in bags)
    totals = [bag.totals for bag in bags]
    return KitPlanTotals(
        kits=len(bags),
        person_meals=meals,
        person_days=figure(meals * share_of_day),
        mass_g=figure(fsum(one.mass_g for one in totals)),
        energy_kcal=figure(fsum(one.energy_kcal for one in totals)),
    )
