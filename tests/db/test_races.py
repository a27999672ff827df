"""Let writers race for the last units, through the whole service, on both databases.

Each race but those for kits and promises goes through real servers, in processes of their own, over
sockets.
"""

import asyncio
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import datetime
from functools import partial

import httpx
import pytest
from sqlalchemy import Engine

from daysworth.db.ledger.kits import eat_kit, unpack_kit
from daysworth.db.ledger.kits import put_up as put_up_kits
from daysworth.db.ledger.promises import hand_off, lapse
from daysworth.db.ledger.promises import promise as promise_visits
from daysworth.db.ledger.taking import eat
from daysworth.db.partners import list_partners, remove_partner
from daysworth.db.transactions import Writing
from daysworth.domain.entries import Role
from daysworth.domain.errors import FieldsRefused, NotAsItWas, PartnerHeld, StockRefused
from daysworth.domain.identifiers import LotId
from tests.databases import BOTH, migrated
from tests.db.kit_grounds import kits_balance, kits_of, pack, stock_wares, to_pack, with_wares
from tests.db.promise_grounds import KITCHEN, VISIT_DAY, add_kitchen, promise, visit
from tests.grounds import (
    CELLAR,
    NOON,
    STORE_ID,
    begin_ground,
    books_balance,
    box,
    change,
    look,
    lots_of,
    promises_balance,
    put_up,
    small_store,
    token_for,
    version_of,
)
from tests.servers import Server, serving

WRITERS = (2, 8, 64)


@dataclass(frozen=True)
class Raced:
    """A small store in a database, and two servers on it."""

    engine: Engine
    one: Server
    two: Server


@pytest.fixture(scope="module", params=BOTH)
def raced(request: pytest.FixtureRequest) -> Iterator[Raced]:
    """Serve one database from two processes, for all the races of this module."""
    engine = migrated(request.param)
    begin_ground(engine, small_store())
    token = token_for(engine, Role.VOLUNTEER)
    with serving(engine, token=token) as one, serving(engine, token=token) as two:
        yield Raced(engine, one, two)
    engine.dispose()


async def take(server: Server, lot: str, *, keys: Sequence[str]) -> list[int]:
    """Take one unit of a lot for each key, all at once, and give the statuses."""
    limits = httpx.Limits(max_connections=len(keys))
    async with httpx.AsyncClient(
        base_url=server.address, headers=server.headers, limits=limits, timeout=60
    ) as client:
        sent = [
            client.post(
                f"/v1/stores/{STORE_ID}/lots/{lot}/use",
                json={"units": 1},
                headers={"Idempotency-Key": key},
            )
            for key in keys
        ]
        return [answer.status_code for answer in await asyncio.gather(*sent)]


@pytest.mark.parametrize("writers", WRITERS)
def test_as_many_succeed_as_there_are_units(raced: Raced, writers: int) -> None:
    units = writers // 2
    engine = raced.engine
    (lot,) = put_up(engine, box(units))
    before = version_of(engine)
    keys = [f"{lot.id} {n}" for n in range(writers)]
    answers = asyncio.run(take(raced.one, lot.id, keys=keys))
    assert sorted(answers) == [201] * units + [409] * (writers - units)
    assert lots_of(engine)[lot.id].units == 0
    assert version_of(engine) == before + units
    assert books_balance(engine)


@pytest.mark.parametrize("writers", WRITERS)
def test_one_key_under_a_race_is_one_entry_and_one_answer(raced: Raced, writers: int) -> None:
    engine = raced.engine
    (lot,) = put_up(engine, box(100))
    before = version_of(engine)
    answers = asyncio.run(take(raced.one, lot.id, keys=[lot.id] * writers))
    assert answers == [201] * writers
    assert lots_of(engine)[lot.id].units == 99
    assert version_of(engine) == before + 1


def test_two_servers_on_one_database_lose_and_double_nothing(raced: Raced) -> None:
    engine = raced.engine
    (lot,) = put_up(engine, box(20))

    async def both() -> list[int]:
        found = await asyncio.gather(
            take(raced.one, lot.id, keys=[f"{lot.id} one {n}" for n in range(15)]),
            take(raced.two, lot.id, keys=[f"{lot.id} two {n}" for n in range(15)]),
        )
        return [*found[0], *found[1]]

    answers = asyncio.run(both())
    assert sorted(answers) == [201] * 20 + [409] * 10
    assert lots_of(engine)[lot.id].units == 0
    assert books_balance(engine)


def test_one_key_sent_to_two_servers_is_one_entry(raced: Raced) -> None:
    engine = raced.engine
    (lot,) = put_up(engine, box(50))

    async def both() -> list[int]:
        sent = (take(server, lot.id, keys=[lot.id] * 8) for server in (raced.one, raced.two))
        found = await asyncio.gather(*sent)
        return [*found[0], *found[1]]

    assert asyncio.run(both()) == [201] * 16
    assert lots_of(engine)[lot.id].units == 49


Deed = Callable[[Writing], object]


