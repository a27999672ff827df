"""Write the check of any set of items against the rules of a complete meal.

The names here are the names in JSON.
"""

from dataclasses import dataclass
from datetime import date

from daysworth.answers.kit_contents import (
    KitAllergensAnswer,
    KitFoodAnswer,
    KitWareAnswer,
    KitWarningAnswer,
    RuleAnswer,
    allergens_answer,
    kit_food,
    kit_wares,
    kit_warning,
    rule_answers,
)
from daysworth.answers.reference_data import release
from daysworth.answers.rounding import figure
from daysworth.answers.written import written
from daysworth.domain.cautions import Topic, cautions_on, topics_of
from daysworth.domain.identifiers import FoodId, HouseholdId
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.kit_check import CheckAsked, KitCheck, check_kit
from daysworth.planners.warnings import has_infant
from daysworth.reference.cautions import CautionRow


@dataclass(frozen=True, slots=True, kw_only=True)
class KitCheckAnswer:
    """Whether this is a complete meal for those served, and whether they may eat it.

    `is_sound`: no rule fails, all of it may be eaten, and nothing is unsuitable or unknown for the
    household it is checked for; null household: for anybody. `asks_care_team`: somebody there keeps
    a medical diet, for which nothing here says that a food suits. `pull_by_day` null: something in
    it is undated.
    """

    question: str
    release: str
    store: str
    version: int
    as_of: date
    household: str | None
    parcel_number: int | None
    persons: int
    is_sound: bool
    asks_care_team: bool
    rules: list[RuleAnswer]
    warnings: list[KitWarningAnswer]
    pull_by_day: date | None
    mass_g: float
    volume_l: float
    energy_kcal: float
    energy_kcal_per_person: float
    protein_g_per_person: float
    needs_opener: bool
    allergens: KitAllergensAnswer
    contents: list[KitFoodAnswer]
    wares: list[KitWareAnswer]
    cautions: list[CautionRow]


def answer_kit_check(
    snapshot: Snapshot, as_of: date, *, asked: CheckAsked, parcel_number: int | None = None
) -> KitCheckAnswer:
    """Check items as a kit, for a household or for so many persons. Raises as `check_kit`."""
    found = check_kit(snapshot, as_of, asked=asked)
    places: dict[str, str] = {place.id: place.name for place in snapshot.places}
    totals = found.totals
    return KitCheckAnswer(
        question="kit_check",
        release=release(),
        store=snapshot.store,
        version=snapshot.version,
        as_of=as_of,
        household=found.household,
        parcel_number=parcel_number,
        persons=totals.persons,
        is_sound=found.is_sound,
        asks_care_team=found.asks_care_team,
        rules=rule_answers(found.rules, names=names_in(found)),
        warnings=[kit_warning(one, places=places, tells_members=True) for one in found.warnings],
        pull_by_day=found.pull_by_day,
        mass_g=figure(totals.mass_g),
        volume_l=figure(totals.volume_l),
        energy_kcal=figure(totals.energy_kcal),
        energy_kcal_per_person=figure(totals.energy_kcal_each),
        protein_g_per_person=figure(totals.protein_g_each),
        needs_opener=found.needs_opener,
        allergens=allergens_answer(found.allergens),
        contents=[kit_food(one) for one in found.foods],
        wares=kit_wares(found.wares),
        cautions=kit_cautions(snapshot, as_of, household=found.household),
    )


def kit_check_json(answer: KitCheckAnswer) -> str:
    """Write an answer as JSON, two spaces deep; the same answer gives the same bytes."""
    return written(answer, of=KitCheckAnswer)


def names_in(found: KitCheck) -> dict[FoodId, str]:
    """Give the names of the foods in a kit, by their ids."""
    return {one.food.id: one.food.name for one in found.foods}


def kit_cautions(
    snapshot: Snapshot, as_of: date, *, household: HouseholdId | None
) -> list[CautionRow]:
    """Choose the cautions that go with a kit: those of its household's needs, or of anybody's."""
    usual = {Topic.FOOD, Topic.FIRE, Topic.ALLERGY, Topic.CHILDREN}
    homes = [home for home in snapshot.households if home.id == household]
    infants = any(has_infant(home, as_of) for home in homes)
    return list(cautions_on(usual | topics_of(homes, infants=infants)))
