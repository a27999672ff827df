"""Work a round and put up kits in the invented neighbourhood, in a database that is thrown away.

Everything goes through the functions that the service calls, each write in a transaction of its
own; then the books are held against one another.
"""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from functools import partial
from typing import Final, TypeVar
from zoneinfo import ZoneInfo

from sqlalchemy import Engine

from daysworth.answers.coverage import answer_coverage
from daysworth.answers.kept_snapshots import KeptSnapshots
from daysworth.answers.kit import KitAnswer
from daysworth.answers.kit_list import KitSummary
from daysworth.answers.kit_made import answer_kit_plan
from daysworth.answers.kit_plan import KitPlanAnswer, kit_plan_json
from daysworth.answers.round_plan import RoundPlanAnswer, answer_round
from daysworth.answers.round_record import round_lines
from daysworth.answers.round_settling import RoundSettledAnswer, accepted
from daysworth.answers.store_kits import KitOffice, KitsAsked, parcel_numbers
from daysworth.answers.store_rounds import record_of
from daysworth.cli.demo_agreement import (
    Agreement,
    Stood,
    books_agree,
    packing_agrees,
    read_books,
    round_agrees,
)
from daysworth.cli.demo_database import thrown_away
from daysworth.cli.demo_kits import HALL, OLDER_KITS, OWN_PATTERN, kinds_wanted
from daysworth.cli.opened import operator
from daysworth.db import transactions
from daysworth.db.kits import KeptKit, KitChoice
from daysworth.db.ledger.kits import pack_plan, put_up
from daysworth.db.ledger.rounds import settle_round
from daysworth.db.packing_plans import PlanMade, keep_plan
from daysworth.db.patterns import add_pattern
from daysworth.domain.identifiers import HouseholdId, KitId, LotId
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario

