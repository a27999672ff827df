"""Find the best kits by trying every kit that the packs make, sharing no code with the planner.

Kits are taken one after another, kind by kind, and for whatever packs and wares are left the best
of all plans that leave just these is kept. What a plan comes to is a sum over its kits, so the best
of the rest comes on top of the best so far. A kit passes where `check_rules` says so.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from itertools import combinations_with_replacement, product
from math import ceil

from dateutil.relativedelta import relativedelta

from daysworth.domain.ages import Stage, stage_of
from daysworth.domain.demands import Eater
from daysworth.domain.eaters import eater_of, home_demands, strictest
from daysworth.domain.foods import Food, Preparation
from daysworth.domain.kit_rules import Diners, PackedFood, RuleStatus, check_rules, wares_needed
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.meal_patterns import MealRule, Slot, Wanted
from daysworth.domain.needs import FLAT_ENERGY_KCAL, daily_need
from daysworth.domain.offers import offer_of
from daysworth.domain.people import Household
from daysworth.domain.servings import servings
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import judge, reason_for
from daysworth.domain.verdicts import Verdict
from daysworth.domain.wares import WareKind
from daysworth.planners.packing import PackAsked
from tests.planners.pack_parts import (
    NOTHING,
    Cell,
    Good,
    Kit,
    Part,
    Worth,
    one_more,
    part_of,
    subsets,
    takes,
)


@dataclass
class Trying:
    """All that can be tried of a question. `reached` names what stood in a kit's way, or helped."""

    snapshot: Snapshot
    as_of: date
    asked: Sequence[PackAsked]
    reached: set[str] = field(default_factory=set)

    @cached_property
    def foods(self) -> dict[str, Food]:
        """Give the foods by id."""
        return {food.id: food for food in self.snapshot.foods}

    def best(self) -> Worth:
        """Find what the best plan is worth."""
        left = self.cells
        order = sorted(left, key=lambda cell: (cell[0], cell[1], sorted(cell[2]), cell[3]))
        wares = dict.fromkeys(WareKind, 0)
        for ware in self.snapshot.wares:
            wares[ware.kind] += ware.units
        state = (*(left[cell] for cell in order), *wares.values())
        position = {cell: n for n, cell in enumerate(order)}
        for n, kind in enumerate(WareKind):
            position[kind] = len(order) + n  # type: ignore[index]
        plans: dict[tuple[int, ...], Worth] = {state: NOTHING}
        for number, one in enumerate(self.asked):
            kits = [
                (tuple((position[what], n) for what, n in (*kit.packs, *kit.wares)), kit.worth)  # type: ignore[index]
                for kit in self._kits(number)
            ]
            latest = plans
            for _ in range(one.wanted):
                latest = one_more(latest, kits)
                for after, worth in latest.items():
                    plans[after] = max(worth, plans.get(after, worth))
        return max(plans.values())

    @cached_property
    def cells(self) -> dict[Cell, int]:
        """Count the packs that some kind may use."""
        found: dict[Cell, int] = {}
        for lot in self.snapshot.lots:
            food, day = self.foods[lot.food], self._day(lot)
            takers = frozenset(n for n in range(len(self.asked)) if self._may_use(n, lot))
            free = lot.units - lot.units_in_kits - lot.units_promised
            if day is not None and takers and free > 0:
                cell = (food.id, lot.net_mass_g or food.net_mass_g, takers, day)
                if any(day >= self._from_on(n) for n in takers):
                    found[cell] = found.get(cell, 0) + free
        return found

    def _day(self, lot: Lot) -> date | None:
        grace = self.snapshot.settings.grace_days
        return lot.last_good_day(self.foods[lot.food], grace_days=grace)

    def _from_on(self, number: int) -> date:
        if MealRule.KEEPS in self.asked[number].pattern.waived:
            return self.as_of
        return self.as_of + relativedelta(months=self.snapshot.settings.meal_rules.keeps_months)

    def home(self, number: int) -> Household | None:
        """Give the household of a kind."""
        for home in self.snapshot.households:
            if home.id == self.asked[number].household:
                return home
        return None

    def diners(self, number: int) -> Diners:
        """Say whom a kind serves."""
        home, basis = self.home(number), self.snapshot.settings.needs_basis
        if home is not None:
            fed = [m for m in home.members if stage_of(m, self.as_of) is Stage.TABLE_FOOD]
            needs = [daily_need(m, as_of=self.as_of, basis=basis, ration=1) for m in fed]
            return Diners(persons=len(fed), energy_kcal_day=sum(need.energy_kcal for need in needs))
        asked = self.asked[number]
        persons = asked.persons or asked.pattern.persons
        eating = [
            daily_need(m, as_of=self.as_of, basis=basis, ration=1).energy_kcal
            for other in self.snapshot.households
            for m in other.members
            if stage_of(m, self.as_of) is Stage.TABLE_FOOD
        ]
        mean = sum(eating) / len(eating) if eating else FLAT_ENERGY_KCAL
        return Diners(persons=persons, energy_kcal_day=persons * mean)

    def _may_use(self, number: int, lot: Lot) -> bool:
        food, pattern = self.foods[lot.food], self.asked[number].pattern
        named = any(
            takes(slot, one, food=food)
            for slot in pattern.slots
            for c in slot.choices
            for one in c.foods
        )
        day = self._day(lot)
        if not named or day is None or day < self.as_of or lot.condition is not Condition.SOUND:
            return False
        barred = self._barred(number, lot)
        self.reached.update(barred)
        return not barred and self._suits(number, lot)

    def _barred(self, number: int, lot: Lot) -> list[str]:
        """List what keeps a lot out of a kind's kits, whomever it suits."""
        food, pattern = self.foods[lot.food], self.asked[number].pattern
        waived, needed = pattern.waived, Preparation.NEEDED
        each = (lot.net_mass_g or food.net_mass_g) / self.diners(number).persons
        is_large = each > self.snapshot.settings.meal_rules.pack_g_each + 1e-9
        keeps = (food.keeps_opened_days or 0) >= 1
        found = {
            "opened": lot.opened_on is not None,
            "kept by another household": not lot.is_shared
            and lot.owner != self.asked[number].household,
            "needs water": food.added_water is needed and MealRule.NO_ADDED_WATER not in waived,
            "needs heating": food.heating is needed and MealRule.NO_HEATING not in waived,
            "a pack too large": is_large and not keeps and MealRule.ONE_MEAL_PACKS not in waived,
        }
        return [what for what, is_so in found.items() if is_so]

    def _suits(self, number: int, lot: Lot) -> bool:
        home = self.home(number)
        if home is None:
            return True
        offer = offer_of(lot, self.foods[lot.food])
        verdicts = {
            reason_for(offer, demand).verdict for demand in strictest(home_demands(home))
        } | {judge(offer, eater).verdict for eater in self._eaters(home)}
        self.reached.update(f"a label that is {one}" for one in verdicts)
        return verdicts <= {Verdict.SUITABLE}

    def _eaters(self, home: Household) -> list[Eater]:
        return [
            eater_of(m, household=home, as_of=self.as_of)
            for m in home.members
            if stage_of(m, self.as_of) is Stage.TABLE_FOOD
        ]

    # --- kits ---

    def _kits(self, number: int) -> list[Kit]:
        """List every kit of a kind; of those that take the same, the one that is worth most."""
        best: dict[object, Kit] = {}
        if self._is_incomplete(number):
            self.reached.add("a pattern that lacks a part")
            return []
        slots = range(len(self.asked[number].pattern.slots))
        for parts in self._fillings(number, tuple(slots)):
            for kit in self._dealt(number, parts):
                key = kit.packs, kit.wares
                if key not in best or best[key].worth < kit.worth:
                    best[key] = kit
        return list(best.values())

    def _is_incomplete(self, number: int) -> bool:
        pattern = self.asked[number].pattern
        asked: dict[str, float] = {"protein": 0, "starch": 0, "fruit_or_vegetable": 0}
        for slot in pattern.slots:
            if slot.kind.value in asked and slot.grams_in_all is None:
                asked[slot.kind.value] += slot.servings_each
        return MealRule.COMPLETE not in pattern.waived and min(asked.values()) < 1

    def _fillings(self, number: int, slots: tuple[int, ...]) -> Iterator[list[Part]]:
        """Fill the first slot alone, by two foods, or with others; then what is left."""
        if not slots:
            yield []
            return
        for size in range(1, len(slots) + 1):
            for others in subsets(slots[1:], size - 1):
                left = tuple(n for n in slots[1:] if n not in others)
                firsts = [[one] for one in self._single(number, (slots[0], *others))]
                firsts += self._pairs(number, slots[0]) if size == 1 else []
                if firsts:
                    for rest in self._fillings(number, left):
                        yield from (first + rest for first in firsts)

    def _goods(self, number: int) -> list[Good]:
        keys = {cell[:3] for cell in self.cells if number in cell[2]}
        return [(self.foods[food], mass_g, takers) for food, mass_g, takers in keys]

    def _single(self, number: int, slots: tuple[int, ...]) -> Iterator[Part]:
        pattern = self.asked[number].pattern
        chosen = [pattern.slots[n] for n in slots]
        kinds = [slot.kind for slot in chosen]
        if len(slots) > 1 and (len(set(kinds)) < len(kinds) or any(k.role is None for k in kinds)):
            return
        for food, mass_g, takers in self._goods(number):
            ranks = []
            for slot in chosen:
                ranks += [
                    n
                    for n, c in enumerate(slot.choices)
                    if len(c.foods) == 1 and takes(slot, c.foods[0], food=food)
                ][:1]
            if len(ranks) == len(chosen):
                needed = max(self._needed(number, slot, food, mass_g) for slot in chosen)
                if len(slots) > 1:
                    self.reached.add("a food that fills several slots")
                yield part_of(
                    (food, mass_g, takers), needed, rank=sum(ranks), served=chosen[0].served
                )

    def _pairs(self, number: int, at: int) -> list[list[Part]]:
        slot = self.asked[number].pattern.slots[at]
        found = []
        for n, choice in enumerate(slot.choices):
            if len(choice.foods) == 2:
                halves = [
                    self._half(number, slot, one, rank=rank)
                    for one, rank in zip(choice.foods, (n, 0), strict=True)
                ]
                found += [[a, b] for a, b in product(*halves) if a.food.id != b.food.id]
        if found:
            self.reached.add("two foods of one choice")
        return found

    def _half(self, number: int, slot: Slot, wanted: Wanted, *, rank: int) -> list[Part]:
        return [
            part_of(good, self._needed(number, slot, *good[:2]) / 2, rank=rank, served=slot.served)
            for good in self._goods(number)
            if takes(slot, wanted, food=good[0])
        ]

    def _needed(self, number: int, slot: Slot, food: Food, mass_g: float) -> float:
        if slot.grams_in_all is not None:
            self.reached.add("grams in all")
            return slot.grams_in_all / mass_g
        persons = self.diners(number).persons
        return slot.servings_each * persons / servings(food, mass_g)

    def _dealt(self, number: int, parts: Sequence[Part]) -> Iterator[Kit]:
        """Deal packs of any dates to the parts of a kit, where it passes."""
        dealt = [list(self._packs(number, one)) for one in parts]
        is_first = True
        for packs in product(*dealt):
            wares = self._wares(number, parts)
            if is_first and not self._passes(number, parts, packs, wares):
                return
            is_first = False
            firsts = [min(packs_of) for packs_of in packs]
            pull_by = min(firsts)
            taken: dict[Cell, int] = {}
            for part, days in zip(parts, packs, strict=True):
                if len(set(days)) > 1:
                    self.reached.add("a fill of two dates")
                for day in days:
                    cell = (part.food.id, part.net_mass_g, part.takers, day)
                    taken[cell] = taken.get(cell, 0) + 1
            if all(units <= self.cells[cell] for cell, units in taken.items()):
                worth = self._worth(number, parts, firsts, pull_by)
                yield Kit(tuple(taken.items()), tuple(sorted(wares.items())), worth)

    def _worth(
        self, number: int, parts: Sequence[Part], firsts: Sequence[date], pull_by: date
    ) -> Worth:
        disliked = sum(self._is_disliked(number, one.food) for one in parts)
        if disliked:
            self.reached.add("a food that is disliked")
        return (
            1,
            -disliked,
            (pull_by - self.as_of).days,
            -sum(ceil(one.over * 100 - 1e-6) for one in parts),
            -sum((first - pull_by).days for first in firsts),
            -sum(one.rank for one in parts),
        )

    def _is_disliked(self, number: int, food: Food) -> bool:
        home = self.home(number)
        members = () if home is None else home.members
        served = [m for m in members if stage_of(m, self.as_of) is Stage.TABLE_FOOD]
        named = set(food.name.lower().split())
        return any(set(words.lower().split()) <= named for m in served for words in m.dislikes)

    def _packs(self, number: int, part: Part) -> Iterator[tuple[date, ...]]:
        days = [
            day
            for food, mass_g, takers, day in self.cells
            if (food, mass_g, takers) == (part.food.id, part.net_mass_g, part.takers)
            and day >= self._from_on(number)
        ]
        yield from combinations_with_replacement(sorted(days), part.units)

    def _wares(self, number: int, parts: Sequence[Part]) -> dict[WareKind, int]:
        pattern, persons = self.asked[number].pattern, self.diners(number).persons
        one_food = next(iter(self.snapshot.foods))
        on = [(one_food, slot.served) for slot in pattern.slots]
        needed = wares_needed(on, persons=persons, utensil=pattern.utensil)
        needed.pop(WareKind.OPENER, None)
        if any(part.food.needs_opener for part in parts):
            needed[WareKind.OPENER] = 1
        without = {
            MealRule.OPENER: (WareKind.OPENER,),
            MealRule.UTENSILS: (WareKind.FORK, WareKind.SPOON, WareKind.NAPKIN),
            MealRule.PLATES: (WareKind.PLATE, WareKind.BOWL),
            MealRule.BAG: (WareKind.BAG,),
        }
        for rule in pattern.waived:
            for ware in without.get(rule, ()):
                needed.pop(ware, None)
        return needed

    def _passes(
        self,
        number: int,
        parts: Sequence[Part],
        packs: Sequence[tuple[date, ...]],
        wares: Mapping[WareKind, int],
    ) -> bool:
        foods = [
            PackedFood(
                food=one.food,
                units=one.units,
                net_mass_g=one.net_mass_g,
                last_good_day=min(days),
                served=one.served,
            )
            for one, days in zip(parts, packs, strict=True)
        ]
        found = check_rules(
            foods,
            wares=wares,
            diners=self.diners(number),
            packed_on=self.as_of,
            rules=self.snapshot.settings.meal_rules,
            waivers=self.asked[number].pattern.waivers,
        )
        failed = [one.rule for one in found if one.status is RuleStatus.FAILED]
        self.reached.update(f"a kit that fails by {rule}" for rule in failed)
        return not failed
