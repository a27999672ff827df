"""Find the best plan for surplus by trying every way to hand whole units over, with no program.

Every lot that may spoil is shared out over the visits in every way that there is. What breaks a
bound of a visit is left out; the rest is gone through from the best on, by the aims in their
order, until one keeps the floor on every day, as the coverage planner itself says.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from functools import cached_property
from itertools import product
from typing import Final, NamedTuple

from daysworth.domain.acceptance import limits, never_goes, refusal
from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.lots import Lot
from daysworth.domain.partners import Partner, Window
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.surplus_plan import SurplusAsked
from tests.planners.surplus_floor import Floor, Gone

ONE_DAY: Final = timedelta(days=1)
_HAIR_G: Final = 1e-6


class Worth(NamedTuple):
    """What a plan comes to: kcal, visits, and the energy-weighted mean of days ahead."""

    energy_kcal: float
    visits: int
    earliness: float


class Candidate(NamedTuple):
    """A lot that may spoil, and its units that are free."""

    lot: Lot
    food: Food
    free: int
    last_good_day: date

    @property
    def unit_g(self) -> float:
        """Give the net grams of a unit."""
        return self.lot.net_mass_g or self.food.net_mass_g

    @property
    def unit_kcal(self) -> float:
        """Give the kcal of a unit."""
        return self.food.energy_kcal(self.lot.net_mass_g)


class Opening(NamedTuple):
    """A visit that may be promised."""

    partner: Partner
    window: Window
    opens_at: datetime

    @property
    def on(self) -> date:
        """Give the date there."""
        return self.opens_at.date()


Load = tuple[FoodGroup, float, int]
"""Grams and units of a group that are brought to a visit."""

Shares = tuple[tuple[int, ...], ...]
"""Units of each candidate by visit."""


@dataclass
class Trying:
    """All that can be tried of a question. `reached` names what stood in the way."""

    snapshot: Snapshot
    as_of: date
    asked: SurplusAsked
    reached: set[str] = field(default_factory=set)

    @cached_property
    def floor_days(self) -> int:
        """Give the floor."""
        asked = self.asked.floor_days
        return self.snapshot.settings.floor_days if asked is None else asked

    @cached_property
    def until_on(self) -> date:
        """Give the end of the look-ahead, which these questions always state."""
        assert self.asked.until_on is not None
        return self.asked.until_on

    @cached_property
    def candidates(self) -> tuple[Candidate, ...]:
        """List what may spoil, is free, and feeds anybody, the earliest date first."""
        foods = {food.id: food for food in self.snapshot.foods}
        found = []
        for lot in self.snapshot.lots:
            food = foods[lot.food]
            day = lot.last_good_day(food, grace_days=self.snapshot.settings.grace_days)
            free = lot.units - lot.units_in_kits - lot.units_promised
            if never_goes(lot, food) is None and free > 0 and food.energy_kcal_100g > 0:
                assert day is not None, "what goes is dated"
                if day < self.until_on:
                    found.append(Candidate(lot, food, free, day))
        return tuple(sorted(found, key=lambda one: (one.last_good_day, one.lot.id)))

    @cached_property
    def openings(self) -> tuple[Opening, ...]:
        """List the visits that may still be promised, in order."""
        found = []
        for partner in self.snapshot.partners:
            if self.asked.partners is not None and partner.id not in self.asked.partners:
                continue
            for window in partner.windows:
                for at in window.opens(from_on=self.as_of, to_on=self.until_on - ONE_DAY):
                    if (at.date() - self.as_of).days >= window.notice_days:
                        found.append(Opening(partner, window, at))
                    else:
                        self.reached.add("notice")
        return tuple(sorted(found, key=lambda one: (one.opens_at, one.partner.id)))

    @cached_property
    def floor(self) -> Floor:
        """Hold the floor over what may go."""
        return Floor(
            self.snapshot,
            self.as_of,
            days=self.floor_days,
            until_on=self.until_on,
            lots=[one.lot.id for one in self.candidates],
        )

    # --- the bounds of a visit ---

    @cached_property
    def promised(self) -> tuple[tuple[Load, ...], ...]:
        """List for each visit the group, grams and units of each lot promised for it already."""
        return tuple(tuple(self._promised(one)) for one in self.openings)

    def _promised(self, opening: Opening) -> Iterator[Load]:
        foods = {food.id: food for food in self.snapshot.foods}
        lots = {lot.id: lot for lot in self.snapshot.lots}
        names = opening.partner.id, opening.window.id, opening.opens_at.replace(tzinfo=None)
        for promise in self.snapshot.promises:
            if (promise.partner, promise.window, promise.opens_at) == names:
                self.reached.add("a promise for a visit")
                for item in promise.items:
                    lot = lots[item.lot]
                    food = foods[lot.food]
                    mass_g = item.units * (lot.net_mass_g or food.net_mass_g)
                    yield food.group, mass_g, item.units

    def has_room(self, visit: int, units: Sequence[int]) -> bool:
        """Tell whether a visit has room for units of each candidate."""
        brought = [
            (one.food.group, n * one.unit_g, n)
            for one, n in zip(self.candidates, units, strict=True)
            if n
        ]
        return not brought or self.is_within_bounds(visit, brought)

    def is_within_bounds(self, visit: int, brought: Sequence[Load]) -> bool:
        """Tell whether a visit has room for loads, beside what is promised for it already."""
        partner, window, _ = self.openings[visit]
        loads = [*self.promised[visit], *brought]
        bounds = [
            ("most kg", window.most_kg, window.most_units, loads),
            ("vehicle", window.vehicle_kg, None, loads),
        ]
        for group in {group for group, _, _ in brought}:
            of_it = [load for load in loads if load[0] is group]
            bound = limits(partner, group)
            bounds.append(("group kg", bound.most_kg, bound.most_units, of_it))
        return all(
            self._is_within(name, kg=kg, most=most, loads=held) for name, kg, most, held in bounds
        )

    def _is_within(
        self,
        name: str,
        *,
        kg: float | None,
        most: int | None,
        loads: Sequence[Load],
    ) -> bool:
        if kg is not None and sum(mass_g for _, mass_g, _ in loads) > 1_000 * kg + _HAIR_G:
            self.reached.add(name)
            return False
        if most is not None and sum(units for _, _, units in loads) > most:
            self.reached.add(name.replace("kg", "units"))
            return False
        return True

    # --- every plan there is ---

    def best(self) -> Worth:
        """Find what the best plan is worth."""
        plans = sorted((self.worth(shares), shares) for shares in self._shared_out())
        plans.sort(key=lambda plan: (-plan[0].energy_kcal, plan[0].visits, plan[0].earliness))
        for worth, shares in plans:
            if self.keeps_floor(shares):
                return worth
            self.reached.add("the floor")
        raise AssertionError("to hand over nothing always keeps the floor")

    def worth(self, shares: Shares) -> Worth:
        """Say what a plan comes to."""
        kcal = days = 0.0
        for one, units in zip(self.candidates, shares, strict=True):
            for opening, n in zip(self.openings, units, strict=True):
                kcal += n * one.unit_kcal
                days += n * one.unit_kcal * (opening.on - self.as_of).days
        visits = sum(any(units) for units in zip(*shares, strict=True))
        return Worth(kcal, visits, days / kcal if kcal else 0.0)

    def keeps_floor(self, shares: Shares) -> bool:
        """Tell whether a plan keeps the floor on every day."""
        taken: dict[date, Gone] = {}
        for visit, opening in enumerate(self.openings):
            before = taken.get(opening.on, (0,) * len(shares))
            units = zip(before, shares, strict=True)
            taken[opening.on] = tuple(n + each[visit] for n, each in units)
        return self.floor.is_kept(taken)

    def _shared_out(self) -> Iterator[Shares]:
        """Give every way to share lots out that no bound of a visit forbids."""

        def further(shares: Shares) -> Iterator[Shares]:
            if len(shares) == len(self.candidates):
                yield shares
                return
            rest = ((0,) * len(self.openings),) * (len(self.candidates) - len(shares) - 1)
            for units in self._splits(self.candidates[len(shares)]):
                more = (*shares, units)
                loads = zip(*more, *rest, strict=True)
                if all(self.has_room(v, load) for v, load in enumerate(loads) if units[v]):
                    yield from further(more)

        return further(())

    def _splits(self, one: Candidate) -> Iterator[tuple[int, ...]]:
        most = [one.free if self.is_taken(one, visit) else 0 for visit in range(len(self.openings))]
        for units in product(*(range(n + 1) for n in most)):
            if sum(units) <= one.free:
                yield units

    def is_taken(self, one: Candidate, visit: int) -> bool:
        """Tell whether a visit's partner takes a lot on that day."""
        opening = self.openings[visit]
        refused = refusal(opening.partner, one.lot, food=one.food, on=opening.on)
        if refused is not None:
            self.reached.add(f"refused: {refused}")
        elif opening.on > one.last_good_day:
            self.reached.add("taken past its last good day")
        return refused is None

    # --- who takes the earliest window first ---

    def greedy(self) -> Shares:
        """Bring as much as may be to the first visit, the earliest date first; then to the next."""
        shares = [[0] * len(self.openings) for _ in self.candidates]
        for visit in range(len(self.openings)):
            for number, one in enumerate(self.candidates):
                if self.is_taken(one, visit):
                    most = one.free - sum(shares[number])
                    shares[number][visit] = self._as_many(shares, number, visit=visit, most=most)
        return tuple(tuple(units) for units in shares)

    def _as_many(
        self, shares: Sequence[Sequence[int]], number: int, *, visit: int, most: int
    ) -> int:
        """Count how many units of a candidate may go on a visit: where so many may, fewer may."""
        least = 0
        while least < most:
            units = most if least == 0 else (least + most + 1) // 2
            held = [list(each) for each in shares]
            held[number][visit] = units
            if self._may_be(tuple(tuple(each) for each in held), visit):
                least = units
            else:
                most = units - 1
        return least

    def _may_be(self, shares: Shares, visit: int) -> bool:
        has_room = self.has_room(visit, [units[visit] for units in shares])
        return has_room and self.keeps_floor(shares)


def shares_of(trying: Trying, going: Mapping[tuple[str, str, str, datetime], int]) -> Shares:
    """Lay a plan out: units by lot, partner, window and opening, as shares of the candidates."""
    return tuple(
        tuple(
            going.get((one.lot.id, at.partner.id, at.window.id, at.opens_at), 0)
            for at in trying.openings
        )
        for one in trying.candidates
    )