_Result = TypeVar("_Result")
_NOON: Final = time(12)
MOST_KITS: Final = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class StoodAnswer:
    """How the store stood: units on hand, kits, and days for everyone and in all."""

    when: str
    units_on_hand: int
    kits: int
    everyone_fed_days: float | None
    person_days: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundDemoAnswer:
    """All that the demonstration did, in its order, and whether its books agree.

    `older` are the kits that were put up by hand before; `kits` are all that were closed after
    packing. `second_look` is the round as it stands when it has been worked.
    """

    question: str
    store: str
    store_name: str
    as_of: date
    older: list[KitSummary]
    plan: KitPlanAnswer
    kits: list[KitSummary]
    round: RoundPlanAnswer
    settled: RoundSettledAnswer
    second_look: RoundPlanAnswer
    stood: list[StoodAnswer]
    agreement: list[Agreement]
    agrees: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What is to be told of the demonstration, and the kits that it put up, to be labelled."""

    answer: RoundDemoAnswer
    bags: Sequence[KitAnswer]
    locale: str


def show_round(neighbourhood: Snapshot) -> Shown:
    """Put up kits, work the current round, and look again. Raises as what it calls does."""
    with _demo_store(neighbourhood) as store:
        store.put_up_older()
        store.write(partial(add_pattern, pattern=OWN_PATTERN))
        older, first = store.kits(), store.stands()
        plan, packed = store.pack()
        kits, second = store.kits(), store.stands()
        bags = store.bags(packed)
        round_, settled = store.work_round()
        second_look, third = store.round(), store.stands()
    agreement = [
        *books_agree(second.books, when="after packing"),
        *packing_agrees(first, second, packed=len(packed)),
        *books_agree(third.books, when="after the round"),
        *round_agrees(second, third, settled=settled),
    ]
    answer = RoundDemoAnswer(
        question="round_demo",
        store=neighbourhood.store,
        store_name=neighbourhood.store_name,
        as_of=neighbourhood.taken_on,
        older=older,
        plan=plan,
        kits=kits,
        round=round_,
        settled=settled,
        second_look=second_look,
        stood=[
            _stood(first, when="before packing"),
            _stood(second, when="after packing"),
            _stood(third, when="after the round"),
        ],
        agreement=agreement,
        agrees=all(one.agrees for one in agreement),
    )
    return Shown(answer=answer, bags=bags, locale=neighbourhood.settings.locale)


def _stood(one: Stood, *, when: str) -> StoodAnswer:
    return StoodAnswer(
        when=when,
        units_on_hand=one.books.units_on_hand,
        kits=one.books.kits,
        everyone_fed_days=one.coverage.everyone_fed_days,
        person_days=one.coverage.person_days,
    )


@contextmanager
def _demo_store(neighbourhood: Snapshot) -> Iterator["_DemoStore"]:
    zone = ZoneInfo(neighbourhood.settings.timezone)
    at = datetime.combine(neighbourhood.taken_on, _NOON, zone)
    with thrown_away(neighbourhood, at=at) as engine:
        yield _DemoStore(engine, neighbourhood, at=at)


class _DemoStore:
    """A store on the day of the demonstration, and the deeds that are done in it."""

    def __init__(self, engine: Engine, neighbourhood: Snapshot, *, at: datetime) -> None:
        self._engine, self._at = engine, at
        self._id, self._today = neighbourhood.store, neighbourhood.taken_on
        self._by = operator(neighbourhood.store)
        self._snapshots = KeptSnapshots(engine)
        self._office = KitOffice(engine, snapshots=self._snapshots)

    def write(self, work: Callable[[transactions.Writing], _Result]) -> _Result:
        """Do one deed in one transaction."""
        return transactions.write(self._engine, work, store=self._id, by=self._by, at=self._at)

    def read(self, work: Callable[[transactions.Reading], _Result]) -> _Result:
        """Read in one transaction."""
        return transactions.read(self._engine, work, store=self._id)

    def put_up_older(self) -> None:
        """Put up the kits that were put up by hand some time ago."""
        for one in OLDER_KITS:
            packed_on = one.packed_on(self._today)
            self.write(partial(put_up, kits=[one.kit], place=HALL, packed_on=packed_on))

    def pack(self) -> tuple[KitPlanAnswer, list[KeptKit]]:
        """Plan today's kits, keep the plan, and pack it."""
        snapshot = self._snapshot()
        planned = answer_kit_plan(
            snapshot,
            self._today,
            asked=kinds_wanted(OWN_PATTERN),
            place=HALL,
            parcel_numbers=self._numbers(),
        )
        made = PlanMade(
            snapshot=snapshot,
            place=HALL,
            kits=planned.kits,
            told=kit_plan_json(planned.answer),
        )
        kept = transactions.write_beside(
            self._engine, partial(keep_plan, made=made, by=self._by, at=self._at), store=self._id
        )
        packed = self.write(partial(pack_plan, plan=kept.id))
        return replace(planned.answer, plan=kept.id), packed

    def work_round(self) -> tuple[RoundPlanAnswer, RoundSettledAnswer]:
        """Plan the current round, accept all that is proposed, and record it."""
        plan = self.round()
        assert plan.round_on is not None, "the neighbourhood has rounds twice a year"
        agreed, round_on = accepted(plan, None, to=None), plan.round_on
        names = self._food_names()

        def settle(writing: transactions.Writing) -> RoundSettledAnswer:
            lines = settle_round(writing, round_on, decisions=agreed.decisions)
            return RoundSettledAnswer(
                question="round_settled",
                store=writing.store,
                version=writing.version,
                round_on=round_on,
                settled=round_lines(lines, food_names=names),
                left=list(agreed.left),
                record=record_of(writing, round_on),
            )

        return plan, self.write(settle)

    def round(self) -> RoundPlanAnswer:
        """Plan the current round."""
        return answer_round(self._snapshot(), self._today, parcel_numbers=self._numbers())

    def stands(self) -> Stood:
        """Read the books, and count the days."""
        return Stood(
            books=self.read(read_books),
            coverage=answer_coverage(self._snapshot(), self._today, scenario=Scenario()),
        )

    def kits(self) -> list[KitSummary]:
        """List the closed kits."""
        asked = KitsAsked(choice=KitChoice(), limit=MOST_KITS)
        found = self._office.kits(self._by, asked=asked, at=self._at).items
        # Their ids are drawn at random: their order would be another each time.
        return sorted(found, key=lambda one: (one.pull_by_day or self._today, one.name))

    def bags(self, kits: Sequence[KeptKit]) -> list[KitAnswer]:
        """Tell what is in some kits."""
        ids = [KitId(one.id) for one in kits]
        return self._office.bags(self._by, kits=ids, place=None, at=self._at)

    def _snapshot(self) -> Snapshot:
        snapshot, _ = self._snapshots.current(self._id, at=self._at)
        return snapshot

    def _numbers(self) -> dict[HouseholdId, int]:
        return self.read(parcel_numbers)

    def _food_names(self) -> dict[LotId, str]:
        snapshot = self._snapshot()
        foods = {food.id: food.name for food in snapshot.foods}
        return {lot.id: foods[lot.food] for lot in snapshot.lots}
