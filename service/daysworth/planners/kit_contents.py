"""Look at what is in a kit: its foods with their dates and standing, and what they come to."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from math import fsum

from daysworth.domain.foods import Food
from daysworth.domain.identifiers import HouseholdId, LotId
from daysworth.domain.kit_rules import PackedFood
from daysworth.domain.lots import Lot
from daysworth.domain.meal_patterns import Served
from daysworth.domain.offers import Offer, offer_of
from daysworth.planners.shelf import DatedLot, Standing


class ItemTrouble(StrEnum):
    """Why an item is not to be eaten by those whom the kit is for, whatever they may eat.

    `kept_by_another`: a household keeps it for itself, and the kit is not theirs.
    """

    PAST = "past"
    UNDATED = "undated"
    DAMAGED = "damaged"
    QUARANTINED = "quarantined"
    KEPT_BY_ANOTHER = "kept_by_another"


@dataclass(frozen=True, slots=True, kw_only=True)
class KitFood:
    """Units of a food in a kit. `lot` None: it is not stock, and nobody has read its label.

    `last_good_day` None: undated. `trouble` None: it may be eaten on the day that is asked about.
    """

    food: Food
    offer: Offer
    units: int
    net_mass_g: float | None
    last_good_day: date | None
    served: Served
    standing: Standing
    trouble: ItemTrouble | None = None
    lot: Lot | None = None

    @property
    def packed(self) -> PackedFood:
        """Give it as the rules of a kit see it."""
        return PackedFood(
            food=self.food,
            units=self.units,
            net_mass_g=self.net_mass_g,
            last_good_day=self.last_good_day,
            served=self.served,
        )

    @property
    def lot_id(self) -> LotId | None:
        """Give the id of the lot that it is of; None: it is not stock."""
        return None if self.lot is None else self.lot.id


@dataclass(frozen=True, slots=True, kw_only=True)
class KitTotals:
    """What the foods of a kit come to; masses are net, so packs, wares and bag weigh more."""

    persons: int
    mass_g: float
    volume_l: float
    energy_kcal: float
    protein_g: float

    @property
    def energy_kcal_each(self) -> float:
        """Give the kcal for each person served."""
        return self.energy_kcal / self.persons

    @property
    def protein_g_each(self) -> float:
        """Give the grams of protein for each person served."""
        return self.protein_g / self.persons

    @property
    def kcal_per_g(self) -> float:
        """Give the kcal for each net gram that is carried."""
        return self.energy_kcal / self.mass_g


def from_stock(
    item: DatedLot, *, units: int, served: Served, household: HouseholdId | None
) -> KitFood:
    """Take units of a lot into a kit that is for a household, or for anybody."""
    lot = item.lot
    is_anothers = not lot.is_shared and lot.owner != household
    trouble = ItemTrouble.KEPT_BY_ANOTHER if is_anothers else None
    return KitFood(
        food=item.food,
        offer=offer_of(lot, item.food),
        units=units,
        net_mass_g=lot.net_mass_g,
        last_good_day=item.last_good_day,
        served=served,
        standing=item.standing,
        # What nobody may eat is said before what one household keeps.
        trouble=trouble if item.standing is Standing.GOOD else ItemTrouble(item.standing.value),
        lot=lot,
    )


def totals_of(foods: Iterable[KitFood], *, persons: int) -> KitTotals:
    """Add up what is in a kit for so many persons."""
    packed = [one.packed for one in foods]
    return KitTotals(
        persons=persons,
        mass_g=fsum(one.mass_g for one in packed),
        volume_l=fsum(one.volume_l for one in packed),
        energy_kcal=fsum(one.energy_kcal for one in packed),
        protein_g=fsum(one.protein_g for one in packed),
    )


def pull_by_day(foods: Sequence[KitFood]) -> date | None:
    """Give the last day on which all of it is good; None: something in it is undated."""
    days = [one.last_good_day for one in foods]
    return min((day for day in days if day is not None), default=None) if all(days) else None


def needs_opener(foods: Iterable[KitFood]) -> bool:
    """Tell whether a tin in it has no pull tab."""
    return any(one.food.needs_opener for one in foods)
