"""Give what would spoil in the invented neighbourhood, in a database that is thrown away.

Everything goes through the functions that the service calls, each write in a transaction of its
own, on the day on which it would happen; then the books are held against one another.
"""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import partial
from typing import Final, TypeVar
from zoneinfo import ZoneInfo

from sqlalchemy import Engine

from daysworth.answers.coverage import answer_coverage
from daysworth.answers.delivery_note import DeliveryNote, delivery_note
from daysworth.answers.given import GivenAnswer, GivenAsked, given_answer
from daysworth.answers.partners import PartnerAnswer, local_time, partner_answer
from daysworth.answers.promises import PromiseAnswer, PromisesTold, PromiseSummary
from daysworth.answers.surplus import SurplusAnswer, answer_surplus
from daysworth.answers.surplus_floors import FloorsAnswer, floors_answer
from daysworth.answers.window_words import visit_words
from daysworth.cli.demo_agreement import Agreement
from daysworth.cli.demo_database import thrown_away
from daysworth.cli.demo_promise_agreement import (
    PromiseBooks,
    SurplusStood,
    hand_offs_agree,
    promise_books_agree,
    promising_agrees,
    read_promise_books,
    totals_agree,
)
from daysworth.cli.opened import operator
from daysworth.db import transactions
from daysworth.db.ledger.promises import ToPromise, hand_off, lapse, promise
from daysworth.db.partners import list_partners
from daysworth.db.promises import KeptPromise, given_totals, list_promises
from daysworth.db.snapshots import load_snapshot
from daysworth.demo.receiving import GREEN_BEANS
from daysworth.domain.identifiers import LotId, PartnerId, PromiseId, WindowId
from daysworth.domain.partners import Partner
from daysworth.domain.promises import PromisedLot, PromiseState
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario
from daysworth.planners.surplus_plan import SurplusAsked

_Result = TypeVar("_Result")
_NOON: Final = time(12)
WINDOWS_SHOWN_DAYS: Final = 12 * 7
LOOKED_AHEAD_DAYS: Final = 8 * 7
OTHER_FLOORS_DAYS: Final = (0, 7, 12)
SHELF_FULL: Final = "they had no room for more: the rest came back"
NO_DRIVER: Final = "nobody could drive that day"


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowAheadAnswer:
    """A partner's window, and its visits in the twelve weeks from the as-of date on."""

    partner_name: str
    window: str
    visits: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteAnswer:
    """What the delivery note of a promise says, added up; `struck` lines may not go any more."""

    promise: str
    partner_name: str
    visit_on: date
    words: str
    has_gone: bool
    lines: int
    units: int
    net_mass_g: float
    with_label_read: int
    struck: int
    law: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SurplusStoodAnswer:
    """How the store stood: units on hand and promised, days for everyone and in all."""

    when: str
    as_of: date
    units_on_hand: int
    units_promised: int
    everyone_fed_days: float | None
    person_days: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SurplusDemoAnswer:
    """All that the demonstration did, in its order, and whether its books agree.

    `ended` are the promises of which something became: one kept in part, one lapsed, and others
    kept between them. `second_look` is the plan of what is free on the day after the last of them.
    """

    question: str
    store: str
    store_name: str
    as_of: date
    partners: list[PartnerAnswer]
    windows: list[WindowAheadAnswer]
    plan: SurplusAnswer
    floors: FloorsAnswer
    promised: list[PromiseSummary]
    ended: list[PromiseAnswer]
    second_look: SurplusAnswer
    given: GivenAnswer
    notes: list[NoteAnswer]
    stood: list[SurplusStoodAnswer]
    agreement: list[Agreement]
    agrees: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SurplusShown:
    """What is to be told of the demonstration, and the delivery notes, to be printed."""

    answer: SurplusDemoAnswer
    notes: Sequence[DeliveryNote]


