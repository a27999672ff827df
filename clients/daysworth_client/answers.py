"""Name the parts of an answer as they stand in JSON, for whoever reads one."""

from typing import TypedDict


class CautionPart(TypedDict):
    """One caution, shown with every answer that concerns food."""

    id: str
    topic: str
    text: str
    source: str


class ScenarioPart(TypedDict):
    """What was taken to be available."""

    heating: bool
    running_water: bool
    stock: str
    places_lost: list[str]
    households_away: list[str]
    basis: str
    ration: float
    horizon_days: int


class HouseholdPart(TypedDict):
    """One household's days; None: nobody in it has a need of their own."""

    household: str
    members: int
    days: float | None
    at_least: bool


class ClassPart(TypedDict):
    """How many people with one need, and their days."""

    members: int
    need: str
    days: float
    at_least: bool


class WaterPart(TypedDict):
    """Litres of stored water and the days they last."""

    stored_l: float
    litres_a_day: float
    days: float | None
    days_drinking_only: float | None
    overdue_l: float
    overdue_days: float | None


class LotPart(TypedDict):
    """One lot on a list."""

    lot: str
    food: str
    units: int
    place: str
    last_good_day: str | None


class LabelPart(TypedDict):
    """A label to read first, and for how many days all eat if it proves suitable."""

    food: str
    food_name: str
    units: int
    energy_kcal: float
    was_read: bool
    everyone_fed_days_if_it_suits: float
    lots: list[LotPart]


class RoundPart(TypedDict):
    """What passes its date before the next round."""

    next_round_day: str | None
    units: int
    energy_kcal: float
    lots: list[LotPart]


class SetAsidePart(TypedDict):
    """Lots that count in no plan, by reason."""

    past: list[LotPart]
    undated: list[LotPart]
    damaged: list[LotPart]
    quarantined: list[LotPart]


class StepPart(TypedDict):
    """What can be eaten at one step from the shelf to the fair plan."""

    step: str
    person_days: float
    at_most: bool


class FoodGainPart(TypedDict):
    """The days that one more unit of a food adds for those who run out first."""

    food: str
    food_name: str
    unit_kcal: float
    days: float
    only_if_label_suits: bool


class RunsOutPart(TypedDict):
    """Who run out first: what holds them, and the foods that would add most days.

    `days_without` are their days with "extras", "protein", "water" or "dates" let go, each alone.
    """

    members: int
    need: str
    days: float
    days_without: dict[str, float]
    foods: list[FoodGainPart]


class SpoilingLotPart(TypedDict):
    """What will spoil of one lot; `kept_by` is the household that keeps it for itself."""

    lot: str
    food: str
    units: float
    place: str
    last_good_day: str | None
    energy_kcal: float
    kept_by: str | None


class SpoilingPart(TypedDict):
    """What will spoil uneaten before the horizon."""

    energy_kcal: float
    person_days: float
    at_least: bool
    lots: list[SpoilingLotPart]


class ClassMealsPart(TypedDict):
    """The complete meals of people with one need, and the part of a meal that is scarcest."""

    members: int
    need: str
    person_meals: float
    scarcest: str | None


class DietMixPart(TypedDict):
    """What the food is made of, beside published figures. Shares are of energy."""

    energy_kcal: float
    protein_share: float
    protein_share_planned: list[float]
    fat_share: float | None
    fat_share_planned: float
    planned_source: str
    sodium_mg_per_person_day: float | None
    sodium_mg_limit: float
    sodium_limit_source: str
    energy_without_fat_figure_share: float
    energy_without_sodium_figure_share: float


class CoverageAnswer(TypedDict):
    """The answer to "how many days can all of us eat?"."""

    question: str
    release: str
    store: str
    store_name: str
    version: int
    as_of: str
    scenario: ScenarioPart
    household_count: int
    members: int
    members_with_a_need: int
    units_on_hand: int
    mean_need_kcal: float
    person_days: float
    person_days_on_paper: float
    members_days: float
    everyone_fed_days: float | None
    everyone_fed_at_least: bool
    everyone_fed_days_if_unread_suit: float | None
    labels_to_read: list[LabelPart]
    everyone_fed_days_if_enough_to_drink: float | None
    next_level_days: float | None
    held_by: list[ClassPart]
    where_the_days_go: list[StepPart]
    runs_out_first: list[RunsOutPart]
    households: list[HouseholdPart]
    classes: list[ClassPart]
    complete_meals: list[ClassMealsPart]
    diet_mix: DietMixPart
    will_spoil: SpoilingPart
    water: WaterPart
    before_next_round: RoundPart
    set_aside: SetAsidePart
    cautions: list[CautionPart]
