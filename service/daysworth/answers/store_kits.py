"""Answer about the kits of a store in the database: lists, one kit, checks, what to take along."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import partial

from sqlalchemy import Engine

from daysworth.answers.kept_snapshots import KeptSnapshots
from daysworth.answers.kit import KitAnswer, answer_ended_kit, answer_kit, kit_seen_by
from daysworth.answers.kit_check import KitCheckAnswer, answer_kit_check
from daysworth.answers.kit_list import KitSummary, kit_summary, kit_summary_seen_by
from daysworth.answers.take_along import (
    TakeAlongAnswer,
    answer_take_along,
    take_along_seen_by,
)
from daysworth.db.households import household_names
from daysworth.db.kit_facts import to_be_looked_at
from daysworth.db.kits import KeptKit, KitChoice, all_kits, read_kit, read_kits
from daysworth.db.ledger.held import as_planned
from daysworth.db.pages_of_rows import Page, page_of
from daysworth.db.places import read_place
from daysworth.db.stock import read_lot
from daysworth.db.transactions import Reading, read
from daysworth.domain.entries import Credential, KitState
from daysworth.domain.errors import NotThere, StockRefused
from daysworth.domain.identifiers import HouseholdId, KitId, PlaceId, StoreId
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.kit_check import CheckAsked
from daysworth.planners.kit_contents import KitFood, from_stock, pull_by_day
from daysworth.planners.kit_view import contents_of
from daysworth.planners.shelf import DatedLot, Standing


@dataclass(frozen=True, slots=True, kw_only=True)
class KitsAsked:
    """Which kits are listed: of a choice, and those that are to be pulled before a day."""

    choice: KitChoice
    due_before_day: date | None = None
    after: str = ""
    limit: int = 100


class KitOffice:
    """Answers about kits, from one database."""

    def __init__(self, engine: Engine, *, snapshots: KeptSnapshots) -> None:
        self._engine = engine
        self._snapshots = snapshots

    def kits(self, reader: Credential, *, asked: KitsAsked, at: datetime) -> Page[KitSummary]:
        """List kits by id; a household sees its own, and those that are for anybody."""
        kept = read(self._engine, partial(all_kits, choice=asked.choice), store=reader.store)
        snapshot, today = self._snapshots.current(reader.store, at=at)
        contents = contents_of(snapshot, today)
        seen = [
            one
            for one in kept
            if one.id > asked.after
            and may_see(reader, one.kit.household)
            and _is_due(contents.get(one.id), before=asked.due_before_day)
        ]
        some = seen[: asked.limit + 1]
        page = page_of(some, keys=[one.id for one in some], limit=asked.limit)
        changed, numbers = self._beside(reader.store, page.items)
        places = {place.id: place.name for place in snapshot.places}
        listed = [
            kit_summary(
                one,
                foods=contents.get(one.id),
                is_to_be_looked_at=one.id in changed,
                places=places,
                parcel_numbers=numbers,
            )
            for one in page.items
        ]
        return Page([kit_summary_seen_by(reader, one) for one in listed], page.next_after)

    def kit(self, reader: Credential, kit: KitId, *, at: datetime) -> KitAnswer:
        """Look at one kit, as a reader may see it. Raises NotThere."""
        return kit_seen_by(reader, self._kit(reader, kit, at=at))

    def bags(
        self, reader: Credential, *, kits: Sequence[KitId], place: PlaceId | None, at: datetime
    ) -> list[KitAnswer]:
        """Tell what is in closed kits, in their order, or in those of a place; none is judged.

        Raises NotThere; StockRefused for a kit that has ended.
        """

        def look(reading: Reading) -> tuple[list[KeptKit], dict[HouseholdId, int]]:
            numbers = parcel_numbers(reading)
            if place is not None:
                read_place(reading, place)
                return all_kits(reading, choice=KitChoice(place=place)), numbers
            found = read_kits(reading, kits)
            return [closed_among(found, kit) for kit in kits], numbers

        kept, numbers = read(self._engine, look, store=reader.store)
        snapshot, today = self._snapshots.current(reader.store, at=at)
        contents = contents_of(snapshot, today)
        return [
            answer_ended_kit(
                snapshot, today, kept=one, foods=contents[one.id], parcel_numbers=numbers
            )
            for one in kept
            if one.id in contents
        ]

    def check(self, reader: Credential, *, asked: CheckAsked, at: datetime) -> KitCheckAnswer:
        """Check items as a kit. Raises FieldsRefused, ScenarioRefused."""
        snapshot, today = self._snapshots.current(reader.store, at=at)
        number = None if asked.household is None else self._numbers(reader).get(asked.household)
        return answer_kit_check(snapshot, today, asked=asked, parcel_number=number)

    def take_along(
        self,
        reader: Credential,
        *,
        household: HouseholdId | None,
        most_kg: float | None,
        at: datetime,
    ) -> TakeAlongAnswer:
        """Choose the kits to take along, as a reader may see it. Raises ScenarioRefused."""
        snapshot, today = self._snapshots.current(reader.store, at=at)
        answer = answer_take_along(
            snapshot,
            today,
            household=household,
            most_kg=most_kg,
            parcel_numbers=self._numbers(reader),
        )
        return take_along_seen_by(reader, answer)

    def _kit(self, reader: Credential, kit: KitId, *, at: datetime) -> KitAnswer:
        kept = read(self._engine, lambda reading: read_kit(reading, kit), store=reader.store)
        if not may_see(reader, kept.kit.household):
            raise NotThere(f"there is no kit {kit!r} of yours in this store")
        changed, numbers = self._beside(reader.store, [kept])
        snapshot, today = self._snapshots.current(reader.store, at=at)
        if kept.state is not KitState.CLOSED:
            foods = read(
                self._engine,
                partial(_foods_then, kept=kept, snapshot=snapshot),
                store=reader.store,
            )
            return answer_ended_kit(snapshot, today, kept=kept, foods=foods, parcel_numbers=numbers)
        return answer_kit(
            snapshot,
            today,
            kept=kept,
            is_to_be_looked_at=kept.id in changed,
            parcel_numbers=numbers,
        )

    def _beside(
        self, store: StoreId, kits: Sequence[KeptKit]
    ) -> tuple[set[KitId], dict[HouseholdId, int]]:
        """Find which closed kits are to be looked at again, and the parcels' numbers."""
        closed = [one for one in kits if one.state is KitState.CLOSED]

        def look(reading: Reading) -> tuple[set[KitId], dict[HouseholdId, int]]:
            return to_be_looked_at(reading, closed), parcel_numbers(reading)

        return read(self._engine, look, store=store)

    def _numbers(self, reader: Credential) -> dict[HouseholdId, int]:
        return read(self._engine, parcel_numbers, store=reader.store)


