"""No body, address or snapshot breaks the service, however it is malformed; nothing is changed."""

import asyncio
import base64
import json
import re
from collections.abc import AsyncIterator
from functools import partial
from itertools import count, cycle
from typing import Final

import httpx
import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from daysworth.answers.snapshot_file import write_snapshot
from daysworth.db import transactions
from daysworth.db.stores import begin_store
from daysworth.domain.entries import Role
from daysworth.domain.identifiers import StoreId
from daysworth.domain.settings import StoreSettings
from tests.api.clients import Api
from tests.api.test_bad_input import faults, line, refused, unchanged
from tests.grounds import (
    NOON,
    OTHER_HOME,
    SALMON,
    SHELF,
    STORE_ID,
    lots_of,
    put_up,
    small_store,
    token_for,
    version_of,
)

MEGABYTE: Final = 1024 * 1024
BRACES: Final = [("", "must be an object in braces")]
LISTS: Final = ("lots", "places", "foods", "ledger", "households", "parcels", "disclosures")
_numbers: Final = count(1)

Document = dict[str, object]


def test_a_body_that_is_no_object_is_refused(api: Api) -> None:
    with unchanged(api):
        for raw in (b"[]", b"1", b'"x"', b"true", b"null"):
            assert faults(api.ask("POST", "intake", raw=raw)) == BRACES
        assert faults(api.ask("POST", "intake", raw=b"")) == [("", "is missing")]
        assert faults(api.ask("POST", "intake", raw=b"{}")) == [("lines", "is missing")]
        for raw in (b"{", b'{"lines":}', b'{"lines":[]} x', b"\xff\xfe", b'{"lines":"a\nb"}'):
            ((where, what),) = faults(api.ask("POST", "intake", raw=raw))
            assert (where, what[:12]) == ("", "is not JSON:")
        for kind in ("text/plain", "application/x-www-form-urlencoded", "garbage"):
            answer = api.ask("POST", "intake", body=line(), headers={"Content-Type": kind})
            assert faults(answer) == [
                ("Content-Type", "must be application/json, with one JSON object in it")
            ]


def test_what_cannot_even_be_read_as_text_or_number_is_told_so(api: Api) -> None:
    deep = (b"[" * 100_000, b'{"lines":' * 50_000)
    with unchanged(api):
        for raw in (b'{"lines":"\xff"}', b'{"lines":' + b"9" * 5_000 + b"}", *deep):
            refused(api.ask("POST", "intake", raw=raw), 400, slug="not-readable")


def test_wrong_types_and_unknown_fields_are_each_named(api: Api) -> None:
    words, listed = "must be words in quotation marks", "must be a list"
    wrong: dict[str, tuple[object, str]] = {
        "place": (7, words),
        "food": ([SALMON], words),
        "printed": (2028, words),
        "is_shared": (1, "must be true or false"),
        "owner": ({"id": "H-1"}, words),
        "reading": ([], "must be an object in braces"),
        "condition": ("mouldy", "must be 'sound', 'damaged' or 'quarantined'"),
        "colour": ("red", "is not a field that this request has"),
    }
    with unchanged(api):
        for field, (value, what) in wrong.items():
            answer = api.ask("POST", "intake", body=line(**{field: value}))
            assert faults(answer) == [(f"lines number 1 > {field}", what)]
        for value in ("x", {"0": {}}, 1):
            assert faults(api.ask("POST", "intake", body={"lines": value})) == [("lines", listed)]
        assert faults(api.ask("POST", "intake", body={"lines": [None]})) == [
            ("lines number 1", "must be an object in braces")
        ]


def test_many_faults_are_cut_short_and_counted(api: Api) -> None:
    lines = [{"place": SHELF, "food": SALMON, "units": 0}] * 20
    with unchanged(api):
        found = faults(api.ask("POST", "intake", body={"lines": lines}))
        assert found[-1] == ("", "and 8 more")
        assert len(found) == 13
        answer = api.ask("POST", "intake", body={"lines": lines * 11})
        assert faults(answer) == [("lines", "has room for at most 200")]
        assert faults(api.ask("POST", "intake", body={"lines": []})) == [
            ("lines", "needs at least 1")
        ]


