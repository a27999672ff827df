"""Make homes with needs, foods that break them and labels, for the tests of warnings."""

from dataclasses import replace
from datetime import timedelta
from typing import Final

from daysworth.domain.foods import Food, FoodGroup, MealRole, Preparation
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.labels import LabelReading, Regime
from daysworth.domain.lots import Lot
from daysworth.domain.people import InfantFeeding, Member
from daysworth.domain.restrictions import Diet, FormulaKind, Restriction, Substance
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.warnings import (
    FoodWarning,
    HouseholdWarnings,
    plan_warnings,
)
from tests.planners.one_home import also, home, lot, store, woman
from tests.planners.small_stores import AS_OF, containing, food

PEANUT: Final = Restriction(allergy=Substance.PEANUT)
VEGETARIAN: Final = Restriction(diet=Diet.VEGETARIAN)
PROTEIN: Final = frozenset({MealRole.PROTEIN})
GUARD: Final = FoodGroup.BEANS_AND_LENTILS

SPREAD: Final = also(
    food("spread", kcal=600, protein_g=22, facts=containing(Substance.PEANUT), roles=PROTEIN)
)
STEW: Final = also(food("stew", kcal=100, protein_g=8, roles=PROTEIN))
BEANS: Final = also(food("beans", kcal=110, protein_g=7, group=GUARD, roles=PROTEIN))
FISH: Final = also(food("fish", kcal=190, protein_g=25, group=FoodGroup.FISH, roles=PROTEIN))
SYRUP: Final = also(food("syrup", kcal=300, protein_g=0, group=FoodGroup.SWEETS))
READY: Final = also(
    food("ready", kcal=63, protein_g=1.4, group=FoodGroup.INFANT_FORMULA, formula=FormulaKind.MILK)
)
POWDER: Final = also(
    food(
        "powder",
        kcal=520,
        protein_g=12,
        group=FoodGroup.INFANT_FORMULA,
        formula=FormulaKind.MILK,
        added_water=Preparation.NEEDED,
        added_water_ml_100g=690,
    )
)
SOY: Final = also(replace(READY, id="soy", name="soy", formula=FormulaKind.SOY))  # type: ignore[arg-type]
BABY: Final = also(food("jar", kcal=60, protein_g=2.5, group=FoodGroup.BABY_FOOD, roles=PROTEIN))

CLEAR: Final = LabelReading(
    text="Ingredients: water, salt, sugar.", is_whole=True, regime=Regime.US_FDA
)
TRACES: Final = replace(CLEAR, text=f"{CLEAR.text} May contain peanuts.")
DOUBT: Final = replace(CLEAR, text="Ingredients: water, natural flavoring.", regime=Regime.US_MEAT)


def read(of: Food, units: int = 1, *, label: LabelReading = CLEAR, **more: object) -> Lot:
    """Make a lot whose label was read."""
    return replace(lot(of, units, readings=(label,)), **more)  # type: ignore[arg-type]


def avoiding(*restrictions: Restriction, id_: str = "a", **more: object) -> Member:
    return replace(woman(id_), restrictions=restrictions, **more)  # type: ignore[arg-type]


def infant(months: int, **more: object) -> Member:
    born = AS_OF - timedelta(days=int(months * 30.5))
    feeding = InfantFeeding.FORMULA
    return woman("b", born_on=born, infant_feeding=feeding, **more)


def warned(snapshot: Snapshot, household: str = "h") -> HouseholdWarnings:
    return plan_warnings(snapshot, AS_OF, household=HouseholdId(household))


def of(snapshot: Snapshot, chosen: Food) -> FoodWarning:
    """Give the one warning about a food."""
    (found,) = [one for one in warned(snapshot).warnings if one.offer.food.id == chosen.id]
    return found


def peanut_home(*lots: Lot) -> Snapshot:
    return store([home(avoiding(PEANUT))], lots)
