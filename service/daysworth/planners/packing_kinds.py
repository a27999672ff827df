"""Say what is asked of each kind of kit: whom it serves, and what it is held to in figures.

A kit serves a household, which is its present members who eat what is on the table, or a number of
persons of whom nothing else is known. Who waives a rule is held to none of its figures.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import fsum, inf
from typing import Final

from daysworth.domain.ages import Stage, stage_of
from daysworth.domain.demands import Eater
from daysworth.domain.errors import ScenarioRefused
from daysworth.domain.foods import Food, MealRole
from daysworth.domain.identifiers import FoodId, HouseholdId
from daysworth.domain.kit_rules import Diners, keeps_until_day, wares_of
from daysworth.domain.label_reader import plain_words
from daysworth.domain.meal_patterns import (
    MOST_PERSONS,
    MealPattern,
    MealRule,
    Slot,
    SlotKind,
    Wanted,
)
from daysworth.domain.meal_rules import MealRules
from daysworth.domain.needs import daily_need
from daysworth.domain.people import Household, Member
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.wares import WareKind
from daysworth.planners.classes import is_present
from daysworth.planners.diners import mean_need_kcal
from daysworth.planners.household_fit import Table, table_of

MOST_WANTED: Final = 500
"""The most kits of one kind that are planned at once: our judgement of a day's work of many."""
MOST_KINDS: Final = 12
_NEARLY: Final = 1e-9
"""As `kit_rules` has it: what lacks no more than this is not lacking."""
_WARES_BY_RULE: Final = {
    MealRule.PLATES: (WareKind.PLATE, WareKind.BOWL),
    MealRule.UTENSILS: (WareKind.FORK, WareKind.SPOON, WareKind.NAPKIN),
    MealRule.BAG: (WareKind.BAG,),
}
_ROLES: Final = {kind: kind.role for kind in SlotKind}
_TABLE_FOOD: Final = Stage.TABLE_FOOD


@dataclass(frozen=True, slots=True, kw_only=True)
class PackAsked:
    """So many kits (1 to 500) by a pattern, for a household or for a number of persons (1 to 24).

    `persons` None: as many as the pattern serves; for a household, as many as eat there.
    """

    pattern: MealPattern
    wanted: int
    household: HouseholdId | None = None
    persons: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """What is asked of every kit of one kind; `number` is its position in the question.

    `table` and `eaters` are those of its household; None and nothing, where it serves a number.
    `asked_kcal` is 0 and `bag_l` infinite where that is waived. Food that keeps until `from_on`
    passes. `wares` are those of every kit, an opener apart. `lacking` are parts of a meal for
    which its pattern asks less than a serving each, although it is held to them.
    """

    number: int
    asked: PackAsked
    table: Table | None
    eaters: tuple[Eater, ...]
    disliked: frozenset[tuple[str, ...]]
    diners: Diners
    asked_kcal: float
    bag_l: float
    from_on: date
    wares: Mapping[WareKind, int]
    has_openers: bool
    lacking: tuple[MealRole, ...]
    rules: MealRules

    @property
    def pattern(self) -> MealPattern:
        """Give the pattern that its kits go by."""
        return self.asked.pattern

    @property
    def persons(self) -> int:
        """Count whom a kit serves."""
        return self.diners.persons

    @property
    def least_kcal(self) -> float:
        """Give the least energy that passes the rule."""
        return self.asked_kcal - _NEARLY * (1 + self.asked_kcal)

    @property
    def most_l(self) -> float:
        """Give the most litres that pass the rule."""
        return self.bag_l + _NEARLY

    def is_held_to(self, rule: MealRule) -> bool:
        """Tell whether its pattern does not waive a rule."""
        return rule not in self.pattern.waived

    def dislikes(self, food: Food) -> bool:
        """Tell whether somebody served does not like a food, by the words of its name."""
        named = set(plain_words(food.name))
        return any(set(words) <= named for words in self.disliked if words)


def kinds_asked(snapshot: Snapshot, as_of: date, *, asked: Sequence[PackAsked]) -> tuple[Kind, ...]:
    """Work out what is asked of each kind.

    Raises ScenarioRefused for no kind or too many, for a number out of range, and for a household
    or a food that the store does not have.
    """
    if not 1 <= len(asked) <= MOST_KINDS:
        raise ScenarioRefused(f"ask for 1 to {MOST_KINDS} kinds of kit at once")
    foods = {food.id for food in snapshot.foods}
    mean_kcal = mean_need_kcal(snapshot, as_of)
    for one in asked:
        _check(one, foods=foods)
    return tuple(
        _kind(one, number=number, mean_kcal=mean_kcal, snapshot=snapshot, as_of=as_of)
        for number, one in enumerate(asked)
    )


