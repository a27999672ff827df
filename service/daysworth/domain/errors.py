"""Name everything the domain can refuse or fail to do.

    DaysworthError
    ├── InputRefused             what was given cannot be used; nothing was changed
    │   ├── DateRefused          a label date that is not a date, or is not of this century
    │   ├── SnapshotRefused      a snapshot that contradicts itself or does not fit the schema
    │   └── ScenarioRefused      a question about a place or a household the store does not have
    └── PlanningFailed           a planner could not prove an answer, so it gives none
        ├── PlanningStopped      the solve was cancelled or ran into its limit
        └── SolverTrouble        the solver ended in a way that proves nothing

The transport decides what each class means to its users: an exit code here, a status elsewhere.
"""

from dataclasses import dataclass


class DaysworthError(Exception):
    """Stand at the root of every error that is meant to be shown to a person."""


class InputRefused(DaysworthError):
    """Say that what was given cannot be used."""


class DateRefused(InputRefused, ValueError):
    """Say that a label's date cannot be read as a date."""


class ScenarioRefused(InputRefused):
    """Say that a question names something the store does not have."""


@dataclass(frozen=True, slots=True)
class Fault:
    """Locate one thing wrong in what was given: `where` in the reader's words, and `what`."""

    where: str
    what: str

    def __str__(self) -> str:
        return f"{self.where}: {self.what}" if self.where else self.what


class SnapshotRefused(InputRefused):
    """Say that a snapshot cannot be used, with every fault that was found (at least one)."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__("; ".join(str(fault) for fault in faults))
        self.faults = faults


class PlanningFailed(DaysworthError):
    """Say that no answer was proved, so none is given."""


class PlanningStopped(PlanningFailed):
    """Say that the solve was cancelled, or ran into its limit, before it had proved an answer."""


class SolverTrouble(PlanningFailed):
    """Say that the solver ended without a proof: infeasible, unbounded or numerical trouble."""
