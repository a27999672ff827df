"""Gather what the several plans of one question have in common."""

from datetime import date
from math import fsum

from daysworth.domain import suitability
from daysworth.domain.identifiers import FoodId
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge
from daysworth.planners.classes import (
    EatingClass,
    Suits,
    Supposing,
    classes_of,
    mouths_of,
    nothing_unknown_suits,
)
from daysworth.planners.question import Question
from daysworth.planners.scenario import Scenario, check_scenario
from daysworth.planners.shelf import DatedLot, dated_lots, is_counted, stacks_of
from daysworth.planners.water import stored_water


class Grounds:
    """One snapshot, day and scenario: who eats, what stands on the shelf, and what suits whom.

    `mean_kcal` is the mean need per member and day, 0 where nobody has a need. Raises
    ScenarioRefused where the scenario names what the store lacks.
    """

    def __init__(
        self,
        snapshot: Snapshot,
        as_of: date,
        *,
        scenario: Scenario,
        judge: Judge = suitability.judge,
    ) -> None:
        check_scenario(scenario, snapshot)
        self.snapshot, self.as_of, self.scenario, self.judge = snapshot, as_of, scenario, judge
        self.dated = dated_lots(snapshot, as_of)
        self.mouths = mouths_of(snapshot, scenario=scenario, as_of=as_of)
        total_kcal = fsum(mouth.energy_kcal for mouth in self.mouths)
        self.mean_kcal = total_kcal / len(self.mouths) if self.mouths else 0.0
        stacks = stacks_of(self.dated, scenario=scenario, as_of=as_of)
        self.suits = Suits(stacks, judge=judge)
        water = stored_water(self.dated, scenario)
        self._keepers = frozenset(stack.kept_by for stack in stacks if stack.kept_by) | frozenset(
            water.kept_l
        )
        self.question = Question(
            stacks,
            None if scenario.running_water else water,
            snapshot.settings.extras_share,
            scenario.horizon_days,
        )

    def classes(self, supposing: Supposing = nothing_unknown_suits) -> tuple[EatingClass, ...]:
        """Pool the members into classes, as if the labels supposed to suit did so."""
        return classes_of(self.mouths, suits=self.suits, keepers=self._keepers, if_suits=supposing)

    def counted(self, food: FoodId) -> list[DatedLot]:
        """List the lots of a food that the scenario can use."""
        lots = (item for item in self.dated if item.lot.food == food)
        return [item for item in lots if is_counted(item, self.scenario)]
