"""Read a store as the oracles need it, by planning's definitions and the domain's own rules.

Nothing here is merged or shared with the planners but the words of a scenario. Every lot keeps its
own line, and so does every member.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from daysworth.domain import suitability
from daysworth.domain.demands import Eater
from daysworth.domain.eaters import eater_of
from daysworth.domain.foods import Food, MassBasis, Preparation
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.needs import daily_need
from daysworth.domain.offers import Offer, packed_since_on
from daysworth.domain.people import Household, Member
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.verdicts import Verdict
from daysworth.planners.scenario import Scenario, StockScope


@dataclass(frozen=True)
class Diner:
    """One member with a need: kcal and grams of protein a day, litres of stored water a day."""

    household: Household
    member: Member
    energy_kcal: float
    protein_g: float
    water_l: float


@dataclass(frozen=True)
class ShelfLot:
    """One lot: units that may be eaten, figures of a unit, the last day on which it is good.

    `day` counts from the as-of date as day 1; None: undated. It is 0 or less once past.
    """

    lot: Lot
    food: Food
    units: float
    energy_kcal: float
    protein_g: float
    water_l: float
    day: int | None

    @property
    def total_kcal(self) -> float:
        """Give the kcal of all its units."""
        return self.units * self.energy_kcal

    @property
    def is_good(self) -> bool:
        """Tell whether it is dated and not past its date."""
        return self.day is not None and self.day >= 1


class Ground:
    """One store, date and scenario, read line by line."""

    def __init__(
        self, snapshot: Snapshot, as_of: date, *, scenario: Scenario, unknown_suits: bool = False
    ) -> None:
        self.snapshot, self.as_of, self.scenario = snapshot, as_of, scenario
        self.diners = _diners(snapshot, as_of, scenario)
        self._accepted = {Verdict.SUITABLE} | ({Verdict.UNKNOWN} if unknown_suits else set())
        self._verdicts: dict[tuple[object, ...], Verdict] = {}

    @cached_property
    def shelf(self) -> list[ShelfLot]:
        """List all lots but the damaged and the quarantined, water too."""
        foods = {food.id: food for food in self.snapshot.foods}
        return [
            self._shelf_lot(lot, foods[lot.food])
            for lot in self.snapshot.lots
            if lot.condition is Condition.SOUND
        ]

    @cached_property
    def reached(self) -> list[ShelfLot]:
        """List the lots that the scenario can use, whatever their dates.

        Food without energy is no food: the trace of protein on its label feeds nobody.
        """
        return [one for one in self.shelf if self.is_reached(one) and one.energy_kcal > 0]

    @cached_property
    def usable(self) -> list[ShelfLot]:
        """List the lots that the scenario can use and that are dated and not past."""
        return [one for one in self.reached if one.is_good]

    def is_reached(self, one: ShelfLot) -> bool:
        """Tell whether the scenario leaves a lot: its place, its owner's leave, and heat for it."""
        scenario = self.scenario
        return (
            one.lot.place not in scenario.places_lost
            and (scenario.stock is StockScope.ALL or one.lot.is_shared)
            and (scenario.heating or one.food.heating is not Preparation.NEEDED)
        )

    @cached_property
    def water(self) -> tuple[float, dict[str, float]]:
        """Give the litres inside their date: shared, and by the household that keeps them."""
        shared, own = 0.0, dict[str, float]()
        for one in self.shelf:
            if one.food.is_water and one.is_good and self.is_reached(one):
                litres = one.units * (one.lot.net_mass_g or one.food.net_mass_g) / 1000
                if one.lot.is_shared:
                    shared += litres
                else:
                    own[str(one.lot.owner)] = own.get(str(one.lot.owner), 0.0) + litres
        return shared, own

    @cached_property
    def keepers(self) -> frozenset[str]:
        """Name the households with food or water of their own that counts."""
        food = {str(one.lot.owner) for one in self.usable if not one.lot.is_shared}
        return frozenset(food | set(self.water[1]))

    @cached_property
    def mean_kcal(self) -> float:
        """Give the mean need of a member and day; 0: nobody has a need."""
        needs = [diner.energy_kcal for diner in self.diners]
        return sum(needs) / len(needs) if needs else 0.0

    def may_eat(self, one: ShelfLot, diner: Diner) -> bool:
        """Tell whether a lot suits a diner and is not kept by another household."""
        if not one.lot.is_shared and one.lot.owner != diner.household.id:
            return False
        return self.verdict(one, diner) in self._accepted

    def eater(self, diner: Diner) -> Eater:
        """Describe a diner as an eater."""
        return eater_of(diner.member, household=diner.household, as_of=self.as_of)

    def verdict(self, one: ShelfLot, diner: Diner) -> Verdict:
        """Judge a lot for a diner; what is the same to the judge is judged once."""
        lot, eater = one.lot, self._eaters[id(diner)]
        is_handled_here = lot.opened_on is not None or lot.repacked_on is not None
        key = (lot.food, lot.readings, is_handled_here, packed_since_on(lot), eater)
        if key not in self._verdicts:
            offer = Offer(one.food, lot.readings, is_handled_here, packed_since_on(lot))
            self._verdicts[key] = suitability.judge(offer, eater).verdict
        return self._verdicts[key]

    @cached_property
    def _eaters(self) -> dict[int, Eater]:
        return {id(diner): self.eater(diner) for diner in self.diners}

    def _shelf_lot(self, lot: Lot, food: Food) -> ShelfLot:
        last = lot.last_good_day(food, grace_days=self.snapshot.settings.grace_days)
        net_g = lot.net_mass_g or food.net_mass_g
        is_drained = food.figures_for is MassBasis.DRAINED
        eaten_g = net_g * (food.drained_fraction or 1.0) if is_drained else net_g
        draws = food.added_water is Preparation.NEEDED
        return ShelfLot(
            lot,
            food,
            float(lot.units - lot.units_promised),
            food.energy_kcal_100g * eaten_g / 100,
            food.protein_g_100g * eaten_g / 100,
            food.added_water_ml_100g * net_g / 100_000 if draws else 0.0,
            None if last is None else (last - self.as_of).days + 1,
        )


def _diners(snapshot: Snapshot, as_of: date, scenario: Scenario) -> list[Diner]:
    found: list[Diner] = []
    settings = snapshot.settings
    for home in snapshot.households:
        if home.id in scenario.households_away:
            continue
        born = [one for one in home.members if one.born_on is None or one.born_on <= as_of]
        basis = scenario.basis or settings.needs_basis
        needs = [
            daily_need(member, as_of=as_of, basis=basis, ration=scenario.ration) for member in born
        ]
        water_l = (
            len(born) * settings.water_l_per_person_day + home.pets * settings.water_l_per_pet_day
        )
        fed = sum(need.energy_kcal > 0 for need in needs)
        found += [
            Diner(home, member, need.energy_kcal, need.protein_g, water_l / fed)
            for member, need in zip(born, needs, strict=True)
            if need.energy_kcal > 0
        ]
    return found


def energy_kcal(lots: Sequence[ShelfLot]) -> float:
    """Sum the kcal of lots."""
    return sum(one.total_kcal for one in lots)
