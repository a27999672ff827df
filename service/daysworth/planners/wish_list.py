"""Say what to bring: the least of candidate foods that feeds everyone for a target of days.

For everyone, the least mass (or units, or cost) of candidates in whole units so that everyone-fed
days `T*` reach the target. For one household, the least so that there is a plan in which its
members are fed for the target while everybody else keeps the days of the fair plan; what is brought
is kept for that household and suits somebody in it.

Where some class cannot reach the target however much is brought, it is named, and the list is the
least with which it has the days that it can have and all others the target (`wish_aims`).

A list is given out only when the store with it added has been planned again and has those days. It
is found by a program that asks for no more than is needed (`wish_program`), which proves a bound as
well: no list weighs less. A list as light as its bound is a least one; a long list may be above it
by a thousandth at most, and says so.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from math import fsum
from typing import Final

from daysworth.domain import suitability
from daysworth.domain.errors import SolverTrouble
from daysworth.domain.identifiers import HouseholdId, LotId, PlaceId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Lot, Place
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge
from daysworth.planners import stopping
from daysworth.planners.grounds import Grounds
from daysworth.planners.proving import everyone, fairest
from daysworth.planners.scenario import Scenario
from daysworth.planners.wish_aims import Lacking, aims_of, with_brought
from daysworth.planners.wish_at_home import SAME, Seats, longest_at_home
from daysworth.planners.wish_candidates import Candidate, Wish, candidates_of, check_wish
from daysworth.planners.wish_dates import broken_days
from daysworth.planners.wish_program import Brought, Wanted, WishProgram

_FIRST_HAIR: Final = 1e-8
_LAST_HAIR: Final = 2e-6
_MORE: Final = (0.0, 1e-7, 1e-6, 1e-5)
"""By how much more is asked for, relative to the target, while rounding lets a list fall short."""
NEXT_TO_NOTHING: Final = 1e-3
"""By how much of its amount, at most, a list given out may be above its proved bound."""


class WishOutcome(StrEnum):
    """How a wish ended.

    `met`: the target is reached with nothing added. `listed`: it is reached with the list.
    `some_lack`: the list feeds all others, and no candidate is enough for some, who are named.
    """

    MET = "met"
    LISTED = "listed"
    SOME_LACK = "some_lack"


@dataclass(frozen=True, slots=True)
class WishLine:
    """So many whole units of one food, each in its usual package."""

    candidate: Candidate
    units: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WishList:
    """What to bring, by the foods' ids, and the days before and with it.

    `amount` is the kilograms, units or money of the list, as the wish says, and `bound` what no
    list that is enough can weigh less than. Days are the least of all who are wished for; None:
    none of them has a need.
    """

    as_of: date
    scenario: Scenario
    wish: Wish
    outcome: WishOutcome
    days_before: float | None
    days_after: float | None
    lines: tuple[WishLine, ...] = ()
    amount: float = 0.0
    bound: float = 0.0
    lacking: tuple[Lacking, ...] = ()

    @property
    def is_least(self) -> bool:
        """Tell whether it is proved that no list that is enough weighs less."""
        return self.amount <= self.bound + SAME * max(1.0, self.bound)


def wish_list(
    snapshot: Snapshot,
    as_of: date,
    *,
    scenario: Scenario | None = None,
    wish: Wish | None = None,
    judge: Judge = suitability.judge,
) -> WishList:
    """Find what to bring to a store, from a date on, which is day 1.

    Raises ScenarioRefused where the wish or the scenario names what is not there, or the target is
    past the horizon; PlanningFailed where no answer could be proved.
    """
    asked, wished = scenario or Scenario(), wish or Wish()
    grounds = Grounds(snapshot, as_of, scenario=asked, judge=judge)
    check_wish(wished, snapshot, scenario=asked)
    candidates = candidates_of(snapshot, as_of, scenario=asked, wish=wished)
    aims = aims_of(grounds, wished, candidates=candidates, judge=judge)
    if aims.wanted is None:
        met, before = WishOutcome.MET, aims.days_before
        return _answer(grounds, wished, outcome=met, days_before=before, days_after=before)
    found = _Search(grounds, wished, wanted=aims.wanted, judge=judge).found()
    return _answer(
        grounds,
        wished,
        outcome=WishOutcome.SOME_LACK if aims.lacking else WishOutcome.LISTED,
        days_before=aims.days_before,
        days_after=found.days,
        lines=found.lines,
        amount=fsum(line.units * line.candidate.amount for line in found.lines),
        bound=found.bound,
        lacking=aims.lacking,
    )


def _answer(grounds: Grounds, wish: Wish, **found: object) -> WishList:
    return WishList(as_of=grounds.as_of, scenario=grounds.scenario, wish=wish, **found)  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True)
class _Found:
    lines: tuple[WishLine, ...]
    bound: float
    days: float


class _Search:
    """Look for the least that is enough, from below, until a plan with it is proved."""

    def __init__(self, grounds: Grounds, wish: Wish, *, wanted: Wanted, judge: Judge) -> None:
        self._grounds, self._wish, self._judge = grounds, wish, judge
        self._wanted = wanted
        self._kept: frozenset[int] = frozenset()
        self._more, self._hair = 0.0, 0.0

    def found(self) -> _Found:
        """Give the first list that is enough; what was asked for less proves the bound."""
        bound = 0.0
        for self._more in _MORE:
            for brought in self._lists():
                if not self._more:
                    bound = max(bound, brought.bound)
                units = brought.rounded_up()
                days = self._days_with(units)
                if days is not None:
                    return _Found(self._lines(units), bound, days)
        raise SolverTrouble("no wish list could be shown to be enough")

    def _lists(self) -> Iterator[Brought]:
        """Give lists that break no day, splitting who pools what is too poor for some of them.

        A list in parts of units is rounded up where that costs next to nothing.
        """
        while True:
            brought = self._solved(is_whole=False)
            if self._weight(brought.rounded_up()) > brought.bound * (1 + NEXT_TO_NOTHING):
                brought = self._solved(is_whole=True)
            yield brought
            if not self._split(brought):
                return

    def _weight(self, units: Sequence[int]) -> float:
        candidates = (*self._wanted.foods, *self._wanted.waters)
        return fsum(n * one.amount for one, n in zip(candidates, units, strict=True))

    def _asking(self) -> Wanted:
        wanted, target = self._wanted, self._wish.target_days
        more, less = 1 + self._more, 1 - self._hair
        most = float(wanted.question.horizon_days)
        days = (min(days * more, most) if days == target else days * less for days in wanted.days)
        return replace(wanted, days=tuple(days))

    def _solved(self, *, is_whole: bool) -> Brought:
        """Solve, holding the days that a plan breaks, until a plan breaks none.

        Days that cannot be more are proved to a hair: where no plan has quite those, they are taken
        to be a hair fewer.
        """
        while True:
            stopping.check()
            wanted = self._asking()
            brought = WishProgram(wanted, kept=self._kept, is_whole=is_whole).solve()
            if brought is None:
                self._hair = max(self._hair * 10, _FIRST_HAIR)
                if self._hair > _LAST_HAIR:
                    raise SolverTrouble("nothing that is brought was enough, and then it was")
                continue
            needs = [one.energy_kcal / wanted.mean_kcal for one in wanted.classes]
            broken = broken_days(brought.portions, needs=needs, days=wanted.days)
            if not broken - self._kept:
                return brought
            self._kept |= broken

    def _split(self, brought: Brought) -> bool:
        """Split the classes whose share is too poor in protein for some; tell whether any is."""
        energy, protein = self._eaten(brought)
        mean = self._wanted.mean_kcal
        densities = [p / e / mean if e > 0 else 0.0 for p, e in zip(protein, energy, strict=True)]
        return self._seat(Seats(self._wanted.classes, self._wanted.days).split(densities))

    def _seat(self, seats: Seats) -> bool:
        is_split = len(seats.classes) > len(self._wanted.classes)
        self._wanted = replace(self._wanted, classes=seats.classes, days=seats.least)
        return is_split

    def _eaten(self, brought: Brought) -> tuple[list[float], list[float]]:
        energy = [0.0] * len(self._wanted.classes)
        protein = [0.0] * len(self._wanted.classes)
        for portion in brought.portions:
            for c, eaten in portion.eaten:
                energy[c] += eaten
                protein[c] += eaten * portion.protein_g
        return energy, protein

    def _lines(self, units: Sequence[int]) -> tuple[WishLine, ...]:
        candidates = (*self._wanted.foods, *self._wanted.waters)
        lines = [WishLine(*one) for one in zip(candidates, units, strict=True) if one[1] > 0]
        return tuple(sorted(lines, key=lambda line: line.candidate.food.id))

    def _days_with(self, units: Sequence[int]) -> float | None:
        """Plan again with a list added, and give the days; None: they fall short."""
        home = self._wish.household
        if home is not None:
            return self._days_at_home(units, home=home)
        snapshot = with_lots(self._grounds.snapshot, self._lines(units))
        grounds = Grounds(
            snapshot, self._grounds.as_of, scenario=self._grounds.scenario, judge=self._judge
        )
        mean = grounds.mean_kcal
        if all(days == self._wish.target_days for days in self._wanted.days):
            least = everyone(grounds.question, grounds.classes(), mean_kcal=mean).least or 0.0
            return least if least >= self._wish.target_days * (1 - SAME) else None
        wanted = zip(self._wanted.classes, self._wanted.days, strict=True)
        aims = {mouth: days for one, days in wanted for mouth in one.mouths}
        fair = fairest(grounds.question, grounds.classes(), mean_kcal=mean)
        are_fed = all(
            one.days >= aims[mouth] * (1 - SAME - self._hair)
            for one in fair.classes
            for mouth in one.members.mouths
        )
        return fair.least if are_fed else None

    def _days_at_home(self, units: Sequence[int], *, home: HouseholdId) -> float | None:
        wanted = self._wanted
        least = tuple(days * (1 - SAME - self._hair) for days in wanted.days)
        question, classes = with_brought(wanted, units)
        try:
            _, reached = longest_at_home(
                question, Seats(classes, least), home=home, mean_kcal=wanted.mean_kcal
            )
        except SolverTrouble:
            # There is no plan in which all of them have their days.
            return None
        return min(one.days for one in reached if one.members.keeper == home)


def with_lots(snapshot: Snapshot, lines: Sequence[WishLine]) -> Snapshot:
    """Put a list on the shelf: shared lots, good to the day that each candidate keeps."""
    there = {food.id for food in snapshot.foods}
    foods = tuple(line.candidate.food for line in lines if line.candidate.food.id not in there)
    place = Place(id=PlaceId(_unused("brought", {one.id for one in snapshot.places})), name="x")
    lots_there = {lot.id for lot in snapshot.lots}
    lots = tuple(
        Lot(
            id=LotId(_unused(f"brought-{n}", lots_there)),
            food=line.candidate.food.id,
            place=place.id,
            units=line.units,
            # Nobody's grace lengthens a use-by date.
            label_kind=LabelKind.USE_BY,
            printed=line.candidate.last_good_day.isoformat(),
        )
        for n, line in enumerate(lines)
    )
    return replace(
        snapshot,
        foods=(*snapshot.foods, *foods),
        places=(*snapshot.places, place),
        lots=(*snapshot.lots, *lots),
    )


def _unused(id_: str, used: set[str] | set[LotId] | set[PlaceId]) -> str:
    while id_ in used:
        id_ += "-"
    return id_
