"""Turn the figures on a nutrition label, per serving, into figures per 100 g.

A label's energy is held against Atwater's general factors (21 CFR 101.9(c)(1)(i)(B)). A mismatch of
more than 20 % (the tolerance of 21 CFR 101.9(g)(5)) is flagged and never changed: fibre, sugar
alcohols, alcohol and rounding make honest labels differ, and a slip of the pen does too.
"""

from dataclasses import dataclass
from typing import Annotated, Final

from annotated_types import Ge, Le

from daysworth.domain.units import atwater_kcal

MOST_MISMATCH: Final = 0.20
"""The share of the label's energy that it may differ from Atwater's before it is flagged."""

LEAST_TELLING_KCAL: Final = 20.0
"""Below this a serving's figures are mostly rounding (labels round grams to 1, kcal to 5)."""

Grams = Annotated[float, Ge(0), Le(10_000)]


@dataclass(frozen=True, slots=True, kw_only=True)
class ServingFigures:
    """The figures of a label, for one serving of `serving_g` grams (as the label's basis is)."""

    serving_g: Annotated[float, Ge(0.1), Le(10_000)]
    energy_kcal: Annotated[float, Ge(0), Le(90_000)]
    protein_g: Grams
    fat_g: Grams | None = None
    carbohydrate_g: Grams | None = None
    sodium_mg: Annotated[float, Ge(0), Le(1_000_000)] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HundredGramFigures:
    """The same figures, for 100 g."""

    energy_kcal_100g: float
    protein_g_100g: float
    fat_g_100g: float | None
    carbohydrate_g_100g: float | None
    sodium_mg_100g: float | None


def per_100g(label: ServingFigures) -> HundredGramFigures:
    """Convert a serving's figures into those of 100 g; what the label lacks stays unknown."""
    share = 100 / label.serving_g
    return HundredGramFigures(
        energy_kcal_100g=label.energy_kcal * share,
        protein_g_100g=label.protein_g * share,
        fat_g_100g=_scaled(label.fat_g, share),
        carbohydrate_g_100g=_scaled(label.carbohydrate_g, share),
        sodium_mg_100g=_scaled(label.sodium_mg, share),
    )


def _scaled(value: float | None, share: float) -> float | None:
    return None if value is None else value * share


def atwater_flag(
    energy_kcal: float, *, protein_g: float, fat_g: float | None, carbohydrate_g: float | None
) -> str | None:
    """Say where energy lies more than 20 % from Atwater's; None: it does not, or nobody can tell.

    All figures are for the same amount of food: a serving, or 100 g.
    """
    if fat_g is None or carbohydrate_g is None:
        return None
    reckoned_kcal = atwater_kcal(protein_g, carbohydrate_g=carbohydrate_g, fat_g=fat_g)
    if max(energy_kcal, reckoned_kcal) < LEAST_TELLING_KCAL:
        return None
    if abs(energy_kcal - reckoned_kcal) <= MOST_MISMATCH * energy_kcal:
        return None
    return (
        f"the label says {energy_kcal:g} kcal, and its protein, fat and carbohydrate make "
        f"{reckoned_kcal:.0f}: read the label again (nothing was changed)"
    )
