"""A connection asks for all kits of a store and for its rounds, and takes nothing else for them."""

import httpx
import pytest

from daysworth_client.errors import NotUnderstood
from tests.clients.kept_postings import Said
from tests.clients.test_connection import connected, saying
from tests.clients.written_kits import a_kit, a_record, some_rounds


def test_kits_are_asked_for_page_by_page_until_the_last() -> None:
    heard: list[str] = []

    def answer(request: httpx.Request) -> httpx.Response:
        heard.append(request.url.query.decode())
        pages = {"": ("K-1", "b"), "cursor=b": ("K-2", "c"), "cursor=c": ("K-3", None)}
        kit, cursor = pages[heard[-1]]
        link = None if cursor is None else f"/v1/stores/elm-row/kits?cursor={cursor}"
        return httpx.Response(200, json={"items": [a_kit(kit, "2027-05-01")], "next": link})

    with connected(httpx.MockTransport(answer)) as connection:
        assert [kit["id"] for kit in connection.kits()] == ["K-1", "K-2", "K-3"]
    assert heard == ["", "cursor=b", "cursor=c"]


@pytest.mark.parametrize(
    "next_page",
    ["/v1/stores/elm-row/kits", "/v1/stores/elm-row/kits?cursor=b", "http://[", "?cursor="],
)
def test_a_list_of_kits_that_leads_nowhere_or_round_in_a_ring_is_not_followed(
    next_page: str,
) -> None:
    said = Said(200, {"items": [], "next": next_page})
    with connected(saying(said)) as connection, pytest.raises(NotUnderstood) as raised:
        connection.kits()
    assert "a list leads on to no further page" in str(raised.value)


def test_a_record_of_rounds_is_taken_as_it_comes_and_nothing_else_is() -> None:
    rounds = some_rounds(a_record("2026-09-01", 0.1))
    with connected(saying(Said(200, rounds))) as connection:
        assert connection.rounds() == rounds
    broken = {**rounds, "records": [{"round_on": 7}]}
    with connected(saying(Said(200, broken))) as connection, pytest.raises(NotUnderstood):
        connection.rounds()
