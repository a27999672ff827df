"""Name the parts of a wish list as they stand in JSON."""

from typing import TypedDict

from daysworth_client.answers import CautionPart, ScenarioPart


class WishPart(TypedDict):
    """The wish as it was asked; `foods` None: any food."""

    target_days: float
    least: str
    foods: list[str] | None
    is_usual_only: bool
    keeps_past_target: bool
    household: str | None
    prices: dict[str, float]


class WishLinePart(TypedDict):
    """So many units of a food."""

    food: str
    food_name: str
    group: str
    units: int
    unit_mass_g: float
    energy_kcal: float
    water_l: float
    last_good_day: str
    keeps_months: int
    cost: float | None


class WishTotalsPart(TypedDict):
    """The whole list; `cost` None: something on it has no price."""

    units: int
    mass_kg: float
    energy_kcal: float
    water_l: float
    cost: float | None


class LackingPart(TypedDict):
    """Members whom no candidate feeds for the target."""

    members: int
    need: str
    days: float
    may_suit: list[str]
    may_suit_count: int


class WishListAnswer(TypedDict):
    """What to bring, so that everyone or one household can eat so long."""

    question: str
    release: str
    store: str
    store_name: str
    version: int
    as_of: str
    scenario: ScenarioPart
    wish: WishPart
    outcome: str
    days_before: float | None
    days_after: float | None
    lines: list[WishLinePart]
    totals: WishTotalsPart
    amount: float
    amount_at_least: float
    is_least: bool
    lacking: list[LackingPart]
    cautions: list[CautionPart]
