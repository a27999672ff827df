"""Say what runs out first, and what would feed those whom it leaves for longer.

Of each class that no plan can raise above everyone-fed days, it is asked for how long it could be
fed, everyone else being fed for everyone-fed days or more:

- with one thing let go: the extras' share, protein, water or dates, each alone;
- with one more unit of a food: any generic food or food of the store's own that feeds, that the
  scenario can use, of which it is known how long it keeps, and that, its label unread, suits every
  member of the class. Others eat of it whom it suits too. Where no such food adds a day, as with
  an allergy, which no unread label satisfies, foods are tried as if their labels proved suitable
  wherever that is not known, and are told as such.

Each is planned again, for prices in a program are not unique. Prices only say what is worth trying:
what one more helping adds can never be more than its price, so a food is not tried where its price
leaves it behind the best that were. Where two classes run out together, no single food may raise
everyone-fed days: the gain told is that of the one class.
"""

from collections.abc import Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from daysworth.domain.demands import Eater
from daysworth.domain.foods import Food
from daysworth.planners.classes import (
    EatingClass,
    Suits,
    all_unknown_suits,
    eating_class,
    nothing_unknown_suits,
)
from daysworth.planners.grounds import Grounds
from daysworth.planners.proving import ClassDays, furthest, highest
from daysworth.planners.question import Question
from daysworth.planners.raising import Worth
from daysworth.planners.shelf import Stack
from daysworth.planners.wish_candidates import Wish, candidates_of

MOST_CLASSES: Final = 3
"""How many of the classes that run out together are looked into, those with most members."""

MOST_FOODS: Final = 5
LEAST_GAIN_DAYS: Final = 1e-6
"""Less is rounding: the days that others must have are held to within a hair of themselves."""


class Let(StrEnum):
    """What is let go."""

    EXTRAS = "extras"
    PROTEIN = "protein"
    WATER = "water"
    DATES = "dates"


@dataclass(frozen=True, slots=True)
class FoodGain:
    """The days that one more unit of a food, of `unit_kcal`, adds for a class.

    `is_if_label_suits`: nothing of it suits the class until its label was read and proved to.
    """

    food: Food
    unit_kcal: float
    days: float
    is_if_label_suits: bool = False


@dataclass(frozen=True, slots=True)
class RunsOut:
    """A class that runs out first, its days, and what would make them more.

    `days_without` are its days with one thing let go, the same as `days` where that adds none.
    `foods` are those of which one more unit adds most, the best first.
    """

    members: EatingClass
    days: float
    days_without: Mapping[Let, float]
    foods: tuple[FoodGain, ...]


def runs_out_first(
    grounds: Grounds, final: Sequence[ClassDays], *, held: frozenset[int]
) -> tuple[RunsOut, ...]:
    """Look into the classes at the positions `held`, at most three, those with most members.

    None where everyone is fed to the horizon. Raises PlanningFailed where a plan was not proved.
    """
    if not held or min(item.days for item in final) >= grounds.scenario.horizon_days:
        return ()
    shelf = _Offered(grounds)
    chosen = sorted(held, key=lambda c: (-len(final[c].members.mouths), c))[:MOST_CLASSES]
    return tuple(_Class(grounds, final, c=c, shelf=shelf).answer() for c in chosen)


@dataclass(frozen=True, slots=True)
class _Furthest:
    """For how many days a class could be fed, and what more food would be worth to it."""

    days: float
    worth: Worth