def test_letters_that_no_name_has_are_refused(api: Api) -> None:
    plain = [("name", "must be plain words on one line")]
    wrong = ("a\x00b", "a\nb", "a\tb", "\x1b[31mred", "a\u202eb", "a\u2028b", "\ufeffa")
    with unchanged(api):
        for name in wrong:
            assert faults(api.ask("POST", "places", body={"name": name})) == plain
            refused(api.ask("POST", "intake", body=line(place=name)), 422, slug="cannot-be-used")
        for surrogate in (b'{"name":"a\\ud800b"}', b'{"name":"\\udfff"}', b'{"name":"x\\ud83d"}'):
            ((where, _),) = faults(api.ask("POST", "places", raw=surrogate))
            assert where == "name"
        for blank in ("", "   ", "\u00a0"):
            answer = api.ask("POST", "places", body={"name": blank})
            assert faults(answer) == [("name", "needs at least 1 character")]
        assert faults(api.ask("POST", "places", body={"name": "x" * 121})) == [
            ("name", "has room for at most 120 characters")
        ]
        odd = api.ask("POST", "places", raw=b'{"name":"x","\\u0000\\u001b[31m":1}')
        assert faults(odd) == [("\ufffd\ufffd[31m", "is not a field that this request has")]
        refused(api.ask("POST", "places", raw=b'{"\\ud800":1}'), 422, slug="cannot-be-used")


def test_an_address_with_a_nul_is_refused_and_an_odd_one_finds_nothing(api: Api) -> None:
    put_up(api.engine)
    with unchanged(api):
        for path in ("lots/a%00b", "lots?place=%00", "places/%00", "barcodes?scanned=%00"):
            detail = refused(api.ask("GET", path), 422, slug="cannot-be-used")
            assert detail == "An address has no NUL in it."
        odd = ("%ff", "%ed%a0%80", "%0d%0a", "%", "%zz", "%2e%2e", "%20", "'", "%22;DROP", "\u202e")
        for part in odd:
            refused(api.ask("GET", f"lots/{part}"), 404, slug="not-there")
            answer = api.ask("POST", f"lots/{part}/use", body={"units": 1})
            refused(answer, 404, slug="not-there")
            assert api.get(f"lots?place={part}")["items"] == []
        for path in (f"lots/{'x' * 65}", f"lots/{'x' * 60_000}", f"lots/{'%20' * 65}"):
            long = [("lot", "has room for at most 64 characters")]
            assert faults(api.ask("GET", path)) == long
        refused(api.ask("GET", "lots/a%2Fb"), 404, slug="no-such-address")


def test_a_cursor_or_limit_that_no_list_gave_is_refused(api: Api) -> None:
    nul = base64.urlsafe_b64encode(b"a\x00b").decode()
    whole = "must be a whole number"
    wrong = dict.fromkeys(("1.5", "٣", "", "1e2", "NaN"), whole)
    wrong |= dict.fromkeys(("0", "-1"), "must be 1 or more")
    wrong |= dict.fromkeys(("501", "9" * 30), "must be 500 or less")
    for kind in LISTS:
        for cursor in ("!!!", "Y", "%C3%A9", "__4", nul):
            ((where, what),) = faults(api.ask("GET", f"{kind}?cursor={cursor}"))
            assert where == "cursor"
            assert what.startswith("is none that this list gave")
        long = [("cursor", "has room for at most 400 characters")]
        assert faults(api.ask("GET", f"{kind}?cursor={'x' * 401}")) == long
        for limit, what in wrong.items():
            assert faults(api.ask("GET", f"{kind}?limit={limit}")) == [("limit", what)]


def test_a_cursor_far_beyond_the_end_of_the_ledger_gives_nothing(api: Api) -> None:
    put_up(api.engine)
    for far in (b"999999999999999.0", b"2147483648.999999999999999"):
        cursor = base64.urlsafe_b64encode(far).decode().rstrip("=")
        assert api.get(f"ledger?cursor={cursor}") == {"items": [], "next": None}


