"""Name everything the domain can refuse or fail to do.

    DaysworthError
    ├── InputRefused             what was given cannot be used; nothing was changed
    │   ├── DateRefused          a label date that is not a date, or is not of this century
    │   ├── FieldsRefused        some fields cannot be used, each named with what is wrong
    │   │   └── SnapshotRefused  a snapshot that contradicts itself or does not fit the schema
    │   ├── ScenarioRefused      a question about a place or a household the store does not have
    │   ├── BarcodeRefused       digits that are no GS1 number or element string
    │   └── KeyUsed              a key that was used for another request
    ├── StoreRefused             the store as it stands does not allow what was asked
    │   ├── NotThere             it has no such thing, or none that the asker may see
    │   ├── StockRefused         too few units, another place, a lot that was opened already
    │   ├── PartnerHeld          promises to a partner stand in the way, or it is one too many
    │   ├── NotAsItWas           it was changed since the asker looked
    │   ├── StoreOccupied        an import into a store that holds something already
    │   └── StoreUnsound         what it holds, or this machine's clock, makes no snapshot
    ├── AccessRefused            nobody whom the store knows
    │   ├── NotAllowed           somebody it knows, who may not do this
    │   └── SignInsTooMany       so many sign-ins failed that the next must wait
    ├── StoreBusy                the database did not come free in time; nothing was changed
    ├── PlannersBusy             as many questions wait to be planned as may; nothing was planned
    ├── SchemaBehind             the database has not the tables of this release
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


class FieldsRefused(InputRefused):
    """Say that what was given cannot be used, with every fault that was found (at least one)."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__("; ".join(str(fault) for fault in faults))
        self.faults = faults


class SnapshotRefused(FieldsRefused):
    """Say that a snapshot cannot be used, with every fault that was found (at least one)."""


class BarcodeRefused(InputRefused):
    """Say that what was scanned is no GS1 number and no GS1 element string."""


class KeyUsed(InputRefused):
    """Say that an idempotency key was used before, for a request that was not the same."""


class StoreRefused(DaysworthError):
    """Say that the store, as it stands, does not allow what was asked; nothing was changed."""


class NotThere(StoreRefused):
    """Say that the store has no such thing, or none that the asker may see."""


class StockRefused(StoreRefused):
    """Say that the stock does not allow it: too few units, another place, opened already."""


class PartnerHeld(StoreRefused):
    """Say that open promises to a partner stand in the way, or that it is one too many."""


class NotAsItWas(StoreRefused):
    """Say that what was to be changed has been changed since the asker looked."""


class StoreOccupied(StoreRefused):
    """Say that an import needs a store that holds nothing yet."""


class StoreUnsound(StoreRefused):
    """Say that what the store holds makes no snapshot, or that this machine's clock is wrong."""


class AccessRefused(DaysworthError):
    """Say that a credential is none that the store knows, has expired or was revoked."""


class NotAllowed(AccessRefused):
    """Say that a credential is known, and that its role may not do this."""


class SignInsTooMany(AccessRefused):
    """Say that so many sign-ins failed of late that the next must wait."""


class StoreBusy(DaysworthError):
    """Say that the database did not come free in time; nothing was changed."""


class PlannersBusy(DaysworthError):
    """Say that so many questions wait to be planned that this one was not taken.

    `retry_after_s` is in how many seconds it may be, whole and 1 or more.
    """

    def __init__(self, text: str, *, retry_after_s: int) -> None:
        super().__init__(text)
        self.retry_after_s = retry_after_s


class SchemaBehind(DaysworthError):
    """Say that the database has not the tables of this release."""


class PlanningFailed(DaysworthError):
    """Say that no answer was proved, so none is given."""


class PlanningStopped(PlanningFailed):
    """Say that the solve was cancelled, or ran into its limit, before it had proved an answer.

    `at_least` and `at_most` are the days for everyone that were proved on the way, finite numbers;
    None where nothing was proved.
    """

    def __init__(
        self, text: str, *, at_least: float | None = None, at_most: float | None = None
    ) -> None:
        super().__init__(text)
        self.at_least = at_least
        self.at_most = at_most


class SolverTrouble(PlanningFailed):
    """Say that the solver ended without a proof: infeasible, unbounded or numerical trouble."""
