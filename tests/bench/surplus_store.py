"""Make a synthetic store that can spare food: 2,000 lots that may spoil, 40 visits, and a floor.

The same seed makes the same store. Foods, households and partners are invented. What keeps beyond
the look-ahead feeds everyone for about as long as the floor, so that near its end the floor holds
back some of what could go, and so do what a visit takes and what our vehicle carries.
"""

import random
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Final

from daysworth.domain.foods import Food, FoodGroup, MadeOf
from daysworth.domain.identifiers import (
    FoodId,
    HouseholdId,
    LotId,
    MemberId,
    PartnerId,
    PlaceId,
    StoreId,
    WindowId,
)
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import LabelReading, Regime
from daysworth.domain.lots import Lot, Place
from daysworth.domain.partners import AcceptanceRule, Partner, Window
from daysworth.domain.people import Household, Member, Sex
from daysworth.domain.recurrence import Recurrence
from daysworth.domain.restrictions import Restriction, Substance
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from tests.bench.kit_store import kit_store

TAKEN_ON: Final = date(2027, 3, 2)
UNTIL_ON: Final = date(2028, 3, 1)
"""The round after next, of rounds in March and September."""
CANDIDATES: Final = 2_000
LONG_LOTS: Final = 1_500
VISITS: Final = 40
FLOOR_DAYS: Final = 14
_DAYS: Final = (UNTIL_ON - TAKEN_ON).days
_MAKERS: Final = 3
_ALLERGENS: Final = (Substance.PEANUT, Substance.MILK, Substance.WHEAT, Substance.FISH)
_BOTTLE: Final = Food(
    id=FoodId("bottle"),
    name="Water bottle",
    group=FoodGroup.WATER,
    energy_kcal_100g=0,
    protein_g_100g=0,
    net_mass_g=5_000,
    made_of=MadeOf.WATER,
)


@dataclass(frozen=True)
class _Round:
    """How a partner receives: an RFC 5545 rule from a first day on, and kg at a visit."""

    rule: str
    starts_on: date
    most_kg: float | None
    vehicle_kg: float | None
    most_units: int | None = None
    notice_days: int = 0


_ROUNDS: Final = (
    _Round("FREQ=MONTHLY;BYDAY=1SA;COUNT=12", date(2027, 3, 6), 260.0, 300.0),
    _Round("FREQ=MONTHLY;BYDAY=3WE;COUNT=12", date(2027, 3, 17), None, 180.0, notice_days=7),
    _Round("FREQ=WEEKLY;INTERVAL=4;BYDAY=TU;COUNT=10", date(2027, 4, 6), 220.0, None, 700),
    _Round("FREQ=MONTHLY;INTERVAL=2;BYMONTHDAY=20;COUNT=6", date(2027, 3, 20), 90.0, 120.0),
)


def surplus_store(seed: int, *, homes: int) -> Snapshot:
    """Make the store of a seed, with so many households."""
    return _Surplus(random.Random(seed), seed=seed, homes=homes).made()


class _Surplus:
    """Draw a store."""

    def __init__(self, rng: random.Random, *, seed: int, homes: int) -> None:
        self._rng, self._seed, self._homes = rng, seed, homes
        self._foods = kit_store(seed).foods
        self._labels = {food.id: [self._label() for _ in range(_MAKERS)] for food in self._foods}

    def made(self) -> Snapshot:
        near = tuple(self._lot(n, days=self._near()) for n in range(CANDIDATES))
        far = tuple(self._lot(CANDIDATES + n, days=self._far()) for n in range(LONG_LOTS))
        water = Lot(
            id=LotId("water"),
            food=_BOTTLE.id,
            place=PlaceId("P00"),
            units=60_000,
            label_kind=LabelKind.BEST_BY,
            printed="2035",
        )
        return Snapshot(
            store=StoreId("surplus"),
            store_name="A store with more than it needs",
            taken_on=TAKEN_ON,
            settings=StoreSettings(floor_days=FLOOR_DAYS),
            households=tuple(self._home(number) for number in range(self._homes)),
            foods=(*self._foods, _BOTTLE),
            places=tuple(Place(id=PlaceId(f"P{n:02}"), name=f"Shelf {n}") for n in range(12)),
            lots=(*near, *far, water),
            partners=tuple(self._partner(n, one) for n, one in enumerate(_ROUNDS)),
        )

    def _near(self) -> int:
        return self._rng.randint(1, _DAYS - 1)

    def _far(self) -> int:
        return self._rng.randint(_DAYS + 30, _DAYS + 900)

    def _label(self) -> tuple[LabelReading, ...]:
        """Draw what a maker's label says, or that it was not read."""
        rng = self._rng
        if rng.random() < 0.3:
            return ()
        held = frozenset(one for one in _ALLERGENS if rng.random() < 0.15)
        read = LabelReading(
            contains=held,
            not_declared=frozenset(Substance) - held,
            is_whole=True,
            regime=Regime.US_FDA,
        )
        return (read,)

    def _lot(self, number: int, *, days: int) -> Lot:
        rng = self._rng
        food = rng.choice(self._foods).id
        return Lot(
            id=LotId(f"l{number:05}"),
            food=food,
            place=PlaceId(f"P{rng.randrange(12):02}"),
            units=rng.randint(2, 30),
            label_kind=rng.choice((LabelKind.BEST_BY, LabelKind.BEST_BY, LabelKind.USE_BY)),
            printed=(TAKEN_ON + timedelta(days=days)).isoformat(),
            readings=rng.choice(self._labels[food]),
        )

    def _home(self, number: int) -> Household:
        rng = self._rng
        members = tuple(
            Member(
                id=MemberId(f"h{number}-{n}"),
                born_on=TAKEN_ON - timedelta(days=rng.randint(3 * 365, 85 * 365)),
                sex=rng.choice((Sex.FEMALE, Sex.MALE)),
                restrictions=self._restrictions(),
            )
            for n in range(rng.randint(1, 5))
        )
        return Household(id=HouseholdId(f"h{number}"), members=members)

    def _restrictions(self) -> tuple[Restriction, ...]:
        rng = self._rng
        return (Restriction(allergy=rng.choice(_ALLERGENS)),) if rng.random() < 0.05 else ()

    def _partner(self, number: int, received: _Round) -> Partner:
        rng = self._rng
        groups = rng.sample((FoodGroup.SWEETS, FoodGroup.DRINKS, FoodGroup.FISH), 2)
        return Partner(
            id=PartnerId(f"p{number}"),
            name=f"Kitchen {number}",
            rules=(
                AcceptanceRule(least_days_left=rng.choice((0, 7, 14, -30))),
                AcceptanceRule(group=groups[0], takes=False),
                AcceptanceRule(group=groups[1], least_days_left=7, most_kg_per_visit=15.0),
            ),
            windows=(
                Window(
                    id=WindowId("w"),
                    recurrence=Recurrence(
                        starts_at=datetime.combine(received.starts_on, time(9 + number)),
                        timezone="Europe/Lisbon",
                        rule=received.rule,
                    ),
                    minutes=120,
                    most_kg=received.most_kg,
                    most_units=received.most_units,
                    vehicle_kg=received.vehicle_kg,
                    notice_days=received.notice_days,
                ),
            ),
        )