def test_methods_that_an_address_does_not_take_are_refused_with_those_it_takes(api: Api) -> None:
    with unchanged(api):
        for method in ("OPTIONS", "TRACE", "PATCH", "DELETE", "BREW"):
            answer = api.ask(method, "places")
            refused(answer, 405, slug="no-such-method")
            # RFC 9110, section 10.2.1: Allow lists every method of the resource.
            assert {"GET", "POST"} <= set(answer.headers["allow"].split(", "))
        for path in ("/v1", "/v1/nowhere", "//v1/ready", "/v1/stores//lots"):
            refused(api.ask("GET", path), 404, slug="no-such-address")
        assert api.ask("HEAD", "places").status_code in (200, 405)


def test_a_barcode_that_cannot_be_is_refused_in_words(api: Api) -> None:
    no_gs1 = "This is no GS1 barcode: a number, a date or a separator in it cannot be read."
    wrong = {
        "036000291453": "The last digit of 036000291453 does not fit the others: read the number"
        " again.",
        "03600029145": no_gs1,
        "(01)09521234543213(17)261331": no_gs1,
        "(17)261231": "This barcode names no trade item, so its dates belong to nothing.",
        "(01)09521234543213(01)09521234543213": "This barcode says one thing twice.",
        "٣٣٣٣٣٣٣٣": "A barcode has 1 to 400 plain letters, digits and signs.",
        "]C1": "A barcode has 1 to 400 plain letters, digits and signs.",
        "(": no_gs1,
        "(8008)99": no_gs1,
    }
    for scanned, words in wrong.items():
        answer = api.ask("GET", f"barcodes?scanned={scanned}")
        assert refused(answer, 422, slug="cannot-be-used") == words
    assert faults(api.ask("GET", "barcodes")) == [("scanned", "is missing")]
    long = [("scanned", "has room for at most 400 characters")]
    assert faults(api.ask("GET", f"barcodes?scanned={'1' * 401}")) == long


def test_a_serving_of_next_to_nothing_makes_no_food(api: Api) -> None:
    serving = {"serving_g": 5e-324, "energy_kcal": 0, "protein_g": 0}
    food = {"name": "Nothing", "group": "fish", "net_mass_g": 100, "serving": serving}
    with unchanged(api):
        found = faults(api.ask("POST", "foods", body=food))
        assert found == [("serving > serving_g", "must be 0.1 or more")]


def test_a_member_that_cannot_be_is_refused_without_telling_of_them(api: Api) -> None:
    def ask(**facts: object) -> httpx.Response:
        member = {"name": "Wren Example", "born_on": "1980-01-01", **facts}
        return api.ask("POST", f"households/{OTHER_HOME}/members", body=member)

    pair = {"allergy": "mustard", "diet": "vegan"}
    with unchanged(api):
        assert faults(ask(born_on="1899-12-31")) == [("", "the birth date is before 1900")]
        assert faults(ask(height_cm=10**30))[0][0] == "height_cm"
        both = ask(restrictions=[pair])
        words = "name an allergy, a diet, words or a formula, one of them"
        assert faults(both) == [("restrictions number 1", words)]
        for answer in (both, ask(restrictions=[{"allergy": "moonshine"}]), ask(sex="wrong")):
            assert answer.status_code == 422
            assert not [told for told in ("Wren", "moonshine", "vegan") if told in answer.text]


def test_a_member_who_is_not_born_yet_is_told_where_it_stands(api: Api) -> None:
    with unchanged(api):
        answer = api.ask("POST", f"households/{OTHER_HOME}/members", body={"born_on": "2030-01-01"})
        assert faults(answer) == [("born_on", "is after today")]


async def _stream(api: Api, path: str, *, megabytes: int) -> httpx.Response:
    async def chunks() -> AsyncIterator[bytes]:
        for _ in range(megabytes):
            yield b" " * MEGABYTE
        yield b'{"name": "Shed"}'

    headers = {
        "Authorization": f"Bearer {api.token(Role.COORDINATOR)}",
        "Content-Type": "application/json",
        "Idempotency-Key": f"streamed-{megabytes}",
    }
    transport = httpx.ASGITransport(api.app, raise_app_exceptions=False)
    async with httpx.AsyncClient(transport=transport, base_url="http://store.test") as client:
        return await client.post(f"{api.store}/{path}", content=chunks(), headers=headers)


