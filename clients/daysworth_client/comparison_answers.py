"""Name the parts of a comparison as they stand in JSON."""

from typing import TypedDict

from daysworth_client.answers import CautionPart, ClassPart, ScenarioPart


class FigureChangePart(TypedDict):
    """A figure before and after; None: there was nothing to count."""

    before: float | None
    after: float | None
    change: float | None


class DaysChangePart(TypedDict):
    """Days before and after, and whether they reach as far as was counted."""

    before: float | None
    before_at_least: bool
    after: float | None
    after_at_least: bool
    change: float | None


class CountChangePart(TypedDict):
    """A count before and after."""

    before: int
    after: int
    change: int


class SidePart(TypedDict):
    """One side as it was asked; `week` None: the store as it is now, or a file."""

    version: int
    as_of: str
    week: str | None
    is_rewritten: bool
    scenario: ScenarioPart
    held_by: list[ClassPart]


class HouseholdChangePart(TypedDict):
    """A household whose days changed; members None: it is not on that side."""

    household: str
    members_before: int | None
    members_after: int | None
    days: DaysChangePart


class FoodChangePart(TypedDict):
    """A food of which there is more or less."""

    food: str
    food_name: str
    units: CountChangePart
    energy_kcal: FigureChangePart


class PassedPart(TypedDict):
    """A lot whose last good day passed between."""

    lot: str
    food: str
    place: str
    last_good_day: str
    units_before: int
    units_still_there: int


class ComparisonAnswer(TypedDict):
    """Two answers to "how many days can all of us eat?", side by side."""

    question: str
    release: str
    store: str
    store_name: str
    before: SidePart
    after: SidePart
    everyone_fed_days: DaysChangePart
    next_level_days: DaysChangePart
    person_days: FigureChangePart
    person_days_on_paper: FigureChangePart
    water_days: FigureChangePart
    water_days_drinking_only: FigureChangePart
    household_count: CountChangePart
    members: CountChangePart
    members_with_a_need: CountChangePart
    units_on_hand: CountChangePart
    energy_on_hand_kcal: FigureChangePart
    households: list[HouseholdChangePart]
    households_unchanged: int
    foods: list[FoodChangePart]
    passed: list[PassedPart]
    cautions: list[CautionPart]
