"""Keep that a coordinator has seen a warning, and why it was answered for. The first one stands.

A warning is never switched off by it. It is in no snapshot; it is written like any other change
all the same, in a transaction that raises the version, so that an answer which tells of warnings
is told apart from the one before.
"""

from collections import defaultdict
from dataclasses import dataclass

from sqlalchemy import Row, insert, select

from daysworth.db.people_kept import Kept
from daysworth.db.tables import ACKNOWLEDGEMENT, HOUSEHOLD
from daysworth.db.transactions import Reading, Writing, new_id
from daysworth.domain.errors import NotThere
from daysworth.domain.identifiers import FoodId, HouseholdId


@dataclass(frozen=True, slots=True, kw_only=True)
class Acknowledged:
    """Who answered for a warning, when, and why; `food` None: it is about no one food."""

    warning: str
    food: FoodId | None
    why: str
    by: str
    at: str


def acknowledge(
    writing: Writing, household: HouseholdId, *, warning: str, food: FoodId | None, why: str
) -> Acknowledged:
    """Acknowledge a warning for a household, unless it was before: then that one stands.

    Raises NotThere for a household that is not in the store.
    """
    there = select(HOUSEHOLD.c.id).where(
        HOUSEHOLD.c.store == writing.store, HOUSEHOLD.c.id == household
    )
    if writing.connection.execute(there).first() is None:
        raise NotThere(f"there is no household {household!r} in this store")
    before = acknowledged(writing, household).get(warning)
    if before is not None:
        return before
    made = Acknowledged(
        warning=warning, food=food, why=why, by=writing.by.signs_as, at=writing.instant
    )
    writing.connection.execute(
        insert(ACKNOWLEDGEMENT).values(
            store=writing.store,
            id=new_id("A"),
            household=household,
            warning=warning,
            food=food,
            why=why,
            by=made.by,
            credential=writing.by.id,
            at=made.at,
        )
    )
    return made


def acknowledged(reading: Reading | Writing, household: HouseholdId) -> dict[str, Acknowledged]:
    """Give a household's acknowledgements by their warning."""
    chosen = select(ACKNOWLEDGEMENT).where(
        ACKNOWLEDGEMENT.c.store == reading.store, ACKNOWLEDGEMENT.c.household == household
    )
    return {row.warning: _acknowledged(row) for row in reading.connection.execute(chosen)}


def all_acknowledged(reading: Reading) -> dict[HouseholdId, dict[str, Acknowledged]]:
    """Give every household's acknowledgements by their warning."""
    chosen = select(ACKNOWLEDGEMENT).where(ACKNOWLEDGEMENT.c.store == reading.store)
    found: dict[HouseholdId, dict[str, Acknowledged]] = defaultdict(dict)
    for row in reading.connection.execute(chosen):
        found[HouseholdId(row.household)][row.warning] = _acknowledged(row)
    return dict(found)


def _acknowledged(row: Row[tuple[Kept, ...]]) -> Acknowledged:
    return Acknowledged(
        warning=row.warning,
        food=None if row.food is None else FoodId(row.food),
        why=row.why,
        by=row.by,
        at=row.at,
    )
