"""Say which homes may eat a food, how many there eat it, and what they need in a day.

A home may eat a food where it suits everybody there whose age it is for, and there is somebody who
needs it. What is not known to suit does not. Water is told by age alone: nobody's needs go by it.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Final

import numpy as np
from numpy.typing import NDArray

from daysworth.domain.ages import Stage
from daysworth.domain.demands import Eater
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId
from daysworth.domain.label_reader import plain_words
from daysworth.domain.needs import daily_need
from daysworth.domain.offers import Offer
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge, apart
from daysworth.domain.verdicts import Verdict
from daysworth.planners.classes import household_water_l
from daysworth.planners.household_fit import table_of
from daysworth.planners.warnings import dislikes_of

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

_STAGES: Final = tuple(Stage)
_FULL_RATION: Final = 1.0


@dataclass(frozen=True, slots=True)
class Eaters:
    """Who eats a food in each home: persons with a need, and their kcal a day; 0 where none may."""

    persons: Floats
    energy_kcal: Floats


class Homes:
    """A store's homes on a date, by id. Each offer is judged once for each demand there is."""

    def __init__(self, snapshot: Snapshot, as_of: date, *, judge: Judge) -> None:
        homes = sorted(snapshot.households, key=lambda home: home.id)
        self.ids: Final = tuple(home.id for home in homes)
        self.water_l: Final[Floats] = np.array(
            [household_water_l(home, snapshot=snapshot, as_of=as_of) for home in homes], dtype=float
        )
        self._judge = judge
        self._needs_kcal = np.zeros((len(homes), len(_STAGES)))
        self._persons = np.zeros((len(homes), len(_STAGES)))
        self._demanding: list[Eater] = []
        self._bound = self._fill(snapshot, as_of)
        each = enumerate(dislikes_of(home, as_of) for home in homes)
        self._dislikes = [(row, dislikes) for row, dislikes in each if dislikes]
        self._disliking: dict[FoodId, Flags] = {}
        self._eaters: dict[Offer, Eaters] = {}

    def _fill(self, snapshot: Snapshot, as_of: date) -> Floats:
        """Count needs and persons; give which demands, each at its age, somebody in a home has."""
        basis = snapshot.settings.needs_basis
        numbers: dict[Eater, int] = {}
        bound: set[tuple[int, int]] = set()
        by_id = {home.id: home for home in snapshot.households}
        for row, id_ in enumerate(self.ids):
            members = {member.id: member for member in by_id[id_].members}
            for member, eater in table_of(by_id[id_], as_of).eaters:
                need = daily_need(members[member], as_of=as_of, basis=basis, ration=_FULL_RATION)
                stage = _STAGES.index(eater.stage)
                self._needs_kcal[row, stage] += need.energy_kcal
                self._persons[row, stage] += not need.is_none
                parts = (numbers.setdefault(part, len(numbers)) for part in apart(eater))
                bound.update((row, number) for number in parts)
        self._demanding.extend(numbers)
        matrix = np.zeros((len(self.ids), len(numbers)))
        for row, number in bound:
            matrix[row, number] = 1
        return matrix

    @property
    def at_table(self) -> Eaters:
        """Give who eats what is on the table, whatever it is."""
        stage = _STAGES.index(Stage.TABLE_FOOD)
        return Eaters(self._persons[:, stage], self._needs_kcal[:, stage])

    def eaters_of(self, offer: Offer) -> Eaters:
        """Give who eats what is offered, in the homes where it suits all of them."""
        if offer not in self._eaters:
            self._eaters[offer] = self._found(offer)
        return self._eaters[offer]

    def disliking(self, food: Food) -> Flags:
        """Tell in which homes somebody does not like a food."""
        if food.id not in self._disliking:
            named = set(plain_words(food.name))
            found = np.zeros(len(self.ids), dtype=bool)
            found[[row for row, dislikes in self._dislikes if _is_among(dislikes, named)]] = True
            self._disliking[food.id] = found
        return self._disliking[food.id]

    def _found(self, offer: Offer) -> Eaters:
        stages = [n for n, stage in enumerate(_STAGES) if self._is_for_age(offer, stage)]
        ages = {_STAGES[n] for n in stages}
        unfit = np.array(
            [one.stage in ages and not self._suits(offer, one) for one in self._demanding],
            dtype=float,
        )
        may_eat = self._bound @ unfit == 0
        return Eaters(
            self._persons[:, stages].sum(axis=1) * may_eat,
            self._needs_kcal[:, stages].sum(axis=1) * may_eat,
        )

    def _is_for_age(self, offer: Offer, stage: Stage) -> bool:
        return not any(reason.is_by_stage for reason in self._judge(offer, Eater(stage)).reasons)

    def _suits(self, offer: Offer, eater: Eater) -> bool:
        return offer.food.is_water or self._judge(offer, eater).verdict is Verdict.SUITABLE


def _is_among(dislikes: Iterable[tuple[str, ...]], named: set[str]) -> bool:
    return any(words and set(words) <= named for words in dislikes)