def race(engine: Engine, *deeds: Deed, at: datetime = NOON) -> list[str]:
    """Do deeds at once, each in a write of its own, and give what each was refused by, or done."""
    start = threading.Barrier(len(deeds))

    def done(deed: Deed) -> str:
        start.wait()
        try:
            change(engine, deed, at=at)
        except (StockRefused, FieldsRefused, NotAsItWas, PartnerHeld) as refused:
            return str(refused)
        return "done"

    with ThreadPoolExecutor(len(deeds)) as threads:
        return sorted(threads.map(done, deeds))


def test_of_two_who_pack_the_same_last_units_one_fails_whole(engine: Engine) -> None:
    lot, plenty = put_up(engine, box(5), box(50))
    stock_wares(engine)
    kit = with_wares((lot, 3), (plenty, 2))
    pack_both = partial(put_up_kits, kits=[to_pack((plenty, 1)), kit], place=CELLAR)
    answers = race(engine, pack_both, pack_both)
    assert answers[1] == "done"
    assert f"3 of lot '{lot.id}'" in answers[0]
    assert len(kits_of(engine)) == 2
    held = lots_of(engine)
    assert (held[lot.id].units, held[plenty.id].units) == (2, 47)
    assert kits_balance(engine)
    assert books_balance(engine)


def test_who_packs_and_who_eats_the_last_units_do_not_both_get_them(engine: Engine) -> None:
    (lot,) = put_up(engine, box(4))
    answers = race(
        engine,
        partial(put_up_kits, kits=[to_pack((lot, 3))], place=CELLAR),
        partial(eat, lot=LotId(lot.id), units=3),
    )
    assert answers.count("done") == 1
    assert lots_of(engine)[lot.id].units == 1
    assert kits_balance(engine)
    assert books_balance(engine)


def test_a_kit_is_eaten_or_unpacked_once_however_many_try(engine: Engine) -> None:
    (lot,) = put_up(engine, box(4))
    (kept,) = pack(engine, to_pack((lot, 3)))
    eaten, unpacked = partial(eat_kit, kit=kept.id), partial(unpack_kit, kit=kept.id)
    answers = race(engine, eaten, unpacked, eaten, unpacked)
    assert answers.count("done") == 1
    assert all("already" in answer for answer in answers if answer != "done")
    assert kits_balance(engine)
    assert books_balance(engine)


def test_of_two_who_promise_the_same_units_one_fails_whole(engine: Engine) -> None:
    lot, plenty = put_up(engine, box(5), box(50))
    add_kitchen(engine)
    promise_both = partial(promise_visits, visits=[visit((plenty, 1)), visit((lot, 3))])
    answers = race(engine, promise_both, promise_both)
    assert answers[0] == "done"
    assert f"3 asked for, and 2 are free of lot '{lot.id}'" in answers[1]
    held = lots_of(engine)
    assert (held[lot.id].units_promised, held[plenty.id].units_promised) == (3, 1)
    assert promises_balance(engine)


def test_who_promises_who_packs_and_who_eats_do_not_all_get_the_last_units(engine: Engine) -> None:
    (lot,) = put_up(engine, box(4))
    add_kitchen(engine)
    answers = race(
        engine,
        partial(promise_visits, visits=[visit((lot, 3))]),
        partial(put_up_kits, kits=[to_pack((lot, 3))], place=CELLAR),
        partial(eat, lot=LotId(lot.id), units=3),
    )
    assert answers.count("done") == 1
    assert promises_balance(engine)
    assert kits_balance(engine)
    assert books_balance(engine)


def test_many_who_promise_get_as_many_units_as_there_are(engine: Engine) -> None:
    (lot,) = put_up(engine, box(5))
    add_kitchen(engine)
    asked = partial(promise_visits, visits=[visit((lot, 1))])
    assert race(engine, *[asked] * 8).count("done") == 5
    assert lots_of(engine)[lot.id].units_promised == 5
    assert promises_balance(engine)


def test_a_partner_goes_or_is_promised_something_and_never_both(engine: Engine) -> None:
    (lot,) = put_up(engine, box(4))
    add_kitchen(engine)
    answers = race(
        engine,
        partial(promise_visits, visits=[visit((lot, 3))]),
        partial(remove_partner, id_=KITCHEN, if_revision=1),
    )
    assert answers.count("done") == 1
    promised, partners = lots_of(engine)[lot.id].units_promised, look(engine, list_partners)
    assert (promised, len(partners)) in ((3, 1), (0, 0))
    assert promises_balance(engine)


def test_a_promise_is_handed_off_or_lapses_once_however_many_try(engine: Engine) -> None:
    (lot,) = put_up(engine, box(4))
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 3)))
    given = partial(hand_off, promise=kept.id, went=None, if_revision=1)
    lapsed = partial(lapse, promise=kept.id, why="no driver", if_revision=1)
    answers = race(engine, given, lapsed, given, lapsed, at=VISIT_DAY)
    assert answers.count("done") == 1
    assert all("already" in answer for answer in answers if answer != "done")
    assert lots_of(engine)[lot.id].units in (1, 4)
    assert promises_balance(engine)
    assert books_balance(engine)
