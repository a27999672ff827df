"""Count what a member needs in a day: energy and protein, by reference values or the flat figure.

A store chooses the basis. Reference: energy as in `energy_needs`, protein by the Dietary Reference
Intakes. Flat: the Sphere Handbook's planning figure for everyone from six months, in which
pregnancy, nursing, age and size are averaged already, so nothing is added to it.
"""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import lru_cache
from typing import Final

from daysworth.domain.ages import (
    BABY_FOOD_MONTHS,
    TABLE_FOOD_MONTHS,
    age_of,
    breastfeeding_months,
    gestation_weeks,
)
from daysworth.domain.energy_needs import mean, reference_energy_kcal, sexes_of
from daysworth.domain.people import InfantFeeding, Member, Sex
from daysworth.reference.protein import maternal_protein_g, protein_allowance

# Sphere Handbook (2011), food security: 2,100 kcal a person a day, 10 % of it from protein, which
# is 52.5 g; its Appendix 6 prints 53 g (the grams from memory).
FLAT_ENERGY_KCAL: Final = 2100.0
FLAT_PROTEIN_G: Final = 53.0

ALLOWANCES_REMEMBERED: Final = 4_096
"""Every age in months that a person reaches, for either sex and for both."""


class NeedsBasis(StrEnum):
    """Whether needs go by age, sex and size, or are one planning figure for everyone."""

    REFERENCE = "reference"
    FLAT = "flat"


@dataclass(frozen=True, slots=True)
class DailyNeed:
    """What one member needs in a day."""

    energy_kcal: float
    protein_g: float

    @property
    def is_none(self) -> bool:
        """Tell whether the member eats nothing from the store, being fed by its mother."""
        return self.energy_kcal == 0


NO_NEED: Final = DailyNeed(energy_kcal=0.0, protein_g=0.0)


def daily_need(member: Member, *, as_of: date, basis: NeedsBasis, ration: float) -> DailyNeed:
    """Count a member's energy (kcal) and protein (g) for a day, as things stand on a date.

    Appetite multiplies energy; `ration`, above 0 and at most 1, multiplies both. A breastfed infant
    under twelve months has no need: its mother's addition feeds it. Raises ValueError for another
    ration. Sources: see `energy_needs`, `reference.protein` and the flat figures above.
    """
    if not 0 < ration <= 1:
        raise ValueError("a ration is above 0 and at most 1")
    months = age_of(member, as_of).completed_months
    if member.infant_feeding is InfantFeeding.BREASTFED and months < TABLE_FOOD_MONTHS:
        return NO_NEED
    if basis is NeedsBasis.FLAT and months >= BABY_FOOD_MONTHS:
        full = DailyNeed(energy_kcal=FLAT_ENERGY_KCAL, protein_g=FLAT_PROTEIN_G)
    else:
        full = DailyNeed(
            energy_kcal=reference_energy_kcal(member, as_of),
            protein_g=reference_protein_g(member, as_of),
        )
    return DailyNeed(
        energy_kcal=full.energy_kcal * member.appetite * ration, protein_g=full.protein_g * ration
    )


def reference_protein_g(member: Member, as_of: date) -> float:
    """Give a member's protein allowance in grams a day on a date, by age and sex.

    Source: Institute of Medicine, Dietary Reference Intakes (2005). Pregnancy and lactation have an
    allowance of their own; nothing is published for both at once, and they do not add up.
    """
    if gestation_weeks(member, as_of) is not None:
        return maternal_protein_g("pregnancy")
    if breastfeeding_months(member, as_of) is not None:
        return maternal_protein_g("lactation")
    months = age_of(member, as_of).completed_months
    return _allowance_g(months, sexes_of(member))


@lru_cache(maxsize=ALLOWANCES_REMEMBERED)
def _allowance_g(months: int, sexes: tuple[Sex, ...]) -> float:
    return mean(protein_allowance(months, sex=sex).protein_g for sex in sexes)
