"""Make small stores with partners, in which what goes can be counted by trying."""

import random
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Final

from dateutil.relativedelta import relativedelta

from daysworth.domain.foods import Food, FoodGroup, Preparation
from daysworth.domain.identifiers import (
    HouseholdId,
    LotId,
    MemberId,
    PartnerId,
    PlaceId,
    PromiseId,
    StoreId,
    WindowId,
)
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import LabelReading, Regime
from daysworth.domain.lots import Condition, Lot, Place
from daysworth.domain.partners import MONTHS, AcceptanceRule, Partner, Window
from daysworth.domain.people import Household, InfantFeeding, Member, Sex
from daysworth.domain.promises import Promise, PromisedLot
from daysworth.domain.recurrence import Recurrence
from daysworth.domain.restrictions import Restriction, Substance
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.surplus_plan import SurplusAsked
from tests.planners.small_stores import AS_OF, containing, food

BREADS, BEANS, SWEETS = FoodGroup.BREADS_AND_CRACKERS, FoodGroup.BEANS_AND_LENTILS, FoodGroup.SWEETS
GRAINS, NUTS, WATER = FoodGroup.GRAINS_AND_PASTA, FoodGroup.NUTS_AND_SEEDS, FoodGroup.WATER
BABY, FORMULA = FoodGroup.BABY_FOOD, FoodGroup.INFANT_FORMULA

FOODS: Final = (
    food("crackers", kcal=480, protein_g=18, net_g=250, group=BREADS),
    food("beans", kcal=160, protein_g=9, net_g=400, group=BEANS),
    food("stew", kcal=110, protein_g=8, net_g=800),
    food(
        "peanuts",
        kcal=600,
        protein_g=25,
        net_g=150,
        group=NUTS,
        facts=containing(Substance.PEANUT),
    ),
    food("jam", kcal=260, protein_g=0, net_g=450, group=SWEETS, is_extra=True),
    food("rice", kcal=360, protein_g=7, net_g=500, group=GRAINS, heating=Preparation.NEEDED),
    food("jar", kcal=60, protein_g=2, net_g=200, group=BABY),
    food("formula", kcal=70, protein_g=1.5, net_g=500, group=FORMULA),
    food("bottle", kcal=0, protein_g=0, net_g=1_500, group=WATER),
    food("filled", kcal=0, protein_g=0, net_g=5_000, group=WATER, shelf_life_months=6),
)
_FOOD: Final = {str(one.id): one for one in FOODS}
_OFTEN: Final = [*FOODS[:5] * 4, *FOODS[:-1], FOODS[-2]]
_LONG: Final = ("crackers", "beans", "stew")
_DATED: Final = (LabelKind.BEST_BY, LabelKind.BEST_BY, LabelKind.SELL_BY, LabelKind.USE_BY)
_GROUPS: Final = (BREADS, BEANS, SWEETS, NUTS, FoodGroup.PREPARED_MEALS, BABY)


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """How much there is: lots that may spoil, units of each, visits, days ahead, floors.

    The higher `keeps_less`, the less there is of what keeps for long.
    """

    lots: tuple[int, int]
    units: tuple[int, ...]
    visits: tuple[int, ...]
    days: tuple[int, ...]
    floors: tuple[int, ...]
    keeps_less: int = 4


SMALL: Final = Size(
    lots=(2, 4),
    units=(1, 2, 2, 3, 3),
    visits=(1, 2, 3, 3, 3),
    days=(5, 6, 8, 10),
    floors=(0, 1, 2, 2, 3, 3, 4, 5),
)
MIDDLING: Final = Size(
    lots=(10, 25),
    units=tuple(range(1, 13)),
    visits=(4, 5, 6, 8),
    days=(12, 18, 25),
    floors=(0, 3, 6, 9, 14),
)
LARGE: Final = Size(
    lots=(150, 180),
    units=tuple(range(1, 7)),
    visits=(30, 36),
    days=(16, 20),
    floors=(4, 6, 8),
    keeps_less=60,
)
"""So large that whole units are not searched through."""


def surplus_trial(seed: int, *, size: Size = SMALL) -> tuple[Snapshot, SurplusAsked]:
    """Make the store and the question of a seed."""
    return _Trial(random.Random(seed), size).made()