class _Class:
    """One class that runs out first, with the others held at everyone-fed days."""

    def __init__(
        self, grounds: Grounds, final: Sequence[ClassDays], *, c: int, shelf: "_Offered"
    ) -> None:
        self._grounds, self._shelf, self._c = grounds, shelf, c
        self._classes = tuple(item.members for item in final)
        self._days = final[c].days
        self._level = min(item.days for item in final)

    def answer(self) -> RunsOut:
        """Plan again with each thing let go, and with each food worth trying."""
        base = self._base()
        without = {let: self._days + self._gain_without(let, base) for let in Let}
        foods = self._foods(base, self._shelf) or self._foods(base, self._shelf.if_labels_suit())
        return RunsOut(self._classes[self._c], self._days, without, foods)

    def _gain_without(self, let: Let, base: _Furthest) -> float:
        if not _may_matter(let, base.worth):
            return 0.0
        question, classes = _let_go(let, self._grounds.question, classes=self._classes)
        return self._gain_over(base, question, classes=classes, c=self._c)

    def _foods(self, base: _Furthest, shelf: "_Offered") -> tuple[FoodGain, ...]:
        """Try foods, the highest price first, until none left can be among the best."""
        guests = [_Guests(one, shelf) for one in self._classes]
        priced = sorted(
            (
                (self._price(shelf.units[unit], base, eaters=_eaters(unit, guests)), unit)
                for unit in guests[self._c].all_may_eat
            ),
            key=lambda one: (-one[0], shelf.units[one[1]].offer.food.id),
        )
        found: list[FoodGain] = []
        for price, unit in priced:
            worst_told = found[MOST_FOODS - 1].days if len(found) >= MOST_FOODS else 0.0
            if price <= max(worst_told, LEAST_GAIN_DAYS):
                break
            one = shelf.units[unit]
            gain = self._gain_with(unit, base, shelf=shelf, guests=guests)
            if gain > LEAST_GAIN_DAYS:
                told = FoodGain(one.offer.food, one.energy_kcal, gain, shelf.is_if_label_suits)
                found.append(told)
                found.sort(key=lambda best: (-best.days, best.food.id))
        return tuple(found[:MOST_FOODS])

    def _price(self, one: Stack, base: _Furthest, *, eaters: Sequence[int]) -> float:
        """Bound the days that a food can add for the class."""
        a_helping = base.worth.at_most(
            is_extra=one.offer.food.is_extra,
            protein_g_kcal=one.protein_g / one.energy_kcal,
            eaters=eaters,
        )
        return a_helping * one.energy_kcal / self._grounds.mean_kcal

    def _gain_with(
        self, unit: int, base: _Furthest, *, shelf: "_Offered", guests: Sequence["_Guests"]
    ) -> float:
        """Put the food on the shelf and plan again."""
        question = self._grounds.question
        more = question.with_one(shelf.units[unit])
        classes: list[EatingClass] = []
        at = self._c
        also = _Also(len(question.stacks))
        for c, group in enumerate(guests):
            if c == self._c:
                at = len(classes)
            classes.extend(group.parted(unit, also=also))
        return self._gain_over(base, more, classes=classes, c=at)

    def _gain_over(
        self, base: _Furthest, question: Question, *, classes: Sequence[EatingClass], c: int
    ) -> float:
        """Give the days that another plan adds for the class: none where that is rounding."""
        reach = highest(
            question,
            classes,
            aims={c: 1.0},
            least=[self._level] * len(classes),
            known=base.days,
            mean_kcal=self._grounds.mean_kcal,
        )
        gain = reach.at_most - base.days
        return gain if gain > LEAST_GAIN_DAYS else 0.0

    def _base(self) -> _Furthest:
        """Plan for the class as things are, for what more would be worth to it."""
        planned = furthest(
            self._grounds.question,
            self._classes,
            aims={self._c: 1.0},
            least=[self._level] * len(self._classes),
            mean_kcal=self._grounds.mean_kcal,
            is_for_prices=True,
        )
        assert planned.worth is not None
        return _Furthest(planned.classes[self._c].days, planned.worth)


def _may_matter(let: Let, worth: Worth) -> bool:
    """Tell whether there is anything to let go; what has no price at the best plan is in no way."""
    if let is Let.EXTRAS:
        return any(worth.extras)
    if let is Let.PROTEIN:
        return any(worth.a_gram)
    if let is Let.WATER:
        return worth.is_water_priced
    return worth.are_dates_priced


