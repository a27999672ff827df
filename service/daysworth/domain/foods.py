"""Describe a food: what it is made of, what it gives, and what it takes to eat it."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated, Final

from annotated_types import Ge, Gt, Le

from daysworth.domain.identifiers import FoodId, IdLength, Name
from daysworth.domain.labels import Regime
from daysworth.domain.restrictions import NOTHING_DECLARED, DeclaredFacts, FormulaKind


class FoodGroup(StrEnum):
    """The shelf a food belongs on."""

    FISH = "fish"
    MEAT_AND_POULTRY = "meat_and_poultry"
    PREPARED_MEALS = "prepared_meals"
    BEANS_AND_LENTILS = "beans_and_lentils"
    NUTS_AND_SEEDS = "nuts_and_seeds"
    DAIRY_AND_EGG = "dairy_and_egg"
    BREADS_AND_CRACKERS = "breads_and_crackers"
    BREAKFAST_CEREALS = "breakfast_cereals"
    GRAINS_AND_PASTA = "grains_and_pasta"
    VEGETABLES = "vegetables"
    FRUIT = "fruit"
    FATS_AND_OILS = "fats_and_oils"
    SWEETS = "sweets"
    CONDIMENTS = "condiments"
    DRINKS = "drinks"
    WATER = "water"
    INFANT_FORMULA = "infant_formula"
    BABY_FOOD = "baby_food"


class MealRole(StrEnum):
    """The part a food plays in a complete meal."""

    PROTEIN = "protein"
    STARCH = "starch"
    FRUIT_OR_VEGETABLE = "fruit_or_vegetable"


class Preparation(StrEnum):
    """Whether a food must be heated, or must have water added, before it can be eaten."""

    NEEDED = "needed"
    NICER = "nicer"
    NO = "no"


class MassBasis(StrEnum):
    """The mass that the figures per 100 g are for."""

    NET = "net"
    DRAINED = "drained"


class Texture(StrEnum):
    """Whether someone who can hardly chew can eat it from the pack."""

    SOFT = "soft"
    FIRM = "firm"


class MadeOf(StrEnum):
    """What a generic food is made of, as far as its kind settles it."""

    PLAIN_PLANT = "plain_plant"
    PLAIN_FISH = "plain_fish"
    MEAT = "meat"
    DAIRY = "dairy"
    EGG = "egg"
    MIXED = "mixed"
    WATER = "water"


_WATER: Final = FoodGroup.WATER
_DRAINED: Final = MassBasis.DRAINED
_NEEDED: Final = Preparation.NEEDED
"""An enum's members take long to look up, next to all else that is asked of each food."""

LEAST_KCAL_100G: Final = 0.01

Per100G = Annotated[float, Ge(0), Le(100)]
"""Grams in 100 g."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Food:
    """One catalogue entry: a generic food, or one labelled product.

    Figures are per 100 g of net or of drained mass, as `figures_for` says. `drained_fraction` is
    drained mass over net mass. `added_water_ml_100g` is what 100 g of it needs when added water
    is needed. The `keeps_…` days are without refrigeration; None: not known. `facts` are those of
    the generic recipe, never a label's. `regime` is the law its labels follow; None: not known.
    `formula` is what an infant formula is made from. `is_choking_hazard` is flagged for children
    under four. Raises ValueError where the figures contradict one another.
    """

    id: Annotated[FoodId, IdLength]
    name: Name
    group: FoodGroup
    energy_kcal_100g: Annotated[float, Ge(0), Le(902)]
    protein_g_100g: Per100G
    net_mass_g: Annotated[float, Gt(0), Le(1_000_000)]
    fat_g_100g: Per100G | None = None
    carbohydrate_g_100g: Per100G | None = None
    sodium_mg_100g: Annotated[float, Ge(0), Le(50_000)] | None = None
    roles: frozenset[MealRole] = frozenset()
    is_extra: bool = False
    figures_for: MassBasis = MassBasis.NET
    drained_fraction: Annotated[float, Gt(0), Le(1)] | None = None
    heating: Preparation = Preparation.NO
    added_water: Preparation = Preparation.NO
    added_water_ml_100g: Annotated[float, Ge(0), Le(5_000)] = 0.0
    needs_opener: bool = False
    shelf_life_months: Annotated[int, Ge(0), Le(600)] | None = None
    keeps_opened_days: Annotated[int, Ge(0), Le(20_000)] | None = None
    keeps_repacked_days: Annotated[int, Ge(0), Le(20_000)] | None = None
    texture: Texture | None = None
    made_of: MadeOf = MadeOf.MIXED
    facts: DeclaredFacts = NOTHING_DECLARED
    regime: Regime | None = None
    formula: FormulaKind | None = None
    is_choking_hazard: bool = False

    def __post_init__(self) -> None:
        # Labels round small amounts down to 0, so a little protein without energy is let pass.
        if self.protein_g_100g > self.energy_kcal_100g + 10:
            raise ValueError("protein gives energy: so much of it cannot come with so few kcal")
        if 0 < self.energy_kcal_100g < LEAST_KCAL_100G:
            raise ValueError(f"write 0 for less than {LEAST_KCAL_100G} kcal in 100 g")
        if self.figures_for is _DRAINED and self.drained_fraction is None:
            raise ValueError("figures for the drained mass need the drained fraction")
        if self.added_water is Preparation.NEEDED and self.added_water_ml_100g <= 0:
            raise ValueError("say how much water 100 g needs when added water is needed")
        if self.formula is not None and self.group is not FoodGroup.INFANT_FORMULA:
            raise ValueError("only infant formula is of a kind of formula")
        if self.is_extra and self.roles:
            raise ValueError("an extra plays no part in a complete meal, so it has no roles")

    @property
    def is_water(self) -> bool:
        """Tell whether this is stored drinking water."""
        return self.group is _WATER

    @property
    def is_for_infants(self) -> bool:
        """Tell whether this is formula or baby food, which get no grace and go to infants only."""
        return self.group in (FoodGroup.INFANT_FORMULA, FoodGroup.BABY_FOOD)

    def eaten_mass_g(self, net_mass_g: float | None = None) -> float:
        """Give the grams that the figures apply to in a unit of this net mass (the usual one)."""
        net_g = self.net_mass_g if net_mass_g is None else net_mass_g
        if self.figures_for is _DRAINED and self.drained_fraction is not None:
            return net_g * self.drained_fraction
        return net_g

    def energy_kcal(self, net_mass_g: float | None = None) -> float:
        """Give the kcal in a unit, as eaten from the pack."""
        return self.energy_kcal_100g * self.eaten_mass_g(net_mass_g) / 100

    def protein_g(self, net_mass_g: float | None = None) -> float:
        """Give the grams of protein in a unit, as eaten from the pack."""
        return self.protein_g_100g * self.eaten_mass_g(net_mass_g) / 100

    def needed_water_l(self, net_mass_g: float | None = None) -> float:
        """Give the litres a unit needs before it can be eaten; only `needed` draws water."""
        if self.added_water is not _NEEDED:
            return 0.0
        net_g = self.net_mass_g if net_mass_g is None else net_mass_g
        return self.added_water_ml_100g * net_g / 100_000

    def stored_water_l(self, net_mass_g: float | None = None) -> float:
        """Give the litres of drinking water in a unit: 1 kg is 1 L; 0 for anything else."""
        if not self.is_water:
            return 0.0
        return (self.net_mass_g if net_mass_g is None else net_mass_g) / 1000
