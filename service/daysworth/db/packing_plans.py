"""Keep a plan for packing as it was shown, until somebody packs it or it is too old.

A plan is in no snapshot, so keeping one raises no version.
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from sqlalchemy import Connection, Row, delete, insert, select

from daysworth.db.kept_exports import has_all
from daysworth.db.kit_facts import plan_facts
from daysworth.db.pattern_kept import kits_from, kits_text
from daysworth.db.people_kept import Kept
from daysworth.db.tables import PACKING_PLAN
from daysworth.db.transactions import Reading, Writing, kept_instant, new_id
from daysworth.domain.entries import Credential
from daysworth.domain.errors import NotAsItWas, NotThere
from daysworth.domain.identifiers import HouseholdId, PlaceId
from daysworth.domain.meal_kits import KitToPack
from daysworth.domain.snapshot import Snapshot

MOST_UNPACKED: Final = 100
"""Plans of one store that nobody packed yet; the oldest goes first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanMade:
    """A plan as it was made: on which snapshot, for which place, and the kits it would put up."""

    snapshot: Snapshot
    place: PlaceId
    kits: Sequence[KitToPack]


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPlan:
    """A plan as it is kept. `version` is that of the snapshot it was made on."""

    id: str
    version: int
    made_at: str
    made_by: str
    place: PlaceId
    kits: tuple[KitToPack, ...]
    facts: str
    packed_at: str | None = None
    packed_by: str | None = None


def keep_plan(connection: Connection, made: PlanMade, *, by: Credential, at: datetime) -> KeptPlan:
    """Keep a plan, and let go of the oldest beyond the most.

    To be called in a write that raises no version. Raises NotAsItWas where a household that it
    names has left since.
    """
    store = by.store
    homes = {kit.household for kit in made.kits if kit.household is not None}
    if not has_all(connection, store, homes=homes):
        raise NotAsItWas("a household has left since this was planned: plan again")
    kept = KeptPlan(
        id=new_id("N"),
        version=made.snapshot.version,
        made_at=kept_instant(at),
        made_by=by.signs_as,
        place=made.place,
        kits=tuple(made.kits),
        facts=plan_facts(made.snapshot, made.kits),
    )
    connection.execute(
        insert(PACKING_PLAN).values(
            store=store,
            id=kept.id,
            version=kept.version,
            made_at=kept.made_at,
            made_by=kept.made_by,
            place=kept.place,
            body=kits_text(kept.kits),
            facts=kept.facts,
        )
    )
    unpacked = select(PACKING_PLAN.c.id).where(
        PACKING_PLAN.c.store == store, PACKING_PLAN.c.packed_at.is_(None)
    )
    newest_first = unpacked.order_by(PACKING_PLAN.c.made_at.desc(), PACKING_PLAN.c.id)
    gone = list(connection.scalars(newest_first.offset(MOST_UNPACKED)))
    connection.execute(
        delete(PACKING_PLAN).where(PACKING_PLAN.c.store == store, PACKING_PLAN.c.id.in_(gone))
    )
    return kept


def read_plan(reading: Reading | Writing, plan: str) -> KeptPlan:
    """Read a plan, a packed one too. Raises NotThere."""
    chosen = select(PACKING_PLAN).where(
        PACKING_PLAN.c.store == reading.store, PACKING_PLAN.c.id == plan
    )
    row = reading.connection.execute(chosen).first()
    if row is None:
        raise NotThere(f"there is no plan {plan!r} any more: plan again")
    return _plan(row)


def forget_plans_of(writing: Writing, household: HouseholdId) -> None:
    """Take away every plan that names a household."""
    chosen = select(PACKING_PLAN).where(
        PACKING_PLAN.c.store == writing.store,
        PACKING_PLAN.c.body.contains(json.dumps(household), autoescape=True),
    )
    named = [
        row.id
        for row in writing.connection.execute(chosen).all()
        if any(kit.household == household for kit in kits_from(row.body))
    ]
    writing.connection.execute(
        delete(PACKING_PLAN).where(
            PACKING_PLAN.c.store == writing.store, PACKING_PLAN.c.id.in_(named)
        )
    )


def _plan(row: Row[tuple[Kept, ...]]) -> KeptPlan:
    return KeptPlan(
        id=row.id,
        version=row.version,
        made_at=row.made_at,
        made_by=row.made_by,
        place=PlaceId(row.place),
        kits=kits_from(row.body),
        facts=row.facts,
        packed_at=row.packed_at,
        packed_by=row.packed_by,
    )
