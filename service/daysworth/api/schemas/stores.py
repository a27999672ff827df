"""Say how stores and places come in and go out."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from daysworth.api.schemas.plain import Input, Output, Words
from daysworth.api.schemas.words_of_lists import FoodGroupIn, NeedsBasisIn
from daysworth.db.places import KeptPlace
from daysworth.db.stores import KeptStore
from daysworth.domain.foods import FoodGroup
from daysworth.domain.meal_rules import MealRules
from daysworth.domain.needs import NeedsBasis
from daysworth.domain.settings import GALLON_A_DAY_L, MOST_BANDS, StoreSettings

LitresIn = Annotated[float, Field(gt=0, le=100)]


class MealRulesIn(Input):
    """The figures that kits are held to.

    `share_of_day` is a meal's part of the daily need for energy; `keeps_months` are calendar months
    from packing; `bag_l` is what a bag holds; `pack_g_each` is the most that one pack may hold for
    each person served, where it does not keep once it is open.
    """

    share_of_day: Annotated[float, Field(gt=0, le=1)] = MealRules().share_of_day
    keeps_months: Annotated[int, Field(ge=0, le=60)] = MealRules().keeps_months
    bag_l: Annotated[float, Field(gt=0, le=100)] = MealRules().bag_l
    pack_g_each: Annotated[float, Field(gt=0, le=5_000)] = MealRules().pack_g_each


class SettingsIn(Input):
    """What a store decides for itself."""

    timezone: Annotated[str, Field(max_length=64, examples=["America/Chicago"])] = "UTC"
    water_l_per_person_day: LitresIn = GALLON_A_DAY_L
    water_l_per_pet_day: LitresIn = GALLON_A_DAY_L
    extras_share: Annotated[float, Field(ge=0, le=1)] = 0.15
    grace_days: dict[FoodGroupIn, Annotated[int, Field(ge=0, le=3_650)]] = Field(
        default_factory=dict
    )
    needs_basis: NeedsBasisIn = NeedsBasis.REFERENCE
    floor_days: Annotated[int, Field(ge=0, le=730)] = 14
    rounds_rule: Annotated[str, Field(max_length=120)] = StoreSettings().rounds_rule
    locale: Annotated[str, Field(max_length=12, examples=["en-US"])] = StoreSettings().locale
    notice_bands_days: Annotated[
        list[Annotated[int, Field(ge=1, le=730)]], Field(min_length=1, max_length=MOST_BANDS)
    ] = Field(default_factory=lambda: list(StoreSettings().notice_bands_days))
    meal_rules: MealRulesIn = Field(default_factory=MealRulesIn)

    @model_validator(mode="after")
    def _whole(self) -> Self:
        self.settings()
        return self

    def settings(self) -> StoreSettings:
        """Give the settings. Raises ValueError for a zone or a rule that does not exist."""
        given = self.model_dump()
        bands = tuple(given.pop("notice_bands_days"))
        rules = MealRules(**given.pop("meal_rules"))
        return StoreSettings(**given, notice_bands_days=bands, meal_rules=rules)


class StoreIn(Input):
    """A store's new name and settings, whole."""

    name: Words
    settings: SettingsIn


class MealRulesOut(Output):
    """The figures that kits are held to."""

    share_of_day: float
    keeps_months: int
    bag_l: float
    pack_g_each: float


class SettingsOut(Output):
    """What a store decides for itself."""

    timezone: str
    water_l_per_person_day: float
    water_l_per_pet_day: float
    extras_share: float
    grace_days: dict[FoodGroup, int]
    needs_basis: NeedsBasis
    floor_days: int
    rounds_rule: str
    locale: str
    notice_bands_days: list[int]
    meal_rules: MealRulesOut


class StoreOut(Output):
    """A store: the version counts every change to anything in it."""

    id: str
    name: str
    version: int
    settings: SettingsOut


class StoresOut(Output):
    """The stores that a credential opens."""

    items: list[StoreOut]


class PlaceIn(Input):
    """A shelf, a closet, a home. Whoever goes round takes the lowest `walk_position` first."""

    name: Words
    walk_position: Annotated[int, Field(ge=0, le=10_000)] = 0


class PlaceOut(Output):
    """A place where lots stand."""

    id: str
    name: str
    walk_position: int


def store_out(kept: KeptStore) -> StoreOut:
    """Tell of a store."""
    settings = SettingsOut.model_validate(kept.settings, from_attributes=True)
    return StoreOut(id=kept.id, name=kept.name, version=kept.version, settings=settings)


def place_out(kept: KeptPlace) -> PlaceOut:
    """Tell of a place."""
    return PlaceOut(id=kept.id, name=kept.name, walk_position=kept.walk_position)
