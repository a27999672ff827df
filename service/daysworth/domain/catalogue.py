"""Turn the reference table of generic foods into foods."""

from functools import cache

from daysworth.domain.foods import (
    Food,
    FoodGroup,
    MadeOf,
    MassBasis,
    MealRole,
    Preparation,
    Texture,
)
from daysworth.domain.identifiers import FoodId
from daysworth.domain.restrictions import DeclaredFacts, FormulaKind, Substance
from daysworth.reference.foods import FoodRow, food_rows


@cache
def generic_foods() -> dict[FoodId, Food]:
    """Give every generic food by its id, in the table's order.

    Raises ReferenceDataError or ValueError where the table is broken.
    """
    return {FoodId(row.food_id): _food(row) for row in food_rows()}


def _food(row: FoodRow) -> Food:
    return Food(
        id=FoodId(row.food_id),
        name=row.name,
        group=FoodGroup(row.group),
        energy_kcal_100g=row.energy_kcal_100g,
        protein_g_100g=row.protein_g_100g,
        net_mass_g=row.net_mass_g,
        fat_g_100g=row.fat_g_100g,
        carbohydrate_g_100g=row.carbohydrate_g_100g,
        sodium_mg_100g=row.sodium_mg_100g,
        roles=frozenset(MealRole(role) for role in row.roles),
        is_extra=row.is_extra,
        figures_for=MassBasis(row.figures_for),
        drained_fraction=row.drained_fraction,
        heating=Preparation(row.heating),
        added_water=Preparation(row.added_water),
        added_water_ml_100g=row.added_water_ml_100g or 0.0,
        needs_opener=row.needs_opener,
        shelf_life_months=row.shelf_life_months,
        keeps_opened_days=row.keeps_opened_days,
        keeps_repacked_days=row.keeps_repacked_days,
        texture=Texture(row.texture),
        made_of=MadeOf(row.made_of),
        facts=DeclaredFacts(
            contains=frozenset(Substance(word) for word in row.contains),
            may_contain=frozenset(Substance(word) for word in row.usually_contains),
        ),
        formula=None if row.formula is None else FormulaKind(row.formula),
        is_choking_hazard=row.is_choking_hazard,
    )
