"""Keep a plan for packing as it was shown, until somebody packs it or it is too old.

A plan is in no snapshot, so keeping one raises no version.
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from sqlalchemy import Connection, Row, delete, insert, or_, select

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
    """A plan as it was made: on which snapshot, for which place, and the kits it would put up.

    `told` is the answer as a coordinator reads it, `asked_for` the households that it was asked
    for, those too for which no kit can be made.
    """

    snapshot: Snapshot
    place: PlaceId
    kits: Sequence[KitToPack]
    told: str
    asked_for: frozenset[HouseholdId] = frozenset()


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
    told: str
    packed_at: str | None = None
    packed_by: str | None = None


def keep_plan(connection: Connection, made: PlanMade, *, by: Credential, at: datetime) -> KeptPlan:
    """Keep a plan, and let go of the oldest beyond the most.

    To be called in a write that raises no version. Raises NotAsItWas where a household that it
    names has left since.
    """
    store = by.store
    homes = made.asked_for | {kit.household for kit in made.kits if kit.household is not None}
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
        told=made.told,
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
            told=kept.told,
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
    """Take away every plan that names a household, or says its id in any other way."""
    written = (json.dumps(household), json.dumps(household, ensure_ascii=False))
    names_it = (
        column.contains(one, autoescape=True)
        for column in (PACKING_PLAN.c.body, PACKING_PLAN.c.told)
        for one in written
    )
    writing.connection.execute(
        delete(PACKING_PLAN).where(PACKING_PLAN.c.store == writing.store, or_(*names_it))
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
        told=row.told,
        packed_at=row.packed_at,
        packed_by=row.packed_by,
    )
