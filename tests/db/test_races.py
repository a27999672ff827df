"""Let writers race for the last units, through the whole service, on both databases.

Each race goes through real servers in processes of their own, over sockets.
"""

import asyncio
from collections.abc import Sequence

import httpx
import pytest
from sqlalchemy import Engine

from daysworth.domain.entries import Role
from tests.grounds import STORE_ID, books_balance, box, lots_of, put_up, token_for, version_of
from tests.servers import Server, serving

WRITERS = (2, 8, 64)


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
def test_as_many_succeed_as_there_are_units(engine: Engine, writers: int) -> None:
    units = writers // 2
    (lot,) = put_up(engine, box(units))
    before = version_of(engine)
    with serving(engine, token=token_for(engine, Role.VOLUNTEER)) as server:
        answers = asyncio.run(take(server, lot.id, keys=[f"k{n}" for n in range(writers)]))
    assert sorted(answers) == [201] * units + [409] * (writers - units)
    assert lots_of(engine)[lot.id].units == 0
    assert version_of(engine) == before + units
    assert books_balance(engine)


@pytest.mark.parametrize("writers", WRITERS)
def test_one_key_under_a_race_is_one_entry_and_one_answer(engine: Engine, writers: int) -> None:
    (lot,) = put_up(engine, box(100))
    before = version_of(engine)
    with serving(engine, token=token_for(engine, Role.VOLUNTEER)) as server:
        answers = asyncio.run(take(server, lot.id, keys=["the same"] * writers))
    assert answers == [201] * writers
    assert lots_of(engine)[lot.id].units == 99
    assert version_of(engine) == before + 1


def test_two_servers_on_one_database_lose_and_double_nothing(engine: Engine) -> None:
    (lot,) = put_up(engine, box(20))
    token = token_for(engine, Role.VOLUNTEER)

    async def both(one: Server, two: Server) -> list[int]:
        found = await asyncio.gather(
            take(one, lot.id, keys=[f"k{n}" for n in range(15)]),
            take(two, lot.id, keys=[f"other {n}" for n in range(15)]),
        )
        return [*found[0], *found[1]]

    with serving(engine, token=token) as one, serving(engine, token=token) as two:
        answers = asyncio.run(both(one, two))
    assert sorted(answers) == [201] * 20 + [409] * 10
    assert lots_of(engine)[lot.id].units == 0
    assert books_balance(engine)