def test_a_body_that_says_it_is_too_large_is_refused_unread(api: Api) -> None:
    with unchanged(api):
        for said in (MEGABYTE + 1, 70 * MEGABYTE):
            headers = {"Content-Length": str(said)}
            answer = api.ask("POST", "places", raw=b'{"name": "Shed"}', headers=headers)
            refused(answer, 413, slug="too-large")


def test_a_body_that_does_not_say_how_large_it_is_may_be_no_larger(api: Api) -> None:
    with unchanged(api):
        for path, megabytes in (("places", 66), ("snapshot", 66), ("places", 2)):
            answer = asyncio.run(_stream(api, path, megabytes=megabytes))
            refused(answer, 413, slug="too-large")


def _empty(api: Api) -> tuple[StoreId, dict[str, str]]:
    store = StoreId(f"empty-{next(_numbers)}")
    begin = partial(begin_store, store=store, name="x", settings=StoreSettings(), at=NOON)
    transactions.write_beside(api.engine, begin, store=store)
    token = token_for(api.engine, Role.COORDINATOR, store=store)
    return store, {"Authorization": f"Bearer {token}"}


def _small(**changed: object) -> Document:
    document = json.loads(write_snapshot(small_store()))
    assert isinstance(document, dict)
    return {**document, "foods": [], **changed}


def _import(api: Api, body: bytes) -> tuple[httpx.Response, StoreId]:
    store, headers = _empty(api)
    answer = api.ask("POST", f"/v1/stores/{store}/snapshot", role=None, raw=body, headers=headers)
    return answer, store


def test_a_snapshot_that_is_none_is_refused_and_leaves_the_store_empty(api: Api) -> None:
    lot = {"id": "L-a", "food": str(SALMON), "place": str(SHELF), "units": -1}
    wrong: dict[bytes, tuple[str, str]] = {
        b"": ("", "is empty"),
        b"{": ("", "is not JSON:"),
        b"[]": ("", "must be an object in braces"),
        b"[" * 100_000: ("", "is nested too deeply to be a snapshot"),
        b"\x1f\x8b\x08\x00": ("", "is not JSON:"),
        _sent(colour="red"): ("colour", "is not a field that a snapshot has"),
        _sent(taken_on="2026-09-01T00:00:00"): ("taken_on", "must be a date written YYYY-MM-DD"),
        _sent(taken_on="2100-01-01"): ("taken_on", "is not between 2000 and 2099"),
        _sent(version=10**30): ("version", "must be 9007199254740991 or less"),
        _sent(version=-1): ("version", "must be 0 or more"),
        _sent(lots=[lot]): ("lots number 1 > units", "must be 0 or more"),
        _sent(lots=[{**lot, "units": 1, "place": "attic"}]): ("lot 'L-a'", "its "),
        _sent(store_name="\ud800"): ("", "is not JSON:"),
    }
    for body, (where, what) in wrong.items():
        answer, store = _import(api, body)
        first = faults(answer)[0]
        assert (first[0], first[1][: len(what)]) == (where, what)
        assert (version_of(api.engine, store), lots_of(api.engine, store)) == (0, {})


def _sent(**changed: object) -> bytes:
    return json.dumps(_small(**changed)).encode()


def test_a_snapshot_for_a_store_that_holds_something_is_refused(api: Api) -> None:
    with unchanged(api):
        answer = api.ask("POST", "snapshot", raw=_sent())
        detail = refused(answer, 409, slug="store-occupied")
        assert "a store that holds nothing yet" in detail
        refused(api.ask("POST", "snapshot", raw=_sent(), key=None), 400, slug="key-missing")
        other = api.ask("POST", "snapshot", raw=_sent(), role=Role.VOLUNTEER)
        refused(other, 403, slug="not-allowed")


