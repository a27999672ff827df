"""Plan the packing of kits for a store in the database, and tell of plans that were kept."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import partial

from sqlalchemy import Engine

from daysworth.answers.kept_snapshots import KeptSnapshots
from daysworth.answers.kit_made import answer_kit_plan
from daysworth.answers.kit_plan import (
    KitPlanAnswer,
    kit_plan_from,
    kit_plan_json,
    kit_plan_seen_by,
)
from daysworth.answers.planning_pool import ToPlan, to_plan
from daysworth.answers.store_kits import parcel_numbers
from daysworth.db.packing_plans import KeptPlan, PlanMade, read_plan
from daysworth.db.stores import read_store
from daysworth.db.transactions import Reading, day_there, read
from daysworth.domain.built_in_patterns import built_in_patterns
from daysworth.domain.entries import Credential
from daysworth.domain.errors import Fault, FieldsRefused
from daysworth.domain.identifiers import HouseholdId, PatternId, PlaceId, StoreId
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.packing_kinds import PackAsked


@dataclass(frozen=True, slots=True, kw_only=True)
class KindAsked:
    """So many kits by a pattern, for a household or for a number of persons."""

    pattern: PatternId
    wanted: int
    household: HouseholdId | None = None
    persons: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PackingAsked:
    """What makes two plans the same."""

    store: StoreId
    version: int
    as_of: date
    kinds: tuple[KindAsked, ...]
    place: PlaceId


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanToKeep:
    """A plan as it was made, to be kept, and as a reader is told of it."""

    made: PlanMade
    answer: KitPlanAnswer

    def told(self, kept: KeptPlan) -> KitPlanAnswer:
        """Tell of it once it is kept."""
        return replace(self.answer, plan=kept.id)


class PackingOffice:
    """Plans kits, from one database."""

    def __init__(self, engine: Engine, *, snapshots: KeptSnapshots) -> None:
        self._engine = engine
        self._snapshots = snapshots

    def plan(
        self,
        reader: Credential,
        kinds: Sequence[KindAsked],
        *,
        place: PlaceId,
        at: datetime,
    ) -> ToPlan[PlanToKeep]:
        """Plan kits that are to stand in a place.

        Raises NotThere; planning raises FieldsRefused for a pattern or a place that is not there,
        ScenarioRefused, StoreUnsound and PlanningFailed.
        """

        def ask(reading: Reading) -> PackingAsked:
            kept = read_store(reading)
            return PackingAsked(
                store=kept.id,
                version=kept.version,
                as_of=day_there(kept.settings, at=at),
                kinds=tuple(kinds),
                place=place,
            )

        asked = read(self._engine, ask, store=reader.store)

        def tell(found: PlanToKeep) -> PlanToKeep:
            return replace(found, answer=kit_plan_seen_by(reader, found.answer))

        return to_plan(asked, compute=partial(self._compute, asked, at=at), tell=tell)

    def kept(self, reader: Credential, plan: str) -> KitPlanAnswer:
        """Tell of a plan that was kept, as it was made. Raises NotThere."""
        kept = read(self._engine, lambda reading: read_plan(reading, plan), store=reader.store)
        answer = replace(
            kit_plan_from(kept.told),
            plan=kept.id,
            packed_at=kept.packed_at,
            packed_by=kept.packed_by,
        )
        return kit_plan_seen_by(reader, answer)

    def _compute(self, asked: PackingAsked, *, at: datetime) -> PlanToKeep:
        snapshot, today = self._snapshots.current(asked.store, at=at)
        numbers = read(self._engine, parcel_numbers, store=asked.store)
        planned = answer_kit_plan(
            snapshot,
            today,
            asked=_packs(snapshot, asked),
            place=asked.place,
            parcel_numbers=numbers,
        )
        made = PlanMade(
            snapshot=snapshot,
            place=asked.place,
            kits=planned.kits,
            told=kit_plan_json(planned.answer),
            asked_for=frozenset(one.household for one in asked.kinds if one.household is not None),
        )
        return PlanToKeep(made=made, answer=planned.answer)


def _packs(snapshot: Snapshot, asked: PackingAsked) -> list[PackAsked]:
    patterns = {**{one.id: one for one in snapshot.patterns}, **built_in_patterns()}
    faults = [
        Fault(f"kinds number {number} > pattern", f"there is no pattern {one.pattern!r}")
        for number, one in enumerate(asked.kinds, start=1)
        if one.pattern not in patterns
    ]
    if asked.place not in {place.id for place in snapshot.places}:
        faults.append(Fault("place", f"there is no place {asked.place!r}"))
    if faults:
        raise FieldsRefused(tuple(faults))
    return [
        PackAsked(
            pattern=patterns[one.pattern],
            wanted=one.wanted,
            household=one.household,
            persons=one.persons,
        )
        for one in asked.kinds
    ]
