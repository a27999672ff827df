"""Convert the units that labels and public guidance are written in.

Exact factors: NIST Handbook 44, Appendix C. The kilocalorie is the thermochemical one.
"""

from typing import Final

LITRES_PER_US_GALLON: Final = 3.785411784
LITRES_PER_US_QUART: Final = 0.946352946
LITRES_PER_IMPERIAL_GALLON: Final = 4.54609
ML_PER_US_FLUID_OUNCE: Final = 29.5735295625
G_PER_OUNCE: Final = 28.349523125
G_PER_POUND: Final = 453.59237
KJ_PER_KCAL: Final = 4.184

# Atwater's general factors, kcal per gram: 21 CFR 101.9(c)(1)(i)(B).
KCAL_PER_G_PROTEIN: Final = 4.0
KCAL_PER_G_CARBOHYDRATE: Final = 4.0
KCAL_PER_G_FAT: Final = 9.0


def gallons_to_l(gallons: float) -> float:
    """Turn US gallons into litres."""
    return gallons * LITRES_PER_US_GALLON


def ounces_to_g(ounces: float) -> float:
    """Turn avoirdupois ounces into grams."""
    return ounces * G_PER_OUNCE


def pounds_to_g(pounds: float) -> float:
    """Turn avoirdupois pounds into grams."""
    return pounds * G_PER_POUND


def kj_to_kcal(energy_kj: float) -> float:
    """Turn kilojoules into thermochemical kilocalories."""
    return energy_kj / KJ_PER_KCAL


def atwater_kcal(protein_g: float, *, carbohydrate_g: float, fat_g: float) -> float:
    """Estimate energy in kcal from grams of protein, carbohydrate and fat (factors 4, 4 and 9)."""
    return (
        KCAL_PER_G_PROTEIN * protein_g
        + KCAL_PER_G_CARBOHYDRATE * carbohydrate_g
        + KCAL_PER_G_FAT * fat_g
    )
