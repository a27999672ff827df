"""Name the parts of a timeline as they stand in JSON, for whoever reads one."""

from typing import TypedDict

from daysworth_client.answers import CautionPart, ScenarioPart


class PointPart(TypedDict):
    """How things stand on a date if nothing is added and nobody eats."""

    point_day: str
    is_round: bool
    members_with_a_need: int
    everyone_fed_days: float | None
    everyone_fed_at_least: bool
    person_days: float
    passing_kcal: float


class CliffPart(TypedDict):
    """The points, until when they look, and a day on which days fall below the floor."""

    last_day: str
    floor_days: int
    below_floor_on: str | None
    points: list[PointPart]


class RunPart(TypedDict):
    """One food, eaten at one rate from one moment to another."""

    first_day: str
    last_day: str
    starts_days: float
    ends_days: float
    food: str
    food_name: str
    units: float
    energy_kcal: float
    good_to_day: str | None


class ClassLinePart(TypedDict):
    """What one eating class eats, and when."""

    members: int
    need: str
    days: float
    at_least: bool
    energy_kcal_a_day: float
    runs: list[RunPart]


class HouseholdLinePart(TypedDict):
    """What one household eats, and when."""

    household: str
    members: int
    runs: list[RunPart]


class TimelineAnswer(TypedDict):
    """The answer to "how long does the store wait, and when is what eaten?"."""

    question: str
    release: str
    store: str
    store_name: str
    version: int
    as_of: str
    scenario: ScenarioPart
    cliff: CliffPart
    classes: list[ClassLinePart]
    household: HouseholdLinePart | None
    cautions: list[CautionPart]
