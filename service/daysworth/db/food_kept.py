"""Turn foods into rows, and rows into foods; know a food of the store or of the release."""

from collections.abc import Iterable
from dataclasses import fields
from typing import Final

from sqlalchemy import Row

from daysworth.db.kept_values import facts_from, facts_text
from daysworth.db.people_kept import Kept
from daysworth.domain.catalogue import generic_foods
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
from daysworth.domain.labels import Regime
from daysworth.domain.restrictions import FormulaKind

_PLAIN: Final = frozenset(field.name for field in fields(Food)) - {"group", "roles", "facts"}
"""Fields that a column keeps as they are; words are kept as their text."""


def food_values(food: Food) -> dict[str, Kept]:
    """Give a food's columns, but for the store's."""
    kept: dict[str, Kept] = {name: getattr(food, name) for name in _PLAIN}
    kept["food_group"] = food.group
    kept["roles"] = ",".join(sorted(food.roles))
    kept["facts"] = facts_text(food.facts)
    return kept


def food_from(row: Row[tuple[Kept, ...]]) -> Food:
    """Read a food."""
    return Food(
        id=FoodId(row.id),
        name=row.name,
        group=FoodGroup(row.food_group),
        energy_kcal_100g=row.energy_kcal_100g,
        protein_g_100g=row.protein_g_100g,
        net_mass_g=row.net_mass_g,
        fat_g_100g=row.fat_g_100g,
        carbohydrate_g_100g=row.carbohydrate_g_100g,
        sodium_mg_100g=row.sodium_mg_100g,
        roles=frozenset(MealRole(role) for role in row.roles.split(",") if role),
        is_extra=bool(row.is_extra),
        figures_for=MassBasis(row.figures_for),
        drained_fraction=row.drained_fraction,
        heating=Preparation(row.heating),
        added_water=Preparation(row.added_water),
        added_water_ml_100g=row.added_water_ml_100g,
        needs_opener=bool(row.needs_opener),
        shelf_life_months=row.shelf_life_months,
        keeps_opened_days=row.keeps_opened_days,
        keeps_repacked_days=row.keeps_repacked_days,
        texture=None if row.texture is None else Texture(row.texture),
        made_of=MadeOf(row.made_of),
        facts=facts_from(row.facts),
        regime=None if row.regime is None else Regime(row.regime),
        formula=None if row.formula is None else FormulaKind(row.formula),
        is_choking_hazard=bool(row.is_choking_hazard),
    )


def with_generic(own: Iterable[Food]) -> tuple[Food, ...]:
    """Give the store's own foods with the release's, by id; its own stand before a generic one."""
    known = {**generic_foods(), **{food.id: food for food in own}}
    return tuple(known[id_] for id_ in sorted(known))