def closed_among(found: Mapping[KitId, KeptKit], kit: KitId) -> KeptKit:
    """Give a closed kit of those that were found. Raises NotThere, StockRefused."""
    kept = found.get(kit)
    if kept is None:
        raise NotThere(f"there is no kit {kit!r} in this store")
    if kept.state is not KitState.CLOSED:
        raise StockRefused(f"kit {kit!r} was {kept.state} already: there is nothing to label")
    return kept


def may_see(reader: Credential, household: HouseholdId | None) -> bool:
    """Tell whether a reader may look at a kit: a household at its own, and at what is anybody's."""
    return reader.household is None or household in (None, reader.household)


def parcel_numbers(reading: Reading) -> dict[HouseholdId, int]:
    """Give the number of each household's parcel."""
    return {home: number for home, (number, _) in household_names(reading).items()}


def _is_due(foods: Sequence[KitFood] | None, *, before: date | None) -> bool:
    """Tell whether something in a closed kit is no longer good by a day; undated is due."""
    if before is None:
        return True
    day = None if foods is None else pull_by_day(foods)
    return foods is not None and (day is None or day < before)


def _foods_then(reading: Reading, *, kept: KeptKit, snapshot: Snapshot) -> list[KitFood]:
    """Give what was in a kit that has ended, by what its lots are now."""
    foods = {food.id: food for food in snapshot.foods}
    found = []
    for item in kept.kit.items:
        lot = as_planned(read_lot(reading, item.lot))
        food = foods[lot.food]
        day = lot.last_good_day(food, grace_days=snapshot.settings.grace_days)
        dated = DatedLot(lot, food, day, Standing.GOOD)
        home = kept.kit.household if lot.is_shared else lot.owner
        found.append(from_stock(dated, units=item.units, served=item.served, household=home))
    return found