def show_surplus(neighbourhood: Snapshot) -> SurplusShown:
    """Plan what can be spared, promise it, hand some of it off. Raises as what it calls does."""
    with _surplus_store(neighbourhood) as store:
        partners, first = store.partners(), store.stands()
        plan = store.plan()
        floors = store.floors(plan)
        store.promise(plan)
        promised, second = store.promises(), store.stands()
        ended = store.end_some(promised)
        told = store.told([one.kept for one in ended])
        given, third = store.given(), store.stands()
        second_look = store.plan_next_day()
        lapsed = {one.kept.id for one in ended if one.kept.state is PromiseState.LAPSED}
        notes = store.notes([one for one in promised if one.id not in lapsed])
    agreement = [
        *promise_books_agree(first.books, when="before promising"),
        *promise_books_agree(second.books, when="after promising"),
        *promising_agrees(first, second, plan=plan),
        *promise_books_agree(third.books, when="after the hand-offs"),
        *hand_offs_agree(second, third, ended=told, deeds=[one.version for one in ended]),
        *totals_agree(given, ended=told),
    ]
    answer = SurplusDemoAnswer(
        question="surplus_demo",
        store=neighbourhood.store,
        store_name=neighbourhood.store_name,
        as_of=neighbourhood.taken_on,
        partners=partners,
        windows=list(_windows(neighbourhood.partners, as_of=neighbourhood.taken_on)),
        plan=plan,
        floors=floors,
        promised=store.summaries,
        ended=told,
        second_look=second_look,
        given=given,
        notes=[_note(one) for one in notes],
        stood=[
            _stood(first, when="before promising"),
            _stood(second, when="after promising"),
            _stood(third, when="after the hand-offs"),
        ],
        agreement=agreement,
        agrees=all(one.agrees for one in agreement),
    )
    return SurplusShown(answer=answer, notes=notes)


def _windows(partners: Sequence[Partner], *, as_of: date) -> Iterator[WindowAheadAnswer]:
    last = as_of + timedelta(days=WINDOWS_SHOWN_DAYS - 1)
    for partner in partners:
        for window in partner.windows:
            visits = [local_time(at) for at in window.opens(from_on=as_of, to_on=last)]
            yield WindowAheadAnswer(partner_name=partner.name, window=window.id, visits=visits)


def _note(note: DeliveryNote) -> NoteAnswer:
    return NoteAnswer(
        promise=note.number,
        partner_name=note.partner_name,
        visit_on=note.opens_at.date(),
        words=visit_words(note.opens_at, note.minutes or 0),
        has_gone=note.has_gone,
        lines=len(note.lines),
        units=note.units,
        net_mass_g=note.net_mass_g,
        with_label_read=sum(line.allergens.is_read for line in note.lines),
        struck=len(note.struck),
        law=note.law,
    )


