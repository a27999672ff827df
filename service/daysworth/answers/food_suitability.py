"""Write whom a food suits, label by label: what is known of it, and who must not have it.

Coordinators see households, a household itself alone, and whoever packs sees parcels by number.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from daysworth.answers.reference_data import release
from daysworth.answers.suitability_in_words import (
    EvidenceAnswer,
    FindingAnswer,
    PackAnswer,
    evidence_answer,
    finding_answer,
    pack_answer,
)
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.errors import NotThere
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, HouseholdId
from daysworth.domain.offers import Offer, offer_of
from daysworth.domain.restrictions import Substance
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.sodium import sodium_of
from daysworth.domain.verdicts import Shown
from daysworth.planners.household_fit import Fit, fit, table_of
from daysworth.planners.shelf import DatedLot, dated_lots
from daysworth.reference.cautions import CautionRow


@dataclass(frozen=True, slots=True)
class SubstanceAnswer:
    """How one substance stands in the food by this label, and by what evidence."""

    substance: str
    presence: str
    evidence: list[EvidenceAnswer]


@dataclass(frozen=True, slots=True)
class HomeAnswer:
    """One home for which the food is not simply suitable. `household` null: not told."""

    parcel_number: int
    household: str | None
    verdict: str
    findings: list[FindingAnswer]


@dataclass(frozen=True, slots=True)
class LabelAnswer:
    """The food as one label has it: what is known, the lots that have it, and whom it suits.

    `ask_care_team_homes` may have it too, but for a medical diet that nothing here clears.
    """

    was_read: bool
    has_whole_list: bool
    claims: list[str]
    substances: list[SubstanceAnswer]
    lots: list[PackAnswer]
    suitable_homes: int
    ask_care_team_homes: int
    unknown_homes: int
    unsuitable_homes: int
    homes: list[HomeAnswer]


@dataclass(frozen=True, slots=True, kw_only=True)
class FoodSuitabilityAnswer:
    """Whom a food suits. `sodium` figures are for the amount customarily eaten at once."""

    question: str
    release: str
    store: str
    version: int
    as_of: date
    food: str
    food_name: str
    sodium_mg: float | None
    sodium_amount_g: float | None
    is_low_sodium: bool | None
    labels: list[LabelAnswer]
    cautions: list[CautionRow]


@dataclass(frozen=True, slots=True, kw_only=True)
class SuitabilityAsked:
    """Which food, for which homes (None: all), by parcel number, and whether to name them."""

    food: FoodId
    homes: Sequence[HouseholdId] | None
    parcel_numbers: Mapping[HouseholdId, int]
    names_households: bool


def answer_food_suitability(
    snapshot: Snapshot, as_of: date, *, question: SuitabilityAsked
) -> FoodSuitabilityAnswer:
    """Say whom a food suits. Raises NotThere for a food or a household the store lacks."""
    food = next((one for one in snapshot.foods if one.id == question.food), None)
    if food is None:
        raise NotThere(f"there is no food {question.food!r} in this store")
    sodium = sodium_of(food)
    return FoodSuitabilityAnswer(
        question="suitability",
        release=release(),
        store=snapshot.store,
        version=snapshot.version,
        as_of=as_of,
        food=food.id,
        food_name=food.name,
        sodium_mg=None if sodium is None else round(sodium.sodium_mg, 1),
        sodium_amount_g=None if sodium is None else sodium.amount_g,
        is_low_sodium=None if sodium is None else sodium.is_low,
        labels=_Labels(snapshot, as_of, question=question).of(food),
        cautions=list(cautions_on({Topic.FOOD, Topic.ALLERGY, Topic.MEDICAL})),
    )


class _Labels:
    """Judge each label that a food has in the store for each home that is asked about."""

    def __init__(self, snapshot: Snapshot, as_of: date, *, question: SuitabilityAsked) -> None:
        self._question = question
        self._dated = dated_lots(snapshot, as_of)
        self._places: dict[str, str] = {place.id: place.name for place in snapshot.places}
        wanted = None if question.homes is None else set(question.homes)
        known = {home.id for home in snapshot.households}
        for missing in sorted((wanted or set()) - known):
            raise NotThere(f"there is no household {missing!r} in this store")
        self._tables = [
            (home.id, table_of(home, as_of))
            for home in snapshot.households
            if wanted is None or home.id in wanted
        ]

    def of(self, food: Food) -> list[LabelAnswer]:
        """Give every label of the food, those that were read first; or the food alone."""
        stock: dict[Offer, list[DatedLot]] = {}
        for item in self._dated:
            if item.food.id == food.id and item.lot.units > 0 and self._is_told_of(item):
                stock.setdefault(offer_of(item.lot, item.food), []).append(item)
        labels = stock or {Offer(food): []}
        return [
            self._label(offer, items)
            for offer, items in sorted(labels.items(), key=lambda one: not one[0].readings)
        ]

    def _is_told_of(self, item: DatedLot) -> bool:
        # What a household keeps for itself is no other household's business.
        homes = self._question.homes
        return homes is None or item.lot.is_shared or item.lot.owner in homes

    def _label(self, offer: Offer, items: Sequence[DatedLot]) -> LabelAnswer:
        fits = [(home, fit(offer, table)) for home, table in self._tables]
        known = offer.known
        return LabelAnswer(
            bool(offer.readings),
            known.has_whole_list,
            sorted(known.claims),
            [_substance(one, offer) for one in Substance if one in known.evidence],
            [pack_answer(item, places=self._places) for item in items],
            _count(fits, Shown.SUITABLE),
            _count(fits, Shown.ASK_CARE_TEAM),
            _count(fits, Shown.UNKNOWN),
            _count(fits, Shown.UNSUITABLE),
            [self._home(home, one, offer=offer) for home, one in fits if self._is_told(one)],
        )

    def _is_told(self, one: Fit) -> bool:
        # That formula is not for grown people goes without saying, home by home.
        said = any(not finding.reason.is_by_stage for finding in one.findings)
        return said or self._question.homes is not None

    def _home(self, home: HouseholdId, one: Fit, *, offer: Offer) -> HomeAnswer:
        names = self._question.names_households
        return HomeAnswer(
            self._question.parcel_numbers.get(home, 0),
            home if names else None,
            one.shown,
            [finding_answer(finding, offer, tells_members=names) for finding in one.findings],
        )


def _count(fits: Sequence[tuple[HouseholdId, Fit]], shown: Shown) -> int:
    return sum(one.shown is shown for _, one in fits)


def _substance(substance: Substance, offer: Offer) -> SubstanceAnswer:
    known = offer.known
    return SubstanceAnswer(
        substance,
        known.of(substance),
        [evidence_answer(one) for one in known.evidence[substance]],
    )
