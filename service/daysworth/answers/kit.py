"""Write one kit: what is in it, until when it is good, for whom, and what has changed.

The names here are the names in JSON. Who is no coordinator, and no member of the household that a
kit is for, is told its parcel's number and nothing that tells of a need.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Final

from daysworth.answers.kit_check import kit_cautions, names_in
from daysworth.answers.kit_contents import (
    TROUBLE_WORDS,
    KitAllergensAnswer,
    KitFoodAnswer,
    KitWareAnswer,
    KitWarningAnswer,
    RuleAnswer,
    WaiverAnswer,
    allergens_answer,
    kit_food,
    kit_wares,
    kit_warning,
    rule_answers,
    waiver_answers,
)
from daysworth.answers.reference_data import release
from daysworth.answers.rounding import figure
from daysworth.db.kits import KeptKit
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.entries import Credential, Role
from daysworth.domain.identifiers import FoodId, HouseholdId
from daysworth.domain.kit_allergens import allergens_of
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.kit_contents import KitFood, needs_opener, pull_by_day, totals_of
from daysworth.planners.kit_view import KitChange, KitChangeKind, KitView, kit_view
from daysworth.reference.cautions import CautionRow

ParcelNumbers = Mapping[HouseholdId, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class KitAnswer:
    """One kit. `state` is closed, unpacked or eaten; `ended_at` is when it was, null: it is closed.

    `pull_by_day` null: something in it is undated. `rules` are as of the day it was packed,
    `warnings` as of today. `changed_since_packing`: a coordinator has to look at it before anybody
    eats of it; `looked_at`, `looked_by` and `looked_why` are of the last who did.
    """

    question: str
    release: str
    store: str
    version: int
    as_of: date
    kit: str
    etag: str
    name: str
    state: str
    ended_at: str | None
    place: str
    place_name: str
    persons: int
    household: str | None
    parcel_number: int | None
    pattern: str | None
    packed_on: date
    packed_by: str
    pull_by_day: date | None
    days_left: int | None = None
    mass_g: float
    volume_l: float
    energy_kcal: float
    energy_kcal_per_person: float
    protein_g_per_person: float
    needs_opener: bool
    asks_care_team: bool = False
    contents: list[KitFoodAnswer]
    wares: list[KitWareAnswer]
    allergens: KitAllergensAnswer
    rules: list[RuleAnswer] = field(default_factory=list)
    waivers: list[WaiverAnswer]
    warnings: list[KitWarningAnswer] = field(default_factory=list)
    changed_since_packing: bool = False
    what_changed: list[str] = field(default_factory=list)
    looked_at: str | None
    looked_by: str | None
    looked_why: str | None
    steps: list[str]
    may_be_warmed: str | None
    cautions: list[CautionRow]


def answer_kit(
    snapshot: Snapshot,
    as_of: date,
    *,
    kept: KeptKit,
    is_to_be_looked_at: bool,
    parcel_numbers: ParcelNumbers,
) -> KitAnswer:
    """Look at a closed kit. Raises NotThere for one that the snapshot has not."""
    view = kit_view(snapshot, kept.id, as_of=as_of)
    check = view.check
    places: dict[str, str] = {place.id: place.name for place in snapshot.places}
    bag = answer_ended_kit(
        snapshot, as_of, kept=kept, foods=check.foods, parcel_numbers=parcel_numbers
    )
    day = check.pull_by_day
    return replace(
        bag,
        days_left=None if day is None else (day - as_of).days,
        asks_care_team=check.asks_care_team,
        rules=rule_answers(check.rules, names=names_in(check)),
        warnings=[kit_warning(one, places=places, tells_members=True) for one in check.warnings],
        changed_since_packing=is_to_be_looked_at,
        what_changed=list(_changed(view, is_to_be_looked_at=is_to_be_looked_at)),
        cautions=kit_cautions(snapshot, as_of, household=kept.kit.household),
    )


def answer_ended_kit(
    snapshot: Snapshot,
    as_of: date,
    *,
    kept: KeptKit,
    foods: Sequence[KitFood],
    parcel_numbers: ParcelNumbers,
) -> KitAnswer:
    """Tell of a kit that has ended: what was in it, and no judgement of it."""
    kit, totals = kept.kit, totals_of(foods, persons=kept.kit.persons)
    return KitAnswer(
        question="kit",
        release=release(),
        store=snapshot.store,
        version=snapshot.version,
        as_of=as_of,
        kit=kit.id,
        etag=f'"r{kept.revision}"',
        name=kit.name,
        state=kept.state,
        ended_at=kept.ended_at,
        place=kit.place,
        place_name=next(place.name for place in snapshot.places if place.id == kit.place),
        persons=kit.persons,
        household=kit.household,
        parcel_number=None if kit.household is None else parcel_numbers.get(kit.household),
        pattern=kit.pattern,
        packed_on=kit.packed_on,
        packed_by=kept.packed_by,
        pull_by_day=pull_by_day(foods),
        mass_g=figure(totals.mass_g),
        volume_l=figure(totals.volume_l),
        energy_kcal=figure(totals.energy_kcal),
        energy_kcal_per_person=figure(totals.energy_kcal_each),
        protein_g_per_person=figure(totals.protein_g_each),
        needs_opener=needs_opener(foods),
        contents=[kit_food(one) for one in foods],
        wares=kit_wares(kit.wares),
        allergens=allergens_answer(allergens_of(one.offer for one in foods)),
        waivers=waiver_answers(kit.waivers),
        looked_at=kept.looked_at,
        looked_by=kept.looked_by,
        looked_why=kept.looked_why,
        steps=list(kit.steps),
        may_be_warmed=kit.may_be_warmed,
        cautions=kit_cautions(snapshot, as_of, household=None),
    )


def kit_seen_by(reader: Credential, answer: KitAnswer) -> KitAnswer:
    """Give what a reader may see: whom it is for, and their needs, are theirs and coordinators'."""
    is_theirs = answer.household is not None and answer.household == reader.household
    if reader.role is Role.COORDINATOR or is_theirs or answer.household is None:
        return answer
    return replace(
        answer,
        household=None,
        asks_care_team=False,
        rules=[],
        warnings=[],
        what_changed=[_LOOK] if answer.changed_since_packing else [],
        looked_why=None,
        # Which of them apply would tell of who is served.
        cautions=list(cautions_on(set(Topic) - {Topic.FLOOD})),
    )


_LOOK: Final = "a coordinator has to look at it before anybody eats of it"

_CHANGED: Final[Mapping[KitChangeKind, str]] = {
    KitChangeKind.UNSUITABLE: "{food} is not suitable for those it is for",
    KitChangeKind.UNKNOWN: "it is not known whether {food} suits those it is for",
    KitChangeKind.MORE_AT_TABLE: "more people eat there now than it serves",
    KitChangeKind.NOT_GOOD: "{food}: {trouble}",
}


def _changed(view: KitView, *, is_to_be_looked_at: bool) -> Iterator[str]:
    names = names_in(view.check)
    yield from dict.fromkeys(_change_words(one, names) for one in view.what_changed)
    if is_to_be_looked_at and not view.what_changed:
        yield "something about its food, or about those it is for, was changed: look at it again"


def _change_words(one: KitChange, names: Mapping[FoodId, str]) -> str:
    food = "" if one.food is None else names.get(one.food, one.food)
    trouble = "" if one.trouble is None else TROUBLE_WORDS[one.trouble]
    return _CHANGED[one.kind].format(food=food, trouble=trouble)
