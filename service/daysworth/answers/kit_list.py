"""Write kits in a list. The names here are the names in JSON."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from daysworth.answers.rounding import figure
from daysworth.db.kits import KeptKit
from daysworth.domain.entries import Credential, Role
from daysworth.domain.identifiers import HouseholdId, PlaceId
from daysworth.planners.kit_contents import KitFood, needs_opener, pull_by_day, totals_of


@dataclass(frozen=True, slots=True, kw_only=True)
class KitSummary:
    """One kit in a list. `state` is closed, unpacked or eaten.

    `household` is told to coordinators and to itself. `pull_by_day` null: something in it is
    undated, or the kit has ended; its figures are null when it has.
    """

    id: str
    etag: str
    name: str
    state: str
    place: str
    place_name: str
    persons: int
    household: str | None
    parcel_number: int | None
    pattern: str | None
    packed_on: date
    ended_at: str | None
    pull_by_day: date | None
    mass_g: float | None
    energy_kcal: float | None
    needs_opener: bool | None
    changed_since_packing: bool


def kit_summary(
    kept: KeptKit,
    *,
    foods: Sequence[KitFood] | None,
    is_to_be_looked_at: bool,
    places: Mapping[PlaceId, str],
    parcel_numbers: Mapping[HouseholdId, int],
) -> KitSummary:
    """Write one kit of a list; `foods` None: it has ended."""
    kit = kept.kit
    totals = None if foods is None else totals_of(foods, persons=kit.persons)
    return KitSummary(
        id=kit.id,
        etag=f'"r{kept.revision}"',
        name=kit.name,
        state=kept.state,
        place=kit.place,
        place_name=places[kit.place],
        persons=kit.persons,
        household=kit.household,
        parcel_number=None if kit.household is None else parcel_numbers.get(kit.household),
        pattern=kit.pattern,
        packed_on=kit.packed_on,
        ended_at=kept.ended_at,
        pull_by_day=None if foods is None else pull_by_day(foods),
        mass_g=None if totals is None else figure(totals.mass_g),
        energy_kcal=None if totals is None else figure(totals.energy_kcal),
        needs_opener=None if foods is None else needs_opener(foods),
        changed_since_packing=is_to_be_looked_at,
    )


def kit_summary_seen_by(reader: Credential, one: KitSummary) -> KitSummary:
    """Give what a reader may see: whom a kit is for is told to coordinators and to itself."""
    if reader.role is Role.COORDINATOR or one.household == reader.household:
        return one
    return replace(one, household=None)
