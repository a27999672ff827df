"""Name the kinds of entry in the ledgers, and who may write them.

Stock changes only by appending an entry. Units on hand are the sum of a lot's entries, and of a
ware's.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import NewType

from daysworth.domain.identifiers import HouseholdId, PlaceId, StoreId

CredentialId = NewType("CredentialId", str)


class EntryKind(StrEnum):
    """What happened to a lot."""

    RECEIVED = "received"
    COUNTED = "counted"
    MOVED = "moved"
    OPENED = "opened"
    REDATED = "redated"
    REPACKED = "repacked"
    SHARED = "shared"
    UNSHARED = "unshared"
    GIVEN = "given"
    RETURNED = "returned"
    EATEN = "eaten"
    QUARANTINED = "quarantined"
    RELEASED = "released"
    DISCARDED = "discarded"
    CORRECTED = "corrected"
    LABEL_READ = "label_read"
    LABEL_SAME = "label_same"
    LABEL_SETTLED = "label_settled"
    PACKED = "packed"
    UNPACKED = "unpacked"
    HANDED_OFF = "handed_off"
    PROMISED = "promised"
    LAPSED = "lapsed"


class WareEntryKind(StrEnum):
    """What happened to a ware. `eaten`: it came back when the kit that it was in was eaten."""

    RECEIVED = "received"
    COUNTED = "counted"
    PACKED = "packed"
    UNPACKED = "unpacked"
    EATEN = "eaten"


class KitState(StrEnum):
    """What became of a kit that was put up."""

    CLOSED = "closed"
    UNPACKED = "unpacked"
    EATEN = "eaten"


class RoundOutcome(StrEnum):
    """What became of something that was due at a round. `given`: handed off, out of the store."""

    EATEN = "eaten"
    GIVEN = "given"
    DISCARDED = "discarded"
    UNPACKED = "unpacked"


class Role(StrEnum):
    """What a credential is for."""

    COORDINATOR = "coordinator"
    VOLUNTEER = "volunteer"
    HOUSEHOLD = "household"
    SCRIPT = "script"


@dataclass(frozen=True, slots=True, kw_only=True)
class Credential:
    """Someone whom a store knows: a role in one store, for a household its own alone.

    `label` is how a coordinator tells credentials apart. `place` is the one place that a link logs
    to.
    """

    id: CredentialId
    store: StoreId
    role: Role
    label: str
    household: HouseholdId | None = None
    place: PlaceId | None = None

    @property
    def signs_as(self) -> str:
        """Give the name under which its deeds stand in the ledger.

        A household's is its id, which stands for nobody once the household is erased.
        """
        return self.label if self.household is None else self.household