class _Trial:
    """Draw a store, its partners and a question."""

    def __init__(self, rng: random.Random, size: Size) -> None:
        self._rng, self._size = rng, size
        self._days = rng.choice(size.days)

    def made(self) -> tuple[Snapshot, SurplusAsked]:
        rng = self._rng
        partners = self._partners()
        lots = self._lots()
        snapshot = Snapshot(
            store=StoreId("surplus"),
            store_name="Surplus",
            taken_on=AS_OF,
            settings=StoreSettings(
                extras_share=rng.choice((0.15, 0.4)),
                grace_days=rng.choice(({}, {}, {BEANS: 3, SWEETS: 2})),
                floor_days=rng.choice(self._size.floors),
            ),
            households=tuple(self._home(n) for n in range(rng.choice((1, 1, 2)))),
            foods=FOODS,
            places=(Place(id=PlaceId("hall"), name="Hall"),),
            lots=lots,
            partners=partners,
            promises=self._promises(partners, lots),
        )
        is_one = rng.random() < 0.1
        return snapshot, SurplusAsked(
            floor_days=rng.choice(self._size.floors) if rng.random() < 0.3 else None,
            until_on=_day(self._days),
            partners=frozenset({partners[0].id}) if is_one else None,
        )

    def _home(self, number: int) -> Household:
        rng = self._rng
        members = tuple(
            self._member(MemberId(f"h{number}-{n}")) for n in range(rng.choice((1, 1, 2)))
        )
        return Household(id=HouseholdId(f"h{number}"), members=members)

    def _member(self, id_: MemberId) -> Member:
        """Draw a member; now and then one whose need turns within the days that are looked at."""
        rng = self._rng
        turns_on = _day(rng.randint(0, self._days))
        turning = rng.random()
        if turning < 0.04:
            # Six months or a year old on some day: then other food suits, or a need begins.
            born_on = turns_on - relativedelta(months=rng.choice((6, 12)))
            feeding = rng.choice(tuple(InfantFeeding))
            return Member(id=id_, born_on=born_on, sex=Sex.MALE, infant_feeding=feeding)
        born_on = date(rng.choice((1957, 1990, 2015)), 3, 1)
        facts: dict[str, object] = {}
        if turning < 0.1:
            born_on = turns_on - relativedelta(years=rng.choice((2, 9, 14, 19)))
        elif turning < 0.16:
            born_on = date(1995, 3, 1)
            facts = {"pregnancy_due_on": turns_on + timedelta(days=rng.choice((0, 90, 180)))}
        sex = Sex.FEMALE if facts else rng.choice((Sex.FEMALE, Sex.MALE))
        restrictions = self._restrictions()
        return Member(id=id_, born_on=born_on, sex=sex, restrictions=restrictions, **facts)  # type: ignore[arg-type]

    def _restrictions(self) -> tuple[Restriction, ...]:
        return (Restriction(allergy=Substance.PEANUT),) if self._rng.random() < 0.2 else ()

    # --- what stands there ---

    def _lots(self) -> tuple[Lot, ...]:
        rng, size = self._rng, self._size
        lots = [self._soon(n) for n in range(rng.randint(*size.lots))]
        scale = len(lots) * max(size.units) // size.keeps_less
        for of in _LONG:
            units = rng.choice((0, 1, 1, 2, 3, 5)) * scale
            lots.append(_lot(_FOOD[of], units, id_=f"long-{of}", readings=_read(_FOOD[of])))
        if rng.random() < 0.3:
            lots.append(self._aside())
        litres = rng.choice((20, *(20 * scale + 100,) * 5))
        water = _lot(_FOOD["filled"], litres // 5, id_="filled", kind=LabelKind.PACKED_ON)
        return (*lots, water)

    def _soon(self, number: int) -> Lot:
        """Draw a lot whose date is near, so that it may spoil, or is past."""
        rng = self._rng
        of = rng.choice(_OFTEN)
        units = rng.choice(self._size.units)
        in_kits, promised = (1 if rng.random() < share else 0 for share in (0.08, 0.2))
        last = self._days - 1
        ahead = rng.choice((-4, -1, 0, *range(1, last + 2), *(*range(last // 2, last + 1),) * 2))
        is_far = of.is_for_infants and rng.random() < 0.5
        return _lot(
            of,
            units + in_kits + promised,
            id_=f"l{number}",
            day=_day(ahead + 30 if is_far else ahead),
            kind=rng.choice(_DATED),
            readings=_read(of) if rng.random() < 0.6 else (),
            units_in_kits=in_kits,
            units_promised=promised,
            net_mass_g=of.net_mass_g * 2 if rng.random() < 0.15 else None,
        )

    def _aside(self) -> Lot:
        """Draw a lot that goes to nobody, for a reason of its own."""
        rng = self._rng
        kinds: list[dict[str, object]] = [
            {"is_shared": False, "owner": HouseholdId("h0")},
            {"condition": Condition.DAMAGED},
            {"condition": Condition.QUARANTINED},
            {"opened_on": AS_OF},
            {"repacked_on": AS_OF},
            {"label_kind": LabelKind.UNLABELLED, "printed": None},
        ]
        return _lot(_FOOD["beans"], 2, id_="aside", day=_day(self._days - 1), **rng.choice(kinds))  # type: ignore[arg-type]

    # --- who takes it ---

    def _partners(self) -> tuple[Partner, ...]:
        rng = self._rng
        days = [self._visit_day() for _ in range(rng.choice(self._size.visits))]
        parts = rng.choice((1, 2, 2, 3)) if len(days) > 1 else 1
        each = [days[n::parts] for n in range(parts)]
        return tuple(self._partner(n, days=mine) for n, mine in enumerate(each) if mine)

    def _visit_day(self) -> int:
        early = [*range(self._days // 2)]
        days: list[int] = [self._days, *range(self._days), *early, *early]
        return self._rng.choice(days)

    def _partner(self, number: int, *, days: Sequence[int]) -> Partner:
        rng = self._rng
        rules = [self._rule(None)] if rng.random() < 0.6 else []
        rules += [self._rule(group) for group in _GROUPS if rng.random() < 0.2]
        half = len(days) // 2 if rng.random() < 0.5 else 0
        groups = [days[:half], days[half:]]
        return Partner(
            id=PartnerId(f"p{number}"),
            name=f"Kitchen {number}",
            asks_read_label=rng.random() < 0.1,
            rules=tuple(rules),
            windows=tuple(
                self._window(n, partner=number, days=sorted(set(mine)))
                for n, mine in enumerate(groups)
                if mine
            ),
        )

    def _rule(self, group: FoodGroup | None) -> AcceptanceRule:
        rng = self._rng
        is_bounded = rng.random() < 0.4
        return AcceptanceRule(
            group=group,
            takes=rng.random() > (0.25 if group else 0.05),
            least_days_left=rng.choice((0, 0, 0, 1, 2, -2, -5, -60)),
            most_kg_per_visit=rng.choice((0.4, 0.8, 1.2)) * self._scale if is_bounded else None,
            most_units_per_visit=rng.choice((1, 2)) * self._scale if rng.random() < 0.3 else None,
        )

    @property
    def _scale(self) -> int:
        return max(self._size.units) // 3

    def _window(self, number: int, *, partner: int, days: Sequence[int]) -> Window:
        rng = self._rng
        at = [datetime.combine(_day(n), time(9 + partner + 3 * number)) for n in days]
        is_closed_now = rng.random() < 0.05
        later = (at[0] + timedelta(days=100),) if is_closed_now else ()
        kg = rng.choice((0.3, 0.5, 0.8, 1.0, 1.5, 2.5))
        return Window(
            id=WindowId(f"w{number}"),
            recurrence=Recurrence(
                starts_at=at[0],
                timezone=rng.choice(("UTC", "Europe/Lisbon", "America/Chicago")),
                rule="FREQ=DAILY;COUNT=1" if rng.random() < 0.2 else None,
                also_at=(*at[1:], *later),
            ),
            minutes=90,
            most_kg=kg * self._scale if rng.random() < 0.5 else None,
            most_units=rng.choice((1, 2, 3, 4)) * self._scale if rng.random() < 0.4 else None,
            vehicle_kg=rng.choice((0.8, 1.6, 3.0)) * self._scale if rng.random() < 0.3 else None,
            notice_days=rng.choice((0, 0, 0, 0, 1, 2)),
            open_months=MONTHS - {AS_OF.month} if is_closed_now else MONTHS,
        )

    def _promises(self, partners: Sequence[Partner], lots: Sequence[Lot]) -> tuple[Promise, ...]:
        """Promise some of what is promised for a visit of the first partner; the rest elsewhere."""
        rng = self._rng
        window = rng.choice(partners[0].windows)
        held = [lot for lot in lots if lot.units_promised > 0]
        if not held or rng.random() < 0.2:
            return ()
        items = tuple(PromisedLot(lot=lot.id, units=lot.units_promised) for lot in held)
        at = rng.choice((window.recurrence.starts_at, *window.recurrence.also_at))
        return (
            Promise(
                id=PromiseId("made"),
                partner=partners[0].id,
                window=window.id,
                opens_at=at,
                items=items,
            ),
        )


def _day(ahead: int) -> date:
    return AS_OF + timedelta(days=ahead)


def _read(of: Food) -> tuple[LabelReading, ...]:
    held = of.facts.contains
    clear = frozenset(Substance) - held
    return (LabelReading(contains=held, not_declared=clear, is_whole=True, regime=Regime.US_FDA),)


def _lot(
    of: Food,
    units: int,
    *,
    id_: str,
    day: date = date(2027, 5, 1),
    kind: LabelKind = LabelKind.BEST_BY,
    **more: object,
) -> Lot:
    is_long = id_.startswith("long")
    printed = "2031" if is_long else day.isoformat()
    facts: dict[str, object] = {"label_kind": kind, "printed": printed, **more}
    return Lot(id=LotId(id_), food=of.id, place=PlaceId("hall"), units=units, **facts)  # type: ignore[arg-type]
