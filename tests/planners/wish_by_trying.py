"""Hold a wish list against every lighter one, day by day, sharing no code with the planner.

More of anything never feeds anybody for less long, so of all lists that are lighter than the one
given only those need be tried to which nothing can be added without their being as heavy.
"""

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from dateutil.relativedelta import relativedelta

from daysworth.domain.demands import Eater
from daysworth.domain.eaters import eater_of
from daysworth.domain.foods import Food, FoodGroup, MadeOf
from daysworth.domain.identifiers import HouseholdId, LotId, PlaceId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Lot, Place
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.proving import ClassDays
from daysworth.planners.scenario import Scenario, StockScope
from daysworth.planners.wish_aims import Lacking
from daysworth.planners.wish_candidates import Least, Wish
from daysworth.planners.wish_list import WishList
from tests.planners.day_by_day import DayByDay
from tests.planners.oracle_store import Diner
from tests.planners.small_stores import AS_OF, food, small_store

NEARLY = 1e-6
BROUGHT = PlaceId("brought")
OFFERED = (
    food("sack", kcal=380, protein_g=6, net_g=2_500, made_of=MadeOf.PLAIN_PLANT),
    food("tins", kcal=160, protein_g=21, net_g=3_000),
    food("jars", kcal=610, protein_g=17, net_g=1_400),
    food("jugs", kcal=884, protein_g=0, net_g=1_800, is_extra=True, made_of=MadeOf.PLAIN_PLANT),
    food("pots", kcal=95, protein_g=4, net_g=6_000, group=FoodGroup.BABY_FOOD),
    food("bottles", kcal=0, protein_g=0, net_g=20_000, group=FoodGroup.WATER),
)


@dataclass(frozen=True)
class Trial:
    """A store with foods on offer, a scenario, and a wish for a few of the foods."""

    snapshot: Snapshot
    scenario: Scenario
    wish: Wish

    @property
    def offered(self) -> list[Food]:
        """List the foods that are wished for, by id."""
        assert self.wish.foods is not None
        return sorted(
            (one for one in self.snapshot.foods if one.id in self.wish.foods),
            key=lambda one: one.id,
        )

    def amount(self, units: Sequence[int]) -> float:
        """Weigh a list as the wish says."""
        return sum(n * self._unit(one) for n, one in zip(units, self.offered, strict=True))

    def _unit(self, one: Food) -> float:
        by = {Least.MASS: one.net_mass_g / 1000, Least.UNITS: 1.0}
        return self.wish.prices[one.id] if self.wish.least is Least.COST else by[self.wish.least]

    def days(self, units: Sequence[int], lacking: Sequence[Lacking] = ()) -> float | None:
        """Say for how many days everyone is fed with a list on the shelf, by the oracle.

        Who is lacking counts not, but has as many days as is said. None: there is no such plan.
        """
        with_it = brought(self.snapshot, self.offered, units=units)
        program = DayByDay(with_it, AS_OF, scenario=self.scenario)
        floors = {
            (mouth.household, mouth.energy_kcal, mouth.protein_g, mouth.eater): one.days
            for one in lacking
            for mouth in one.members.mouths
        }
        least = [floors.get(_who(diner), 0.0) * (1 - NEARLY) for diner in program.diners]
        others = [m for m, diner in enumerate(program.diners) if _who(diner) not in floors]
        return program.most(others, least=least)

    def lighter(self, amount: float) -> Iterator[tuple[int, ...]]:
        """List the lists below a amount to which no unit can be added without reaching it."""
        yield from _below([self._unit(one) for one in self.offered], amount - 1e-9)

    def units_of(self, found: WishList) -> tuple[int, ...]:
        """Give the units of each food on offer in a list."""
        units = {line.candidate.food.id: line.units for line in found.lines}
        return tuple(units.get(one.id, 0) for one in self.offered)


def _who(diner: Diner) -> tuple[HouseholdId, float, float, Eater]:
    eater = eater_of(diner.member, household=diner.household, as_of=AS_OF)
    return diner.household.id, diner.energy_kcal, diner.protein_g, eater


