"""Answer whom the food in a store suits: warnings of a household, a parcel, a food."""

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import Engine

from daysworth.answers.barcodes import read_barcode
from daysworth.answers.food_suitability import (
    FoodSuitabilityAnswer,
    SuitabilityAsked,
    answer_food_suitability,
)
from daysworth.answers.kept_snapshots import KeptSnapshots
from daysworth.answers.parcels import ParcelAsked, ParcelCheckAnswer, answer_parcel, meant
from daysworth.answers.warnings import AcknowledgedAnswer, WarningsAnswer, answer_warnings
from daysworth.db.acknowledgements import acknowledged
from daysworth.db.foods import find_foods
from daysworth.db.households import household_names, read_household
from daysworth.db.stock import read_lot
from daysworth.db.transactions import Reading, read
from daysworth.domain.entries import Credential, Role
from daysworth.domain.errors import InputRefused, NotThere
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId
from daysworth.domain.snapshot import Snapshot

MOST_FOODS = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class ThingAsked:
    """What is asked about, by one of these: words, a barcode as it was scanned, a lot."""

    words: str | None = None
    scanned: str | None = None
    lot: str | None = None


class SuitabilityOffice:
    """Answers about suitability, from one database."""

    def __init__(self, engine: Engine, *, snapshots: KeptSnapshots) -> None:
        self._engine = engine
        self._snapshots = snapshots

    def warnings(
        self, reader: Credential, household: HouseholdId, *, as_of: date | None, at: datetime
    ) -> WarningsAnswer:
        """List a household's warnings, with what was acknowledged. Raises NotThere."""
        snapshot, today = self._snapshots.current(reader.store, at=at)

        def noted(reading: Reading) -> dict[str, AcknowledgedAnswer]:
            # Asked of the database too: the household may have gone since.
            read_household(reading, household)
            return {
                mark: AcknowledgedAnswer(one.by, one.at, one.why)
                for mark, one in acknowledged(reading, household).items()
            }

        taken_note = read(self._engine, noted, store=reader.store)
        return answer_warnings(
            snapshot, as_of or today, household=household, acknowledged=taken_note
        )

    def food(
        self,
        reader: Credential,
        food: FoodId,
        *,
        household: HouseholdId | None,
        as_of: date | None,
        at: datetime,
    ) -> FoodSuitabilityAnswer:
        """Say whom a food suits, as the reader may know it. Raises NotThere."""
        snapshot, today = self._snapshots.current(reader.store, at=at)
        names = read(self._engine, household_names, store=reader.store)
        chosen = reader.household or household
        question = SuitabilityAsked(
            food=food,
            homes=None if chosen is None else [chosen],
            parcel_numbers={home: number for home, (number, _) in names.items()},
            names_households=reader.role in (Role.COORDINATOR, Role.HOUSEHOLD),
        )
        return answer_food_suitability(snapshot, as_of or today, question=question)

    def parcel(
        self, reader: Credential, number: int, *, thing: ThingAsked, at: datetime
    ) -> ParcelCheckAnswer:
        """Say whether a thing may go in a parcel. Raises NotThere, InputRefused."""
        snapshot, today = self._snapshots.current(reader.store, at=at)
        names = read(self._engine, household_names, store=reader.store)
        homes = [home for home, (parcel, _) in names.items() if parcel == number]
        if not homes:
            raise NotThere(f"there is no parcel {number} in this store")
        asked = self._asked(reader, snapshot, thing=thing, year=today.year)
        question = ParcelAsked(
            parcel_number=number,
            household=homes[0],
            asked=asked.asked,
            words=asked.words,
            foods=asked.foods,
            lot=asked.lot,
            is_unnamed=asked.is_unnamed,
        )
        return answer_parcel(snapshot, today, question=question)

    def _asked(
        self, reader: Credential, snapshot: Snapshot, *, thing: ThingAsked, year: int
    ) -> "_Meant":
        given = [one for one in (thing.words, thing.scanned, thing.lot) if one is not None]
        if len(given) != 1 or not given[0].strip():
            raise InputRefused("ask by words, by a barcode or by a lot: one of them")
        said = given[0].strip()
        if thing.lot is not None:
            return self._of_lot(reader, snapshot, lot=said)
        if thing.words is not None:
            return _Meant(asked=said, words=said, foods=meant(snapshot, said))
        pack = read_barcode(said, read_in_year=year)
        return _Meant(asked=said, foods=self._of_number(reader, snapshot, gtin=pack.gtin))

    def _of_lot(self, reader: Credential, snapshot: Snapshot, *, lot: str) -> "_Meant":
        if any(one.id == lot for one in snapshot.lots):
            return _Meant(asked=lot, lot=lot)
        # One that waits for its name is in no snapshot: all that is known is what it was called.
        held = read(self._engine, lambda r: read_lot(r, LotId(lot)), store=reader.store)
        if held.food is not None:
            raise InputRefused(f"nothing is left of lot {lot!r}")
        return _Meant(asked=lot, words=held.words or "", is_unnamed=True)

    def _of_number(self, reader: Credential, snapshot: Snapshot, *, gtin: str | None) -> list[Food]:
        if gtin is None:
            return []

        def look(reading: Reading) -> set[str]:
            found = find_foods(reading, words="", gtin=gtin, after="", limit=MOST_FOODS)
            return {kept.food.id for kept in found.items}

        ids = read(self._engine, look, store=reader.store)
        return [food for food in snapshot.foods if food.id in ids]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Meant:
    """What a question may mean."""

    asked: str
    words: str = ""
    foods: tuple[Food, ...] | list[Food] = ()
    lot: str | None = None
    is_unnamed: bool = False