def _let_go(
    let: Let, question: Question, *, classes: tuple[EatingClass, ...]
) -> tuple[Question, tuple[EatingClass, ...]]:
    if let is Let.EXTRAS:
        return replace(question, extras_share=1.0), classes
    if let is Let.PROTEIN:
        return question, tuple(_without_protein(one) for one in classes)
    if let is Let.WATER:
        return replace(question, water=None), classes
    lasting = tuple(replace(stack, day=question.horizon_days) for stack in question.stacks)
    return replace(question, stacks=lasting), classes


def _without_protein(one: EatingClass) -> EatingClass:
    mouths = (replace(mouth, protein_g=0.0) for mouth in one.mouths)
    return eating_class(mouths, shared=one.shared, own=one.own, keeper=one.keeper)


# --- foods that could be brought ---


class _Offered:
    """A unit of each food that could be brought, and whom it suits with its label unread.

    Units are named by their number.
    """

    def __init__(self, grounds: Grounds) -> None:
        candidates = candidates_of(
            grounds.snapshot, grounds.as_of, scenario=grounds.scenario, wish=Wish()
        )
        stacks = (one.stack(units=1.0, kept_by=None) for one in candidates)
        self.units = tuple(stack for stack in stacks if stack.energy_kcal > 0)
        self._suits = Suits(self.units, judge=grounds.judge)
        self._supposed = self._suits.supposed(nothing_unknown_suits)
        self.is_if_label_suits = False

    def if_labels_suit(self) -> "_Offered":
        """Suppose of every label that it proves suitable wherever that is not known."""
        supposing = copy(self)
        supposing.is_if_label_suits = True
        supposing._supposed = self._suits.supposed(all_unknown_suits)
        return supposing

    def suiting(self, eater: Eater) -> frozenset[int]:
        """Give the numbers of the units that suit an eater."""
        return self._suits.shared(self._suits.offers(eater, self._supposed))


class _Guests:
    """One class before the foods that could be brought: what suits all in it, and what anyone."""

    def __init__(self, one: EatingClass, shelf: _Offered) -> None:
        self._one = one
        eaters = {mouth.eater for mouth in one.mouths}
        self._suiting = {eater: shelf.suiting(eater) for eater in eaters}
        self.all_may_eat = frozenset.intersection(*self._suiting.values())
        self.any_may_eat = frozenset.union(*self._suiting.values())

    def parted(self, unit: int, *, also: "_Also") -> Iterator[EatingClass]:
        """Part the class into those who may eat a food, and the rest."""
        one = self._one
        if unit in self.all_may_eat:
            yield replace(one, shared=also.to(one.shared))
        elif unit not in self.any_may_eat:
            yield one
        else:
            may = [mouth for mouth in one.mouths if unit in self._suiting[mouth.eater]]
            rest = [mouth for mouth in one.mouths if unit not in self._suiting[mouth.eater]]
            for mouths, shared in ((may, also.to(one.shared)), (rest, one.shared)):
                yield eating_class(mouths, shared=shared, own=one.own, keeper=one.keeper)


class _Also:
    """Add one position to sets of stacks: the same set always gives the same object."""

    def __init__(self, position: int) -> None:
        self._position = frozenset({position})
        self._found: dict[int, frozenset[int]] = {}

    def to(self, shared: frozenset[int]) -> frozenset[int]:
        """Give a set of stacks with the position added."""
        if id(shared) not in self._found:
            self._found[id(shared)] = shared | self._position
        return self._found[id(shared)]


def _eaters(unit: int, guests: Sequence[_Guests]) -> list[int]:
    """Give the positions of the classes in which anyone may eat a food."""
    return [c for c, one in enumerate(guests) if unit in one.any_may_eat]