def test_a_snapshot_with_a_nul_in_it_is_refused(api: Api) -> None:
    place = {"id": "P-1", "name": "Shelf"}
    home = {"id": "H-\x00", "members": [{"id": "M-1", "born_on": "1980-01-01"}]}
    for body in (
        _sent(store_name="a\x00b"),
        _sent(places=[{**place, "name": "a\x00b"}]),
        _sent(places=[{**place, "id": "a\x00b"}]),
        _sent(households=[home]),
    ):
        answer, store = _import(api, body)
        faults(answer)
        assert version_of(api.engine, store) == 0


def test_a_store_can_be_written_after_a_snapshot_of_any_version_that_is_taken(api: Api) -> None:
    for version in (2**31 - 3, 2**31 - 2, 2**31, 2**53 - 1):
        store, headers = _empty(api)
        address = f"/v1/stores/{store}"
        body = _sent(version=version)
        answer = api.ask("POST", f"{address}/snapshot", role=None, raw=body, headers=headers)
        assert answer.status_code in (201, 422), answer.text
        if answer.status_code == 201:
            sent = {"name": "Shed"}
            after = api.ask("POST", f"{address}/places", role=None, body=sent, headers=headers)
            assert after.status_code == 201, after.text


def test_a_rule_for_rounds_that_cannot_be_followed_is_refused_in_plain_words(api: Api) -> None:
    rules = ("FREQ=YEARLY;BYDAY=53MO;BYMONTH=2;BYSETPOS=31", "FREQ=DAILY", "a\x00b", "")
    with unchanged(api):
        for rule in rules:
            sent = {"name": "Fernhollow", "settings": {"rounds_rule": rule}}
            answer = api.ask("PUT", api.store, body=sent, headers={"If-Match": '"r1"'})
            ((where, what),) = faults(answer)
            assert where == "settings"
            assert "rule" in what


def test_a_store_whose_id_is_in_another_script_lists_page_by_page(api: Api) -> None:
    store = StoreId("店")
    begin = partial(begin_store, store=store, name="x", settings=StoreSettings(), at=NOON)
    transactions.write_beside(api.engine, begin, store=store)
    headers = {"Authorization": f"Bearer {token_for(api.engine, Role.SCRIPT, store=store)}"}
    answer = api.ask("GET", "/v1/stores/%E5%BA%97/foods?limit=1", role=None, headers=headers)
    assert answer.status_code == 200, answer.text
    after = answer.headers["link"].removeprefix("<").partition(">")[0]
    assert api.ask("GET", after, role=None, headers=headers).json()["items"]


def test_what_a_database_says_of_a_fault_keeps_values_out_of_the_log(api: Api) -> None:
    with api.engine.connect() as connection, pytest.raises(DBAPIError) as told:
        connection.execute(text("SELECT :name FROM nowhere"), {"name": "Wren Example"})
    assert "Wren" not in str(told.value)


def test_no_operation_breaks_on_junk(api: Api) -> None:
    junk = (b"", b"null", b'{"units":1e999}', b'{"name":"\\ud800"}', b'{"a":{"b":[NaN]}}')
    operations = [
        (method.upper(), path.replace("{store}", STORE_ID), "requestBody" in told)
        for path, methods in api.app.openapi()["paths"].items()
        for method, told in methods.items()
    ]
    assert len(operations) > 30
    with unchanged(api):
        for method, path, has_body in operations:
            # What asks for no body and names nothing may be done: here it finds nothing to do.
            may_be_done = not has_body and "{" not in path
            bodies = junk[:2] if method == "GET" else junk
            for raw, part in zip(bodies, cycle(("x", "%ff'"))):
                address = re.sub(r"\{\w+\}", part, path)
                headers = {"If-Match": '"r1"'}
                answer = api.ask(method, f"{address}?as_of={part}", raw=raw, headers=headers)
                assert answer.status_code < 500, (method, address, raw, answer.text)
                if method != "GET" and not (may_be_done and answer.status_code == 200):
                    assert answer.headers["content-type"] == "application/problem+json"
