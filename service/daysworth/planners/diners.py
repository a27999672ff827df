"""Find whom a kit serves: how many at the table, and the kcal that they need in a day."""

from collections.abc import Iterable
from datetime import date
from math import fsum
from typing import Final

from daysworth.domain.ages import Stage, stage_of
from daysworth.domain.errors import ScenarioRefused
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.kit_rules import Diners
from daysworth.domain.meal_patterns import MOST_PERSONS
from daysworth.domain.needs import FLAT_ENERGY_KCAL, daily_need
from daysworth.domain.people import Household, Member
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.classes import is_present

FULL_RATION: Final = 1.0
"""A kit is a whole meal: rations are cut when it is given out, and not when it is put up."""


def diners_of(
    snapshot: Snapshot,
    as_of: date,
    *,
    household: HouseholdId | None = None,
    persons: int | None = None,
) -> Diners:
    """Give whom a kit serves: a household's members who eat table food, or so many persons.

    Where both are given, the household's members. Persons of whom nothing is known need the mean of
    the store's members. Raises ScenarioRefused where the store has no such household, where nobody
    in it eats table food, and where there would be none to serve or more than 24.
    """
    if household is not None:
        return _of_household(snapshot, as_of, household=household)
    if persons is None:
        raise ScenarioRefused("say whom the kit serves: a household, or how many persons")
    _check(persons)
    return Diners(persons=persons, energy_kcal_day=persons * mean_need_kcal(snapshot, as_of))


def persons_at_table(household: Household, as_of: date) -> int:
    """Count the present members of a household who eat table food."""
    return len(_at_table([household], as_of))


def mean_need_kcal(snapshot: Snapshot, as_of: date) -> float:
    """Give the kcal that the store's members who eat table food need in a day, on average.

    Where there are none: 2,100 kcal, the Sphere Handbook's planning figure.
    """
    needs = [
        _need_kcal(member, snapshot=snapshot, as_of=as_of)
        for member in _at_table(snapshot.households, as_of)
    ]
    return fsum(needs) / len(needs) if needs else FLAT_ENERGY_KCAL


def _of_household(snapshot: Snapshot, as_of: date, *, household: HouseholdId) -> Diners:
    homes = [home for home in snapshot.households if home.id == household]
    if not homes:
        raise ScenarioRefused(f"there is no household {household!r} in this store")
    members = _at_table(homes, as_of)
    if not members:
        raise ScenarioRefused("nobody in this household eats from the table yet")
    _check(len(members))
    needs = (_need_kcal(member, snapshot=snapshot, as_of=as_of) for member in members)
    return Diners(persons=len(members), energy_kcal_day=fsum(needs))


def _check(persons: int) -> None:
    if not 1 <= persons <= MOST_PERSONS:
        raise ScenarioRefused(f"a kit serves 1 to {MOST_PERSONS} persons, and not {persons}")


def _at_table(homes: Iterable[Household], as_of: date) -> list[Member]:
    return [
        member
        for home in homes
        for member in home.members
        if is_present(member, as_of) and stage_of(member, as_of) is Stage.TABLE_FOOD
    ]


def _need_kcal(member: Member, *, snapshot: Snapshot, as_of: date) -> float:
    basis = snapshot.settings.needs_basis
    return daily_need(member, as_of=as_of, basis=basis, ration=FULL_RATION).energy_kcal
