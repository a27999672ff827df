"""Show time: what is eaten on which day from today, and how the store stands later if nobody eats.

The first is `schedule`, from the fair plan of the as-of date; the second is `cliff`.
"""

from dataclasses import dataclass
from datetime import date

from daysworth.domain import suitability
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import Judge
from daysworth.planners.cliff import DEFAULT_MONTHS, Cliff, plan_cliff
from daysworth.planners.grounds import Grounds
from daysworth.planners.proving import fairest
from daysworth.planners.scenario import Scenario
from daysworth.planners.schedule import ClassSchedule, schedules


@dataclass(frozen=True, slots=True)
class Timeline:
    """The schedule of each class from the as-of date, and the points as the dates go by."""

    as_of: date
    scenario: Scenario
    cliff: Cliff
    classes: tuple[ClassSchedule, ...]


def plan_timeline(
    snapshot: Snapshot,
    as_of: date,
    *,
    scenario: Scenario | None = None,
    months: int = DEFAULT_MONTHS,
    judge: Judge = suitability.judge,
) -> Timeline:
    """Plan the schedule as of a date, which is day 1, and the points of so many months after it.

    Raises ScenarioRefused where the scenario names what the store lacks or the months are not 1 to
    24, PlanningFailed where no answer could be proved.
    """
    grounds = Grounds(snapshot, as_of, scenario=scenario or Scenario(), judge=judge)
    planned = fairest(grounds.question, grounds.classes(), mean_kcal=grounds.mean_kcal)
    cliff = plan_cliff(grounds, planned, months=months)
    return Timeline(as_of, grounds.scenario, cliff, schedules(grounds, planned))
