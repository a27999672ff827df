"""Write which kits to take along: no opener needed first, then the most energy for their weight.

The names here are the names in JSON.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from daysworth.answers.reference_data import release
from daysworth.answers.rounding import figure, figure_or_none
from daysworth.answers.written import written
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.entries import Credential, Role
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.meal_kits import MealKit
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.take_along import KitLeft, KitToTake, WhyLeftBehind, take_along
from daysworth.reference.cautions import CautionRow

ParcelNumbers = Mapping[HouseholdId, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenKitAnswer:
    """One kit to take, and what all to this one weigh. Masses are net: bag and packs weigh more."""

    kit: str
    name: str
    place: str
    place_name: str
    persons: int
    household: str | None
    parcel_number: int | None
    pull_by_day: date | None
    mass_g: float
    energy_kcal: float
    needs_opener: bool
    has_opener: bool
    mass_g_so_far: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftKitAnswer:
    """One kit that is left behind, and why, in words."""

    kit: str
    name: str
    place_name: str
    parcel_number: int | None
    why: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeAlongAnswer:
    """The kits to take, in order, and those that are left.

    `most_kg` null: all that are good. A kit counts one meal for each it serves, and a meal is the
    share of a day that the store has set: `person_days` are `person_meals` times that.
    """

    question: str
    release: str
    store: str
    store_name: str
    version: int
    as_of: date
    household: str | None
    parcel_number: int | None
    most_kg: float | None
    kits: list[TakenKitAnswer]
    mass_g: float
    energy_kcal: float
    person_meals: int
    person_days: float
    left: list[LeftKitAnswer]
    cautions: list[CautionRow]


WHY_LEFT: Final[Mapping[WhyLeftBehind, str]] = {
    WhyLeftBehind.NOT_SOUND: "something in it is damaged or was set aside",
    WhyLeftBehind.PAST: "something in it is past its date",
    WhyLeftBehind.UNDATED: "something in it has no date",
    WhyLeftBehind.FOR_ANOTHER_HOUSEHOLD: "it is for another household",
    WhyLeftBehind.UNSUITABLE: "something in it is not suitable for this household",
    WhyLeftBehind.UNKNOWN: "it is not known whether all of it suits this household",
    WhyLeftBehind.TOO_HEAVY: "it is too heavy to take as well",
}


def answer_take_along(
    snapshot: Snapshot,
    as_of: date,
    *,
    household: HouseholdId | None = None,
    most_kg: float | None = None,
    parcel_numbers: ParcelNumbers,
) -> TakeAlongAnswer:
    """Choose the kits to take, for a household or for anybody. Raises as `take_along`."""
    most_g = None if most_kg is None else most_kg * 1_000
    found = take_along(snapshot, as_of, household=household, most_g=most_g)
    places: dict[str, str] = {place.id: place.name for place in snapshot.places}
    last = found.taken[-1] if found.taken else None
    meals = 0 if last is None else last.persons_so_far
    return TakeAlongAnswer(
        question="take_along",
        release=release(),
        store=snapshot.store,
        store_name=snapshot.store_name,
        version=snapshot.version,
        as_of=as_of,
        household=household,
        parcel_number=None if household is None else parcel_numbers.get(household),
        most_kg=figure_or_none(most_kg),
        kits=[_taken(one, places=places, numbers=parcel_numbers) for one in found.taken],
        mass_g=0.0 if last is None else figure(last.mass_g_so_far),
        energy_kcal=0.0 if last is None else figure(last.energy_kcal_so_far),
        person_meals=meals,
        person_days=figure(meals * snapshot.settings.meal_rules.share_of_day),
        left=[_left(one, places=places, numbers=parcel_numbers) for one in found.left],
        cautions=list(cautions_on(set(Topic) - {Topic.FLOOD})),
    )


def take_along_json(answer: TakeAlongAnswer) -> str:
    """Write an answer as JSON, two spaces deep; the same answer gives the same bytes."""
    return written(answer, of=TakeAlongAnswer)


def take_along_seen_by(reader: Credential, answer: TakeAlongAnswer) -> TakeAlongAnswer:
    """Give what a reader may see: who is no coordinator is told no household but its own."""
    if reader.role is Role.COORDINATOR:
        return answer
    own = reader.household
    kits = [
        one if one.household in (None, own) else replace(one, household=None) for one in answer.kits
    ]
    return replace(answer, kits=kits)


def _taken(one: KitToTake, *, places: Mapping[str, str], numbers: ParcelNumbers) -> TakenKitAnswer:
    kit = one.kit
    return TakenKitAnswer(
        kit=kit.id,
        name=kit.name,
        place=kit.place,
        place_name=places[kit.place],
        persons=kit.persons,
        household=kit.household,
        parcel_number=_parcel(kit, numbers),
        pull_by_day=one.pull_by_day,
        mass_g=figure(one.totals.mass_g),
        energy_kcal=figure(one.totals.energy_kcal),
        needs_opener=one.needs_opener,
        has_opener=one.has_opener,
        mass_g_so_far=figure(one.mass_g_so_far),
    )


def _left(one: KitLeft, *, places: Mapping[str, str], numbers: ParcelNumbers) -> LeftKitAnswer:
    return LeftKitAnswer(
        kit=one.kit.id,
        name=one.kit.name,
        place_name=places[one.kit.place],
        parcel_number=_parcel(one.kit, numbers),
        why=one.why,
        words=WHY_LEFT[one.why],
    )


def _parcel(kit: MealKit, numbers: ParcelNumbers) -> int | None:
    return None if kit.household is None else numbers.get(kit.household)
