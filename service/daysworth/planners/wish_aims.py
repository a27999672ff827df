"""Say who a wish list is to feed for how many days, and whom no candidate can help.

For everyone, each class is to have the target, or, where the fair plan gives it less with as much
of every candidate as anybody could eat, those days. For one household, each of its classes is to
have the target, or what it has in the plan that feeds its members longest in sum with as much as
they could eat; everybody else keeps the days of the fair plan as it is.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import fsum
from typing import Final

from daysworth.domain.foods import Food
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.suitability import Judge
from daysworth.planners.classes import EatingClass, Suits, classes_of
from daysworth.planners.grounds import Grounds
from daysworth.planners.proving import ClassDays, everyone, fairest
from daysworth.planners.question import Question, Water
from daysworth.planners.wish_at_home import SAME, Seats, by_ratio, longest_at_home
from daysworth.planners.wish_candidates import (
    Candidate,
    Wish,
    lightest_water,
    worth_weighing,
)
from daysworth.planners.wish_program import Wanted

_HAIR: Final = 1e-9
"""By how much less is asked for of days that cannot be more, so that rounding leaves a plan."""


@dataclass(frozen=True, slots=True)
class Lacking:
    """A class that cannot reach the target, for how many days it could eat at most, and why not.

    `may_suit` are the foods among the candidates whose own label may prove that they suit it.
    """

    members: EatingClass
    days: float
    may_suit: tuple[Food, ...]


@dataclass(frozen=True, slots=True)
class Aims:
    """The days before anything is brought, and what is wanted; None: the target is met already.

    `days_before` None: nobody who is wished for has a need.
    """

    days_before: float | None
    wanted: Wanted | None = None
    lacking: tuple[Lacking, ...] = ()


def aims_of(grounds: Grounds, wish: Wish, *, candidates: Sequence[Candidate], judge: Judge) -> Aims:
    """Find what a wish asks for, over a store as it is."""
    home = wish.household
    if home is None:
        before = _everyones_days(grounds, grounds.question)
        others: tuple[ClassDays, ...] = ()
    else:
        before, others = _days_at_home(grounds, home)
    if before is None or before >= wish.target_days * (1 - SAME):
        return Aims(before)
    aims = _Aims(grounds, wish, others=others, judge=judge)
    return aims.found(candidates, before=before)


def _everyones_days(grounds: Grounds, question: Question) -> float | None:
    return everyone(question, grounds.classes(), mean_kcal=grounds.mean_kcal).least


def _days_at_home(
    grounds: Grounds, home: HouseholdId
) -> tuple[float | None, tuple[ClassDays, ...]]:
    """Give the fewest fair days of a household's classes, and the days of everybody else's."""
    classes = classes_of(
        grounds.mouths, suits=grounds.suits, keepers=keepers_of(grounds.question, home=home)
    )
    fair = fairest(grounds.question, classes, mean_kcal=grounds.mean_kcal)
    own = [one.days for one in fair.classes if one.members.keeper == home]
    others = tuple(one for one in fair.classes if one.members.keeper != home)
    return min(own, default=None), others


def keepers_of(question: Question, *, home: HouseholdId | None = None) -> frozenset[HouseholdId]:
    """Name the households whose members are classes of their own."""
    own = {stack.kept_by for stack in question.stacks} | {home}
    water = () if question.water is None else question.water.kept_l
    return frozenset(keeper for keeper in (*own, *water) if keeper is not None)


class _Aims:
    """One wish over one store."""

    def __init__(
        self, grounds: Grounds, wish: Wish, *, others: tuple[ClassDays, ...], judge: Judge
    ) -> None:
        self._grounds, self._wish, self._judge = grounds, wish, judge
        self._others = others
        self._keepers = keepers_of(grounds.question, home=wish.household)

    def found(self, candidates: Sequence[Candidate], *, before: float) -> Aims:
        """Find whom the candidates can feed for how long."""
        foods = tuple(one for one in candidates if not one.food.is_water)
        classes = self._classes(self._suits(foods))
        first = len(self._grounds.question.stacks)
        worth = worth_weighing(
            [
                (one, frozenset(c for c, had in enumerate(classes) if first + p in had.suits))
                for p, one in enumerate(foods)
            ]
        )
        wanted = Wanted(
            question=self._grounds.question,
            classes=self._classes(self._suits([one for one, _ in worth])),
            days=(),
            foods=tuple(one for one, _ in worth),
            waters=lightest_water(one for one in candidates if one.food.is_water),
            household=self._wish.household,
            mean_kcal=self._grounds.mean_kcal,
        )
        reached = self._reached(wanted)
        days, lacking = self._aimed(reached)
        wanted = replace(wanted, classes=tuple(one.members for one in reached), days=days)
        return Aims(before, wanted, self._lacking(lacking, foods=foods))

    def _suits(self, foods: Sequence[Candidate]) -> Suits:
        brought = (one.stack(units=1.0, kept_by=self._wish.household) for one in foods)
        return Suits((*self._grounds.question.stacks, *brought), judge=self._judge)

    def _classes(self, suits: Suits) -> tuple[EatingClass, ...]:
        """Give the classes with the candidates on the shelf; a household's own come last."""
        home = self._wish.household
        mouths = [one for one in self._grounds.mouths if home is None or one.household == home]
        own = classes_of(mouths, suits=suits, keepers=self._keepers)
        if home is not None:
            own = tuple(part for one in own for part in by_ratio(one))
        return (*(one.members for one in self._others), *own)

    def _reached(self, wanted: Wanted) -> tuple[ClassDays, ...]:
        """Give every class its days with as much brought as anybody could eat."""
        plenty = with_plenty(wanted)
        mean = wanted.mean_kcal
        if self._wish.household is None:
            return tuple(fairest(plenty, wanted.classes, mean_kcal=mean).classes)
        return self._reached_at_home(plenty, wanted, home=self._wish.household)

    def _reached_at_home(
        self, plenty: Question, wanted: Wanted, *, home: HouseholdId
    ) -> tuple[ClassDays, ...]:
        floors = {id(one.members): one.days * (1 - _HAIR) for one in self._others}
        seats = Seats(wanted.classes, tuple(floors.get(id(one), 0.0) for one in wanted.classes))
        seats, reached = longest_at_home(plenty, seats, home=home, mean_kcal=wanted.mean_kcal)
        return tuple(
            one if one.members.keeper == home else ClassDays(one.members, least)
            for one, least in zip(reached, seats.least, strict=True)
        )

    def _aimed(
        self, reached: Sequence[ClassDays]
    ) -> tuple[tuple[float, ...], tuple[ClassDays, ...]]:
        """Give the days that each class is to have, and the classes that fall short."""
        target, home = self._wish.target_days, self._wish.household
        days, lacking = [], []
        for one in reached:
            if home is not None and one.members.keeper != home:
                days.append(one.days)
            elif one.days >= target * (1 - SAME):
                days.append(target)
            else:
                days.append(one.days * (1 - _HAIR))
                lacking.append(one)
        return tuple(days), tuple(lacking)

    def _lacking(
        self, short: Sequence[ClassDays], *, foods: Sequence[Candidate]
    ) -> tuple[Lacking, ...]:
        if not short:
            return ()
        suits = self._suits(foods)
        first = len(self._grounds.question.stacks)
        found = []
        for one in short:
            unread = [suits.unknown(mouth.eater, mouth.household) for mouth in one.members.mouths]
            may_suit = frozenset.intersection(*unread)
            named = tuple(food.food for p, food in enumerate(foods) if first + p in may_suit)
            found.append(Lacking(one.members, one.days, named))
        return tuple(found)


