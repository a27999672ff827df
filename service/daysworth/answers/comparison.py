"""Compare two answers on coverage, side by side: another week, another scenario, another day.

Each side is a snapshot, an as-of date and a scenario. Every figure is given `before`, `after` and
as their `change`, which is after less before, and null where one of the two is. Units and energy
are what is on hand, whatever its date and whoever keeps it, promised units too; they do not depend
on the scenario. The names here are the names in JSON. It holds needs and households, so it is for
coordinators alone.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from daysworth.answers.coverage import (
    ClassAnswer,
    CoverageAnswer,
    HouseholdAnswer,
    ScenarioAsked,
    answer_coverage,
    figure,
)
from daysworth.answers.stock_comparison import (
    FoodChange,
    PassedAnswer,
    foods_compared,
    passed_between,
)
from daysworth.answers.two_figures import CountChange, DaysChange, FigureChange
from daysworth.answers.written import written
from daysworth.domain.errors import InputRefused
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario
from daysworth.reference.cautions import CautionRow

WORTH_TELLING_DAYS = 1e-5
"""A household's days that differ by less, about a second, are the same."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One side of a comparison: what is asked about, and which kept week it is, if it is one.

    `is_rewritten`: households that were erased since are no longer in it.
    """

    snapshot: Snapshot
    as_of: date
    scenario: Scenario
    week: str | None = None
    is_rewritten: bool = False


@dataclass(frozen=True, slots=True)
class SideAnswer:
    """One side as it was asked, and who holds its days down.

    `week` null: the store as it is now, or a snapshot file.
    """

    version: int
    as_of: date
    week: str | None
    is_rewritten: bool
    scenario: ScenarioAsked
    held_by: list[ClassAnswer]


@dataclass(frozen=True, slots=True)
class HouseholdChange:
    """A household whose days changed; members null: it is not on that side.

    Its days are null where it is not, or where nobody in it has a need of their own.
    """

    household: str
    members_before: int | None
    members_after: int | None
    days: DaysChange


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparisonAnswer:
    """Two answers to "how many days can all of us eat?", side by side.

    `households` are those whose days changed or that are on one side alone, the most days lost
    first; the rest are counted. `foods` are those of which units or energy changed, the most energy
    lost first. `passed` are lots whose date passed between the two days.
    """

    question: str
    release: str
    store: str
    store_name: str
    before: SideAnswer
    after: SideAnswer
    everyone_fed_days: DaysChange
    next_level_days: DaysChange
    person_days: FigureChange
    person_days_on_paper: FigureChange
    water_days: FigureChange
    water_days_drinking_only: FigureChange
    household_count: CountChange
    members: CountChange
    members_with_a_need: CountChange
    units_on_hand: CountChange
    energy_on_hand_kcal: FigureChange
    households: list[HouseholdChange]
    households_unchanged: int
    foods: list[FoodChange]
    passed: list[PassedAnswer]
    cautions: list[CautionRow]


def answer_comparison(before: Side, after: Side) -> ComparisonAnswer:
    """Plan both sides and compare them.

    Raises InputRefused where they are of two stores, and as `answer_coverage`. A place or household
    of the scenario that only the other side knows was not there yet, or is not any more: on this
    side it is neither lost nor away.
    """
    if before.snapshot.store != after.snapshot.store:
        raise InputRefused(
            "a store is compared with itself, and these are two:"
            f" {before.snapshot.store!r} and {after.snapshot.store!r}"
        )
    first = _covered(before, other=after.snapshot)
    second = _covered(after, other=before.snapshot)
    foods, energy_kcal = foods_compared(before.snapshot, after.snapshot)
    homes, unchanged = _households(first.households, second.households)
    return ComparisonAnswer(
        question="comparison",
        release=second.release,
        store=second.store,
        store_name=second.store_name,
        before=_side(before, first),
        after=_side(after, second),
        everyone_fed_days=_everyone_fed(first, second),
        next_level_days=_next_level(first, second),
        person_days=FigureChange.of(first.person_days, second.person_days),
        person_days_on_paper=FigureChange.of(
            first.person_days_on_paper, second.person_days_on_paper
        ),
        water_days=FigureChange.of(first.water.days, second.water.days),
        water_days_drinking_only=FigureChange.of(
            first.water.days_drinking_only, second.water.days_drinking_only
        ),
        household_count=CountChange.of(first.household_count, second.household_count),
        members=CountChange.of(first.members, second.members),
        members_with_a_need=CountChange.of(first.members_with_a_need, second.members_with_a_need),
        units_on_hand=CountChange.of(first.units_on_hand, second.units_on_hand),
        energy_on_hand_kcal=energy_kcal,
        households=homes,
        households_unchanged=unchanged,
        foods=foods,
        passed=passed_between(
            before.snapshot, after.snapshot, from_day=before.as_of, until_day=after.as_of
        ),
        cautions=_cautions(first.cautions, second.cautions),
    )


def comparison_json(answer: ComparisonAnswer) -> str:
    """Write a comparison as JSON, two spaces deep; the same comparison gives the same bytes."""
    return written(answer, of=ComparisonAnswer)


def _covered(side: Side, *, other: Snapshot) -> CoverageAnswer:
    scenario = _as_it_was(side.scenario, side.snapshot, other=other)
    return answer_coverage(side.snapshot, side.as_of, scenario=scenario)


def _as_it_was(scenario: Scenario, snapshot: Snapshot, *, other: Snapshot) -> Scenario:
    """Leave out of a scenario what only the other side knows; what none knows will be refused."""
    if not scenario.places_lost and not scenario.households_away:
        return scenario
    places = {place.id for place in other.places} - {place.id for place in snapshot.places}
    homes = {home.id for home in other.households} - {home.id for home in snapshot.households}
    return Scenario(
        heating=scenario.heating,
        running_water=scenario.running_water,
        stock=scenario.stock,
        places_lost=scenario.places_lost - places,
        households_away=scenario.households_away - homes,
        basis=scenario.basis,
        ration=scenario.ration,
        horizon_days=scenario.horizon_days,
    )


def _side(side: Side, answer: CoverageAnswer) -> SideAnswer:
    return SideAnswer(
        answer.version,
        answer.as_of,
        side.week,
        side.is_rewritten,
        answer.scenario,
        answer.held_by,
    )


def _everyone_fed(first: CoverageAnswer, second: CoverageAnswer) -> DaysChange:
    return DaysChange.of(
        first.everyone_fed_days,
        second.everyone_fed_days,
        before_at_least=first.everyone_fed_at_least,
        after_at_least=second.everyone_fed_at_least,
    )


def _next_level(first: CoverageAnswer, second: CoverageAnswer) -> DaysChange:
    return DaysChange.of(
        first.next_level_days,
        second.next_level_days,
        before_at_least=_is_at_horizon(first.next_level_days, first),
        after_at_least=_is_at_horizon(second.next_level_days, second),
    )


def _is_at_horizon(days: float | None, answer: CoverageAnswer) -> bool:
    return days is not None and figure(days) >= answer.scenario.horizon_days


def _households(
    before: Iterable[HouseholdAnswer], after: Iterable[HouseholdAnswer]
) -> tuple[list[HouseholdChange], int]:
    """Give the households that changed, the most days lost first, and how many did not."""
    firsts = {home.household: home for home in before}
    seconds = {home.household: home for home in after}
    homes = [
        _household(id_, first=firsts.get(id_), second=seconds.get(id_))
        for id_ in sorted({**firsts, **seconds})
    ]
    changed = [home for home in homes if _has_changed(home)]
    changed.sort(key=lambda home: (home.days.change is None, home.days.change, home.household))
    return changed, len(homes) - len(changed)


def _household(
    id_: str, *, first: HouseholdAnswer | None, second: HouseholdAnswer | None
) -> HouseholdChange:
    return HouseholdChange(
        id_,
        None if first is None else first.members,
        None if second is None else second.members,
        DaysChange.of(
            None if first is None else first.days,
            None if second is None else second.days,
            before_at_least=first is not None and first.at_least,
            after_at_least=second is not None and second.at_least,
        ),
    )


def _has_changed(home: HouseholdChange) -> bool:
    days = home.days
    if days.change is not None:
        return abs(days.change) >= WORTH_TELLING_DAYS
    is_on_both = home.members_before is not None and home.members_after is not None
    return not is_on_both or days.before != days.after


def _cautions(*lists: Iterable[CautionRow]) -> list[CautionRow]:
    """Give every caution of both sides once, in the order in which they come."""
    found: dict[str, CautionRow] = {row.id: row for row in _each(lists)}
    return list(found.values())


def _each(lists: Iterable[Iterable[CautionRow]]) -> Iterator[CautionRow]:
    for rows in lists:
        yield from rows