def _below(units: Sequence[float], amount: float) -> Iterator[tuple[int, ...]]:
    most = int(amount // units[0]) if amount >= 0 else -1
    if len(units) == 1:
        if most >= 0:
            yield (most,)
        return
    for n in range(most + 1):
        for rest in _below(units[1:], amount - n * units[0]):
            yield (n, *rest)


def brought(
    snapshot: Snapshot,
    foods: Sequence[Food],
    *,
    units: Sequence[int],
    home: HouseholdId | None = None,
) -> Snapshot:
    """Put units of foods on a shelf of their own, shared or kept for a home."""
    lots = tuple(
        Lot(
            id=LotId(f"brought-{one.id}"),
            food=one.id,
            place=BROUGHT,
            units=n,
            owner=home,
            is_shared=home is None,
            label_kind=LabelKind.USE_BY,
            printed=(AS_OF + relativedelta(months=one.shelf_life_months or 0)).isoformat(),
        )
        for one, n in zip(foods, units, strict=True)
        if n > 0
    )
    place = Place(id=BROUGHT, name="brought")
    return replace(snapshot, places=(*snapshot.places, place), lots=(*snapshot.lots, *lots))


def _easier(snapshot: Snapshot, rng: random.Random) -> Snapshot:
    """Let most stores have nobody whom no unread food suits: no needs, and no infants."""
    homes = tuple(
        replace(
            home,
            members=tuple(
                replace(one, restrictions=(), infant_feeding=None, born_on=date(1990, 5, 1 + n))
                for n, one in enumerate(home.members)
            ),
        )
        if rng.random() < 0.9
        else home
        for home in snapshot.households
    )
    return replace(snapshot, households=homes)


def trial(seed: int) -> Trial:
    """Make the trial of a seed."""
    rng = random.Random(seed)
    made, scenario = small_store(seed)
    snapshot = _easier(made, rng)
    kept = tuple(replace(one, shelf_life_months=rng.choice((3, 12))) for one in OFFERED)
    chosen = rng.sample(kept, rng.choice((1, 2, 2, 3, 3)))
    if not scenario.running_water and kept[-1] not in chosen:
        chosen[0] = kept[-1]
    least = rng.choice(tuple(Least))
    prices = {one.id: rng.choice((2.5, 3.0, 4.2, 7.9)) for one in chosen}
    wish = Wish(
        target_days=min(rng.choice((0.5, 1, 2, 2.5, 3, 4)), scenario.horizon_days),
        least=least,
        foods=frozenset(one.id for one in chosen),
        prices=prices if least is Least.COST else {},
    )
    return Trial(replace(snapshot, foods=(*snapshot.foods, *kept)), scenario, wish)


def trial_at_home(seed: int) -> tuple[Trial, HouseholdId]:
    """Make the trial of a seed for one household, where households keep stock of their own."""
    one = trial(seed)
    rng = random.Random(seed)
    homes = [home for home in one.snapshot.households if home.members]
    home = rng.choice(homes).id
    scenario = replace(one.scenario, stock=StockScope.ALL, households_away=frozenset())
    return Trial(one.snapshot, scenario, replace(one.wish, household=home)), home


def days_at_home(
    one: Trial, units: Sequence[int], *, home: HouseholdId, others: Sequence[ClassDays]
) -> float | None:
    """Say for how many days a household can be fed with a list kept for it, by the oracle.

    The others keep the days that they have in the fair plan; None: there is no such plan.
    """
    with_it = brought(one.snapshot, one.offered, units=units, home=home)
    program = DayByDay(with_it, AS_OF, scenario=one.scenario)
    fair = {
        (mouth.household, mouth.energy_kcal, mouth.protein_g, mouth.eater): some.days
        for some in others
        for mouth in some.members.mouths
    }
    own = [m for m, diner in enumerate(program.diners) if diner.household.id == home]
    least = [
        0.0 if diner.household.id == home else fair[_who(diner)] * (1 - NEARLY)
        for diner in program.diners
    ]
    return program.most(own, least=least)