def _stood(one: SurplusStood, *, when: str) -> SurplusStoodAnswer:
    return SurplusStoodAnswer(
        when=when,
        as_of=one.coverage.as_of,
        units_on_hand=one.books.units_on_hand,
        units_promised=one.books.units_promised,
        everyone_fed_days=one.coverage.everyone_fed_days,
        person_days=one.coverage.person_days,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ended:
    """A promise that has ended, and the store's version of that deed."""

    kept: KeptPromise
    version: int


@contextmanager
def _surplus_store(neighbourhood: Snapshot) -> Iterator["_SurplusStore"]:
    zone = ZoneInfo(neighbourhood.settings.timezone)
    at = datetime.combine(neighbourhood.taken_on, _NOON, zone)
    with thrown_away(neighbourhood, at=at) as engine:
        yield _SurplusStore(engine, neighbourhood, at=at)


class _SurplusStore:
    """A store whose clock goes on as things are done in it."""

    def __init__(self, engine: Engine, neighbourhood: Snapshot, *, at: datetime) -> None:
        self._engine, self._at = engine, at
        self._id, self._name = neighbourhood.store, neighbourhood.store_name
        self._began_on = neighbourhood.taken_on
        self._by = operator(neighbourhood.store)
        self._minutes = {
            (partner.id, window.id): window.minutes
            for partner in neighbourhood.partners
            for window in partner.windows
        }
        self.summaries: list[PromiseSummary] = []

    def _write(self, work: Callable[[transactions.Writing], _Result]) -> _Result:
        return transactions.write(self._engine, work, store=self._id, by=self._by, at=self._at)

    def _read(self, work: Callable[[transactions.Reading], _Result]) -> _Result:
        return transactions.read(self._engine, work, store=self._id)

    def _snapshot(self) -> Snapshot:
        return self._read(partial(load_snapshot, at=self._at))

    def partners(self) -> list[PartnerAnswer]:
        """Tell of every partner, by name."""
        return [partner_answer(one, at=self._at) for one in self._read(list_partners)]

    def plan(self, *, floor_days: int | None = None) -> SurplusAnswer:
        """Plan what can be spared of what is good until some day in the eight weeks."""
        until_on = self._began_on + timedelta(days=LOOKED_AHEAD_DAYS)
        asked = SurplusAsked(floor_days=floor_days, until_on=until_on)
        snapshot = self._snapshot()
        return answer_surplus(snapshot, snapshot.taken_on, asked=asked)

    def plan_next_day(self) -> SurplusAnswer:
        """Plan again at noon of the next day."""
        next_day = self._at.date() + timedelta(days=1)
        self._at = datetime.combine(next_day, _NOON, self._at.tzinfo)
        return self.plan()

    def floors(self, own: SurplusAnswer) -> FloorsAnswer:
        """Plan with other floors, beside the plan with the store's own."""
        return floors_answer(own, [self.plan(floor_days=days) for days in OTHER_FLOORS_DAYS])

    def promise(self, plan: SurplusAnswer) -> None:
        """Promise all of a plan in one write."""
        visits = [
            ToPromise(
                partner=PartnerId(visit.partner),
                window=WindowId(visit.window),
                opens_at=datetime.fromisoformat(visit.opens_at),
                items=tuple(
                    PromisedLot(lot=LotId(line.lot), units=line.units)
                    for place in visit.packing
                    for line in place.lines
                ),
            )
            for visit in plan.visits
        ]
        if visits:
            self._write(partial(promise, visits=visits))

    def promises(self) -> list[KeptPromise]:
        """List the open promises by the time of their visits, and tell of them."""

        def look(reading: transactions.Reading) -> list[KeptPromise]:
            listed = list_promises(reading, state=PromiseState.OPEN).items
            # Ids are drawn at random: their order would be another each time.
            found = sorted(listed, key=lambda one: (one.promise.opens_at, one.promise.items[0].lot))
            told = PromisesTold(reading, found)
            self.summaries = [told.summary(one) for one in found]
            return found

        return self._read(look)

    def end_some(self, promises: Sequence[KeptPromise]) -> list[_Ended]:
        """End those whose visits come first, each when its visit is over, in their order.

        Of what was promised today the first visit goes in part; the first after it, and after that
        of what was promised before, lapses; what lies between goes in full.
        """
        today = [one for one in promises if one.id != GREEN_BEANS]
        older = [one.promise.opens_at for one in promises if one.id == GREEN_BEANS]
        since = max(today[0].promise.opens_at, *older)
        ended: list[_Ended] = []
        for one in promises:
            if one.promise.opens_at > since:
                return [*ended, self._end(one, partial(lapse, why=NO_DRIVER))]
            deed = self._hand_off_part if one.id == today[0].id else self._hand_off_whole
            ended.append(deed(one))
        return ended

    def _hand_off_whole(self, kept: KeptPromise) -> _Ended:
        return self._end(kept, partial(hand_off, went=None))

    def _hand_off_part(self, kept: KeptPromise) -> _Ended:
        """Hand off all but a quarter of what most was promised of."""
        most = max(kept.lines, key=lambda line: (line.units, line.lot))
        went = {most.lot: most.units - -(-most.units // 4)}
        return self._end(kept, partial(hand_off, went=went, whys={most.lot: SHELF_FULL}))

    def _end(self, kept: KeptPromise, deed: Callable[..., KeptPromise]) -> _Ended:
        self._at = max(self._at, self._over_at(kept))

        def work(writing: transactions.Writing) -> _Ended:
            ended = deed(writing, kept.id, if_revision=kept.revision)
            return _Ended(kept=ended, version=writing.version)

        return self._write(work)

    def _over_at(self, kept: KeptPromise) -> datetime:
        minutes = self._minutes[kept.promise.partner, kept.promise.window]
        opens_at = kept.promise.opens_at.replace(tzinfo=self._at.tzinfo)
        return opens_at + timedelta(minutes=minutes)

    def told(self, promises: Sequence[KeptPromise]) -> list[PromiseAnswer]:
        """Tell of promises with their contents."""

        def look(reading: transactions.Reading) -> list[PromiseAnswer]:
            told = PromisesTold(reading, promises)
            return [told.answer(one) for one in promises]

        return self._read(look)

    def given(self) -> GivenAnswer:
        """Total what was given from the first day to now."""
        snapshot = self._snapshot()
        asked = GivenAsked(
            store=self._id,
            store_name=self._name,
            version=snapshot.version,
            from_on=self._began_on,
            to_on=snapshot.taken_on,
        )
        look = partial(given_totals, from_on=asked.from_on, to_on=asked.to_on)
        return given_answer(asked, self._read(look))

    def notes(self, promises: Sequence[KeptPromise]) -> list[DeliveryNote]:
        """Write the delivery notes of promises, as things stand now."""
        return [
            self._read(partial(delivery_note, promise=PromiseId(one.id), at=self._at))
            for one in promises
        ]

    def stands(self) -> SurplusStood:
        """Read the books, and count the days."""
        snapshot = self._snapshot()
        return SurplusStood(
            books=self._books(),
            coverage=answer_coverage(snapshot, snapshot.taken_on, scenario=Scenario()),
        )

    def _books(self) -> PromiseBooks:
        return self._read(read_promise_books)
