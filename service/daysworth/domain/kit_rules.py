"""Judge what is in a kit by the rules of a complete meal, each with the figures behind it.

The rules are common practice: no refrigeration, no cooking, no added water, an opener for every
tin without a pull tab, something to eat with, and dates that outlast the half-year to the next
round. Whom the food suits is another question; see `planners.kit_check`.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from math import fsum
from typing import Final

from dateutil.relativedelta import relativedelta

from daysworth.domain.foods import Food, MealRole, Preparation
from daysworth.domain.identifiers import FoodId
from daysworth.domain.meal_patterns import MealRule, Served, Utensil, Waiver
from daysworth.domain.meal_rules import MealRules
from daysworth.domain.servings import servings
from daysworth.domain.wares import WareKind
from daysworth.reference.pack_volumes import pack_litres_per_kg

_SOME: Final = 1e-9
"""Figures are sums: what lacks no more than this is not lacking."""


EATEN_FROM: Final = {Served.PLATE: WareKind.PLATE, Served.BOWL: WareKind.BOWL}
"""What everyone needs for what is served so."""


class RuleStatus(StrEnum):
    """How a kit stands by one rule."""

    PASSED = "passed"
    FAILED = "failed"
    WAIVED = "waived"


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedFood:
    """Units of a food in a kit. `last_good_day` None: undated."""

    food: Food
    units: int
    net_mass_g: float | None = None
    last_good_day: date | None = None
    served: Served = Served.PLATE

    @property
    def unit_mass_g(self) -> float:
        """Give the net grams of a unit."""
        return self.food.net_mass_g if self.net_mass_g is None else self.net_mass_g

    @property
    def mass_g(self) -> float:
        """Give the net grams of all units."""
        return self.units * self.unit_mass_g

    @property
    def energy_kcal(self) -> float:
        """Give the kcal of all units."""
        return self.units * self.food.energy_kcal(self.net_mass_g)

    @property
    def protein_g(self) -> float:
        """Give the grams of protein of all units."""
        return self.units * self.food.protein_g(self.net_mass_g)

    @property
    def servings(self) -> float:
        """Give the servings in all units, by 21 CFR 101.12."""
        return self.units * servings(self.food, self.net_mass_g)

    @property
    def volume_l(self) -> float:
        """Give the litres that all units take in a bag, with their packing."""
        return pack_volume_l(self.food, self.mass_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class Diners:
    """How many a kit serves, and the kcal that they need in a day, all together."""

    persons: int
    energy_kcal_day: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleFigure:
    """One figure behind a finding: what there is of something, and what is asked for.

    `unit` is "servings", "kcal", "months", "g each", "L", "forks or spoons" or a ware's plural.
    """

    of: str
    found: float
    asked: float
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleFinding:
    """How a kit stands by one rule, the figures behind it, and the foods at fault.

    `why_waived` is the reason of a rule that it fails and is not held to.
    """

    rule: MealRule
    status: RuleStatus
    figures: tuple[RuleFigure, ...] = ()
    foods: tuple[FoodId, ...] = ()
    why_waived: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Packed:
    foods: Sequence[PackedFood]
    wares: Mapping[WareKind, int]
    diners: Diners
    packed_on: date
    rules: MealRules


def check_rules(
    foods: Sequence[PackedFood],
    *,
    wares: Mapping[WareKind, int],
    diners: Diners,
    packed_on: date,
    rules: MealRules,
    waivers: Iterable[Waiver] = (),
) -> tuple[RuleFinding, ...]:
    """Judge a kit by every rule, in their order; a waived rule that it meets has passed."""
    packed = _Packed(foods=foods, wares=wares, diners=diners, packed_on=packed_on, rules=rules)
    why = {waiver.rule: waiver.why for waiver in waivers}
    return tuple(_finding(rule, packed, why_waived=why.get(rule)) for rule in MealRule)


def pack_volume_l(food: Food, mass_g: float) -> float:
    """Give the litres that so many net grams of a food take in a bag, packing included."""
    return mass_g * pack_litres_per_kg()[food.group] / 1000


def keeps_until_day(packed_on: date, rules: MealRules) -> date:
    """Give the first last good day that passes: calendar months on, clipped to the month's end."""
    return packed_on + relativedelta(months=rules.keeps_months)


def is_one_meal_pack(
    food: Food, net_mass_g: float | None, *, persons: int, rules: MealRules
) -> bool:
    """Tell whether a pack is eaten at one meal, or keeps once it is open."""
    if (food.keeps_opened_days or 0) >= 1:
        return True
    net_g = food.net_mass_g if net_mass_g is None else net_mass_g
    return net_g <= rules.pack_g_each * persons + _SOME


def wares_needed(
    foods: Iterable[tuple[Food, Served]], *, persons: int, utensil: Utensil
) -> dict[WareKind, int]:
    """Count what is put in the bag beside the food, the bag itself included.

    A fork or a spoon and a napkin each; a plate each where something is served on plates, a bowl
    each for what is served in bowls; one opener where a tin has no pull tab.
    """
    given = tuple(foods)
    needed = {WareKind.OPENER: 1} if any(food.needs_opener for food, _ in given) else {}
    return {**needed, **wares_of((how for _, how in given), persons=persons, utensil=utensil)}


def wares_of(served: Iterable[Served], *, persons: int, utensil: Utensil) -> dict[WareKind, int]:
    """Count what is put in the bag for what is served so, but for an opener; the bag included."""
    hows = set(served)
    eaten_from = {ware: persons for how, ware in EATEN_FROM.items() if how in hows}
    return {**eaten_from, WareKind(utensil): persons, WareKind.NAPKIN: persons, WareKind.BAG: 1}


_Judged = tuple[bool, tuple[RuleFigure, ...], tuple[FoodId, ...]]