def with_plenty(wanted: Wanted) -> Question:
    """Add as much of every candidate as all could eat and drink until the horizon."""
    question = wanted.question
    kcal = fsum(one.energy_kcal for one in wanted.classes) * question.horizon_days
    foods = {p: kcal / one.food.energy_kcal() for p, one in enumerate(wanted.foods)}
    wettest = max(
        (
            stack.water_l / stack.energy_kcal
            for stack in (
                *question.stacks,
                *(one.stack(units=1.0, kept_by=None) for one in wanted.foods),
            )
        ),
        default=0.0,
    )
    drunk = fsum(one.water_l for one in wanted.classes) * question.horizon_days
    litres = drunk + wettest * kcal if wanted.waters else 0.0
    return _with(wanted, foods, litres=litres)


def with_brought(wanted: Wanted, units: Sequence[int]) -> tuple[Question, tuple[EatingClass, ...]]:
    """Add whole units of each food, then of each water, to what is on the shelf of a household.

    Gives the question, and the classes with their positions in it: what is not brought is no stack.
    """
    first = len(wanted.question.stacks)
    chosen = [p for p in range(len(wanted.foods)) if units[p] > 0]
    positions = {first + p: first + n for n, p in enumerate(chosen)}
    waters = zip(units[len(wanted.foods) :], wanted.waters, strict=True)
    foods = tuple(wanted.foods[p] for p in chosen)
    question = _with(
        replace(wanted, foods=foods),
        {n: float(units[p]) for n, p in enumerate(chosen)},
        litres=fsum(n * one.stored_water_l for n, one in waters),
    )
    return question, tuple(_moved(one, positions, first=first) for one in wanted.classes)


def _moved(one: EatingClass, positions: Mapping[int, int], *, first: int) -> EatingClass:
    if not any(position >= first for position in one.own):
        return one
    here = (positions.get(position, -1) if position >= first else position for position in one.own)
    return replace(one, own=frozenset(position for position in here if position >= 0))


def _with(wanted: Wanted, units: Mapping[int, float], *, litres: float) -> Question:
    """Add stacks in the candidates' order, one for each, so that positions stay as they are."""
    question, home = wanted.question, wanted.household
    brought = (one.stack(units=units[p], kept_by=home) for p, one in enumerate(wanted.foods))
    water = question.water
    if water is not None and home is None:
        water = Water(water.shared_l + litres, water.kept_l)
    elif water is not None and home is not None:
        own_l = water.kept_l.get(home, 0.0) + litres
        water = Water(water.shared_l, {**water.kept_l, home: own_l})
    return replace(question, stacks=(*question.stacks, *brought), water=water)
