"""Lay out households and their warnings for reading: whose needs, worst first, what suits."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from daysworth.answers.suitability_in_words import FindingAnswer, PackAnswer
from daysworth.answers.warnings import WarningAnswer, WarningsAnswer, needs_in_words, notes_on
from daysworth.db.households import KeptHousehold
from daysworth.db.transactions import day_there
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.people import Household
from daysworth.domain.settings import StoreSettings
from daysworth.domain.verdicts import Verdict
from daysworth.planners.household_fit import Table, table_of

MOST_PLACES: Final = 4
"""How many places a food that nobody read is looked for in before the rest are counted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeShown:
    """A household in the list: its parcel, its name, and what it needs in words."""

    id: HouseholdId
    parcel_number: int
    name: str
    members: int
    needs: Sequence[str]
    notes: Sequence[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class WarningShown:
    """One warning: itself, whom each finding is for, and the day that somebody took note of it."""

    warning: WarningAnswer
    findings: Sequence[tuple[FindingAnswer, Sequence[str]]]
    noted_on: date | None

    @property
    def places(self) -> Mapping[str, int]:
        """Count the packs by place, in the order of the lots."""
        return units_by_place(self.warning.lots)


@dataclass(frozen=True, slots=True)
class WarningGroup:
    """Warnings under one heading."""

    key: str
    warnings: Sequence[WarningShown]

    @property
    def open(self) -> Sequence[WarningShown]:
        """Give those that nobody took note of yet."""
        return [one for one in self.warnings if one.warning.acknowledged is None]


def home_shown(kept: KeptHousehold, *, on: date) -> HomeShown:
    """Show a household in the list."""
    table = needs_of(kept, on=on)
    return HomeShown(
        id=kept.id,
        parcel_number=kept.parcel_number,
        name=kept.name,
        members=len(kept.members),
        needs=needs_in_words(table),
        notes=notes_on(table),
    )


def needs_of(kept: KeptHousehold, *, on: date) -> Table:
    """Gather what a household needs on a day."""
    members = tuple(one.facts for one in kept.members)
    return table_of(Household(id=kept.id, members=members), on)


def warning_groups(
    answer: WarningsAnswer, *, home: KeptHousehold, settings: StoreSettings
) -> list[WarningGroup]:
    """Put the warnings under their headings, worst first; those without a warning are left out."""
    names = {str(one.facts.id): one.name for one in home.members}
    groups: dict[str, list[WarningShown]] = {"not": [], "doubt": [], "unread": [], "beware": []}
    for one in answer.warnings:
        groups[_heading(one)].append(_shown(one, names=names, settings=settings))
    return [WarningGroup(key, found) for key, found in groups.items() if found]


def _heading(one: WarningAnswer) -> str:
    if one.verdict == Verdict.UNSUITABLE:
        return "not"
    if one.verdict == Verdict.UNKNOWN:
        return "doubt" if one.was_read else "unread"
    return "beware"


def _shown(
    one: WarningAnswer, *, names: Mapping[str, str | None], settings: StoreSettings
) -> WarningShown:
    noted = one.acknowledged
    return WarningShown(
        warning=one,
        findings=[(finding, _whom(finding, names)) for finding in one.findings],
        noted_on=(
            None if noted is None else day_there(settings, at=datetime.fromisoformat(noted.at))
        ),
    )


def _whom(finding: FindingAnswer, names: Mapping[str, str | None]) -> list[str]:
    """Name those whom a finding is for; nobody where it binds the home, or one has no name."""
    if finding.binds_home:
        return []
    named = [name for member in finding.members if (name := names.get(member))]
    return named if len(named) == len(finding.members) else []


def units_by_place(lots: Iterable[PackAnswer]) -> Mapping[str, int]:
    """Count the packs of some lots by place."""
    found: dict[str, int] = {}
    for lot in lots:
        found[lot.place] = found.get(lot.place, 0) + lot.units
    return found


def count_noted(answer: WarningsAnswer) -> int:
    """Count the warnings that somebody took note of."""
    return sum(one.acknowledged is not None for one in answer.warnings)