def _finding(rule: MealRule, packed: _Packed, *, why_waived: str | None) -> RuleFinding:
    is_met, figures, foods = _JUDGED[rule](packed)
    if is_met:
        return RuleFinding(rule=rule, status=RuleStatus.PASSED, figures=figures)
    status = RuleStatus.FAILED if why_waived is None else RuleStatus.WAIVED
    return RuleFinding(
        rule=rule, status=status, figures=figures, foods=foods, why_waived=why_waived
    )


def _complete(packed: _Packed) -> _Judged:
    figures = tuple(
        RuleFigure(
            of=role.value,
            found=fsum(one.servings for one in packed.foods if role in one.food.roles),
            asked=float(packed.diners.persons),
            unit="servings",
        )
        for role in MealRole
    )
    return all(one.found >= one.asked - _SOME for one in figures), figures, ()


def _energy(packed: _Packed) -> _Judged:
    figure = RuleFigure(
        of="energy",
        found=fsum(one.energy_kcal for one in packed.foods),
        asked=packed.diners.energy_kcal_day * packed.rules.share_of_day,
        unit="kcal",
    )
    return figure.found >= figure.asked - _SOME * (1 + figure.asked), (figure,), ()


def _none_that(*, at_fault: Callable[[PackedFood], bool]) -> Callable[[_Packed], _Judged]:
    def judged(packed: _Packed) -> _Judged:
        faulty = tuple(dict.fromkeys(one.food.id for one in packed.foods if at_fault(one)))
        return not faulty, (), faulty

    return judged


def _keeps(packed: _Packed) -> _Judged:
    first_day = keeps_until_day(packed.packed_on, packed.rules)
    faulty = [
        one for one in packed.foods if one.last_good_day is None or one.last_good_day < first_day
    ]
    figures = tuple(
        RuleFigure(
            of=one.food.id,
            found=_whole_months(packed.packed_on, one.last_good_day),
            asked=packed.rules.keeps_months,
            unit="months",
        )
        for one in packed.foods
    )
    return not faulty, figures, tuple(dict.fromkeys(one.food.id for one in faulty))


def _whole_months(since_on: date, day: date | None) -> float:
    """Count whole calendar months, clipped as `keeps_until_day` is; 0 where undated or past."""
    if day is None or day < since_on:
        return 0.0
    months = (day.year - since_on.year) * 12 + day.month - since_on.month
    return float(months if since_on + relativedelta(months=months) <= day else months - 1)


def _opener(packed: _Packed) -> _Judged:
    foods = tuple(dict.fromkeys(one.food.id for one in packed.foods if one.food.needs_opener))
    return _has_wares(packed, {WareKind.OPENER: 1} if foods else {}, foods=foods)


def _utensils(packed: _Packed) -> _Judged:
    persons = packed.diners.persons
    eaten_with = packed.wares.get(WareKind.FORK, 0) + packed.wares.get(WareKind.SPOON, 0)
    napkins = packed.wares.get(WareKind.NAPKIN, 0)
    figures = (
        RuleFigure(of="fork_or_spoon", found=eaten_with, asked=persons, unit="forks or spoons"),
        RuleFigure(of="napkin", found=napkins, asked=persons, unit="napkins"),
    )
    return min(eaten_with, napkins) >= persons, figures, ()


def _plates(packed: _Packed) -> _Judged:
    on_them = [one for one in packed.foods if one.served in EATEN_FROM]
    asked = {EATEN_FROM[one.served]: packed.diners.persons for one in on_them}
    return _has_wares(packed, asked, foods=tuple(dict.fromkeys(one.food.id for one in on_them)))


def _has_wares(
    packed: _Packed, asked: Mapping[WareKind, int], *, foods: tuple[FoodId, ...]
) -> _Judged:
    figures = tuple(
        RuleFigure(of=kind.value, found=packed.wares.get(kind, 0), asked=units, unit=f"{kind}s")
        for kind, units in asked.items()
    )
    return all(one.found >= one.asked for one in figures), figures, foods


def _one_meal_packs(packed: _Packed) -> _Judged:
    persons, rules = packed.diners.persons, packed.rules
    faulty = [
        one
        for one in packed.foods
        if not is_one_meal_pack(one.food, one.net_mass_g, persons=persons, rules=rules)
    ]
    figures = tuple(
        RuleFigure(
            of=one.food.id,
            found=one.unit_mass_g / persons,
            asked=rules.pack_g_each,
            unit="g each",
        )
        for one in faulty
    )
    return not faulty, figures, tuple(dict.fromkeys(one.food.id for one in faulty))


def _bag(packed: _Packed) -> _Judged:
    volume = RuleFigure(
        of="volume",
        found=fsum(one.volume_l for one in packed.foods),
        asked=packed.rules.bag_l,
        unit="L",
    )
    bags = RuleFigure(of="bag", found=packed.wares.get(WareKind.BAG, 0), asked=1, unit="bags")
    return volume.found <= volume.asked + _SOME and bags.found >= 1, (volume, bags), ()


_JUDGED: Final[Mapping[MealRule, Callable[[_Packed], _Judged]]] = {
    MealRule.COMPLETE: _complete,
    MealRule.ENERGY: _energy,
    MealRule.NO_ADDED_WATER: _none_that(
        at_fault=lambda one: one.food.added_water is Preparation.NEEDED
    ),
    MealRule.NO_HEATING: _none_that(at_fault=lambda one: one.food.heating is Preparation.NEEDED),
    MealRule.KEEPS: _keeps,
    MealRule.OPENER: _opener,
    MealRule.UTENSILS: _utensils,
    MealRule.PLATES: _plates,
    MealRule.ONE_MEAL_PACKS: _one_meal_packs,
    MealRule.BAG: _bag,
}
