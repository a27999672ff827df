"""Serve stores to a browser: one server for all tests, and a store of its own for each that logs.

The server goes by the real clock, so every date here is reckoned from today.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from functools import cached_property, partial
from itertools import count
from typing import Final

from sqlalchemy import Engine

from daysworth.answers.answer_cache import AnswerCache
from daysworth.answers.notice import NoticeAnswer
from daysworth.answers.store_notices import CURRENT, NoticeOffice
from daysworth.db.bring_lists import BringListAsked, LineAsked, publish_list, withdraw_list
from daysworth.db.coordinators import add_coordinator
from daysworth.db.ledger.intake import receive
from daysworth.db.ledger.labels import record
from daysworth.db.links import LinkAsked, make_link
from daysworth.db.sessions import begin_session
from daysworth.db.transactions import write_beside
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.domain.entries import Credential, Role
from daysworth.domain.identifiers import FoodId, LotId, PlaceId, StoreId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import LabelReading, Regime
from daysworth.domain.lots import Condition
from daysworth.domain.restrictions import Substance
from tests.browser.kits_put_up import KitsPutUp, put_up_kits
from tests.browser.promises_made import PromisesMade, make_promises
from tests.databases import SQLITE, migrated
from tests.grounds import SHELF, begin_ground, box, change, small_store, someone
from tests.servers import serving

COORDINATOR: Final = "Ines Hollin"
PASSWORD: Final = "barley in the hall closet"
TABLE: Final = "Wednesday table"
IN_WORDS: Final = "a jar with a label in another hand"
"""What a lot was called that waits for a coordinator to name it."""

_numbers: Final = count(1)


def now() -> datetime:
    """Give the instant, by the clock that the server goes by."""
    return datetime.now(UTC)


def days_ahead(days: int) -> date:
    """Give the day so many days from today."""
    return now().date() + timedelta(days=days)


@dataclass(frozen=True)
class Site:
    """A running server and its database.

    `neighbourhood` is a large store whose stock is only ever read, and `place` one of its places.
    `read_twice` is one of its lots, of whose label two readings stand that do not agree.
    `kits` are put up in its first place, and `promises` were made of what stands in it.
    """

    engine: Engine
    address: str
    neighbourhood: StoreId
    place: PlaceId
    read_twice: LotId
    kits: KitsPutUp
    promises: PromisesMade
    who: Credential = field(repr=False)

    def page_of(self, store: StoreId, name: str) -> str:
        """Give the address of a store's page."""
        return f"{self.address}/stores/{store}/{name}"

    def new_store(self) -> StoreId:
        """Make a small store that nobody else writes to: two households, two places, no stock."""
        store = StoreId(f"elm-row-{next(_numbers)}")
        begin_ground(self.engine, replace(small_store(store), store_name="Elm Row (invented)"))
        return store

    def new_link(self, store: StoreId, *, place: PlaceId = SHELF) -> str:
        """Make a link that logs to a place, and give the address of its page."""
        asked = LinkAsked(
            store=store, place=place, label=TABLE, expires_at=now() + timedelta(days=30)
        )
        made = partial(make_link, asked=asked, by=someone(store=store), at=now())
        return f"{self.address}/log/{write_beside(self.engine, made, store=store)}"

    def keep_week(self) -> None:
        """Keep the neighbourhood as it is this week, as the first posting of a notice does."""
        cache = AnswerCache[NoticeAnswer](most_bytes=1_000_000)
        office = NoticeOffice(self.engine, cache=cache, rests_on=("", ""))
        office.keep(self.neighbourhood, CURRENT, at=now())

    def publish_list(self) -> str:
        """Publish what to bring to the neighbourhood, and give the address of its page."""
        foods = ("rolled_oats", "sesame_paste", "peanut_butter_smooth")
        asked = BringListAsked(
            title="T" * 120,
            note="N" * 400,
            lines=[LineAsked(food=FoodId(food), units=12_345) for food in foods],
        )
        by = someone(store=self.neighbourhood)
        made = change(self.engine, partial(publish_list, asked=asked), by=by, at=now())
        return f"{self.address}/bring/{self.neighbourhood}/{made.code}"

    def withdraw_list(self) -> None:
        """Withdraw what was published."""
        change(self.engine, withdraw_list, by=someone(store=self.neighbourhood), at=now())

    @cached_property
    def signed_in(self) -> str:
        """Give the secret of a session of the neighbourhood's coordinator, as a cookie has it."""
        begin = partial(begin_session, who=self.who, at=now())
        return write_beside(self.engine, begin, store=self.neighbourhood)


@contextmanager
def served() -> Iterator[Site]:
    """Serve the invented neighbourhood, with something of everything that its pages can show."""
    engine = migrated(SQLITE)
    snapshot = neighbourhood(now().date())
    begin_ground(engine, snapshot)
    place = snapshot.places[0].id
    _add_what_needs_a_hand(engine, snapshot.store, place=place)
    read_twice = _read_twice(engine, snapshot.store, place=place)
    by = someone(store=snapshot.store)
    kits = put_up_kits(engine, snapshot, by=by, at=now())
    promises = make_promises(engine, snapshot, by=by, at=now())
    add = partial(
        add_coordinator, store=snapshot.store, name=COORDINATOR, password=PASSWORD, at=now()
    )
    id_ = write_beside(engine, add, store=snapshot.store)
    who = Credential(id=id_, store=snapshot.store, role=Role.COORDINATOR, label=COORDINATOR)
    with serving(engine, token="") as server:
        yield Site(engine, server.address, snapshot.store, place, read_twice, kits, promises, who)
    engine.dispose()


def _add_what_needs_a_hand(engine: Engine, store: StoreId, *, place: PlaceId) -> None:
    undated: dict[str, object] = {"label_kind": LabelKind.UNLABELLED, "printed": None}
    at_hand = partial(box, place=place)
    lines = [
        at_hand(3, food=None, words=IN_WORDS, **undated),
        at_hand(2, food=None, words="A" * 120, **undated),
        at_hand(5, **undated),
        at_hand(4, printed=days_ahead(-40).isoformat()),
        at_hand(1, condition=Condition.DAMAGED),
        at_hand(7, is_home_canned=True),
    ]
    change(engine, partial(receive, lines=lines), by=someone(store=store), at=now())


def _read_twice(engine: Engine, store: StoreId, *, place: PlaceId) -> LotId:
    """Put up a box whose label two people read differently, one of them at length."""
    who = someone(store=store)
    lines = [box(9, place=place, food="sesame_paste")]
    (received,) = change(engine, partial(receive, lines=lines), by=who, at=now())
    herbs = ", ".join(f"herb number {number}" for number in range(60))
    long = f"Ingredients: sesame seeds, spices, {herbs}. May contain milk and peanuts."
    lot = LotId(received.lot.id)
    for reading in (
        LabelReading(text=long, is_whole=True, regime=Regime.US_FDA),
        LabelReading(
            text="Ingredients: sesame seeds, \u202esalt\u202c. Contains: sesame.",
            contains=frozenset({Substance.SESAME}),
            is_whole=True,
            regime=Regime.EU,
            packed_on=days_ahead(-60),
        ),
    ):
        change(engine, partial(record, lot=lot, reading=reading), by=who, at=now())
    return lot