def admits(slot: Slot, wanted: Wanted, *, food: Food) -> bool:
    """Tell whether a slot takes a food by what a choice of it names."""
    role = _ROLES[slot.kind]
    is_named = wanted.food == food.id if wanted.group is None else wanted.group is food.group
    return is_named and (role is None or role in food.roles)


def names_food(pattern: MealPattern, food: Food) -> bool:
    """Tell whether some slot of a pattern takes a food."""
    return any(slot_names(slot, food) for slot in pattern.slots)


def slot_names(slot: Slot, food: Food) -> bool:
    """Tell whether some choice of a slot takes a food."""
    if food.is_water or food.is_for_infants:
        return False
    return any(admits(slot, one, food=food) for choice in slot.choices for one in choice.foods)


def _check(asked: PackAsked, *, foods: set[FoodId]) -> None:
    if not 1 <= asked.wanted <= MOST_WANTED:
        raise ScenarioRefused(f"ask for 1 to {MOST_WANTED} kits of a kind")
    for slot in asked.pattern.slots:
        for wanted in (one for choice in slot.choices for one in choice.foods):
            if wanted.food is not None and wanted.food not in foods:
                raise ScenarioRefused(
                    f"the pattern {asked.pattern.name!r} names the food {wanted.food!r}, which is "
                    "not in this store's catalogue"
                )


def _kind(
    asked: PackAsked, *, number: int, mean_kcal: float, snapshot: Snapshot, as_of: date
) -> Kind:
    rules, waived = snapshot.settings.meal_rules, asked.pattern.waived
    home = None if asked.household is None else _home(asked.household, snapshot=snapshot)
    members = [] if home is None else _served(home, as_of)
    persons = _persons(asked, home=home, eating=len(members))
    day_kcal = persons * mean_kcal
    if home is not None:
        basis = snapshot.settings.needs_basis
        needs = (daily_need(one, as_of=as_of, basis=basis, ration=1.0) for one in members)
        day_kcal = fsum(need.energy_kcal for need in needs)
    table = None if home is None else table_of(home, as_of)
    seated = () if table is None else table.eaters
    served = {member.id for member in members}
    asked_kcal = 0.0 if MealRule.ENERGY in waived else rules.share_of_day * day_kcal
    keeps = as_of if MealRule.KEEPS in waived else keeps_until_day(as_of, rules)
    return Kind(
        number=number,
        asked=asked,
        table=table,
        eaters=tuple(dict.fromkeys(eater for id_, eater in seated if id_ in served)),
        disliked=frozenset(plain_words(words) for one in members for words in one.dislikes),
        diners=Diners(persons=persons, energy_kcal_day=day_kcal),
        asked_kcal=asked_kcal,
        bag_l=inf if MealRule.BAG in waived else rules.bag_l,
        from_on=max(as_of, keeps),
        wares=_wares(asked.pattern, persons=persons),
        has_openers=MealRule.OPENER not in waived,
        lacking=() if MealRule.COMPLETE in waived else tuple(_lacking(asked.pattern)),
        rules=rules,
    )


def _home(id_: HouseholdId, *, snapshot: Snapshot) -> Household:
    for home in snapshot.households:
        if home.id == id_:
            return home
    raise ScenarioRefused(f"there is no household {id_!r} in this store")


def _served(home: Household, as_of: date) -> list[Member]:
    return [
        member
        for member in home.members
        if is_present(member, as_of) and stage_of(member, as_of) is _TABLE_FOOD
    ]


def _persons(asked: PackAsked, *, home: Household | None, eating: int) -> int:
    if home is None:
        persons = asked.pattern.persons if asked.persons is None else asked.persons
    elif eating == 0:
        raise ScenarioRefused(f"nobody in household {home.id!r} eats what is on the table yet")
    elif asked.persons not in (None, eating):
        raise ScenarioRefused(
            f"a kit for household {home.id!r} serves all who eat there, which are {eating}: ask "
            "for a household or for a number of persons"
        )
    else:
        persons = eating
    if not 1 <= persons <= MOST_PERSONS:
        raise ScenarioRefused(f"a kit serves 1 to {MOST_PERSONS} persons")
    return persons


def _lacking(pattern: MealPattern) -> Iterator[MealRole]:
    """Find the parts of a meal of which a pattern does not ask for a serving each."""
    for role in MealRole:
        asked = fsum(
            slot.servings_each
            for slot in pattern.slots
            if slot.kind.role is role and slot.grams_in_all is None
        )
        if asked < 1 - _NEARLY:
            yield role


def _wares(pattern: MealPattern, *, persons: int) -> dict[WareKind, int]:
    """Count the wares of every kit of a pattern, but for what it waives and for an opener."""
    given = wares_of(
        (slot.served for slot in pattern.slots), persons=persons, utensil=pattern.utensil
    )
    without = {ware for rule in pattern.waived for ware in _WARES_BY_RULE.get(rule, ())}
    return {ware: units for ware, units in given.items() if ware not in without}
