"""Whatever is wrong with a request is said in plain words, and nothing is changed by it."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import timedelta
from functools import partial
from typing import Final

import httpx

from daysworth.db import transactions
from daysworth.db.credentials import list_credentials, revoke_credential
from daysworth.domain.entries import CredentialId, Role
from tests.api.clients import Api, problem
from tests.grounds import (
    CELLAR,
    NOON,
    OTHER_HOME,
    OTHER_STORE,
    PEANUT_HOME,
    SALMON,
    SHELF,
    STORE_ID,
    begin_ground,
    box,
    look,
    lots_of,
    put_up,
    small_store,
    token_for,
    version_of,
)

Faults = list[tuple[str, str]]

NOTHING: Final = "Nothing was changed."
NOT_PLAIN: Final = (
    *("sqlalchemy", "psycopg", "sqlite", "postgres", "pydantic", "Traceback", "SELECT ", "INSERT "),
    *("UPDATE ", "NoneType", "ValueError", "object has", "index out of range", "codec"),
)


@contextmanager
def unchanged(api: Api) -> Iterator[None]:
    """Hold that nothing in the store changes until the block ends."""
    before = version_of(api.engine), lots_of(api.engine)
    yield
    assert (version_of(api.engine), lots_of(api.engine)) == before


def refused(answer: httpx.Response, status: int, *, slug: str) -> str:
    """Read a refusal of one kind in plain words, and give its detail."""
    read = problem(answer, status)
    assert read["type"] == f"/v1/problems/{slug}", answer.text
    assert not [words for words in NOT_PLAIN if words.lower() in answer.text.lower()], answer.text
    return str(read["detail"])


def faults(answer: httpx.Response) -> Faults:
    """Read what was wrong, and where, in a request whose fields cannot be used."""
    assert refused(answer, 422, slug="cannot-be-used") == NOTHING
    listed = answer.json()["faults"]
    return [(str(one["where"]), str(one["what"])) for one in listed]


def line(**changed: object) -> dict[str, object]:
    """Describe one box of an intake as it is sent, and one thing wrong with it."""
    right = {"place": SHELF, "food": SALMON, "units": 1, "label_kind": "best_by"}
    return {"lines": [{**right, "printed": "2028-09", **changed}]}


def test_units_that_no_box_has_are_refused(api: Api) -> None:
    whole, least = "must be a whole number", "must be 1 or more"
    most = "must be 100000 or less"
    wrong = {-1: least, 0: least, 100_001: most, 10**30: most, 10**400: most, 1.5: whole}
    with unchanged(api):
        for units, what in wrong.items():
            answer = api.ask("POST", "intake", body=line(units=units))
            assert faults(answer) == [("lines number 1 > units", what)]
        for other in (2.0, True, "6", "٣", [1], {"a": 1}, float("nan"), float("inf")):
            answer = api.ask("POST", "intake", body=line(units=other))
            assert faults(answer) == [("lines number 1 > units", whole)]


def test_a_mass_that_no_pack_has_is_refused(api: Api) -> None:
    wrong = (
        (0, "must be 0.1 or more"),
        (-2.5, "must be 0.1 or more"),
        (10**30, "must be 1000000"),
        (10**400, "must be a number"),
        (True, "must be a number"),
        ("400", "must be a number"),
        (float("nan"), "must be a finite number"),
        (float("-inf"), "must be a finite number"),
    )
    with unchanged(api):
        for mass, words in wrong:
            ((where, what),) = faults(api.ask("POST", "intake", body=line(net_mass_g=mass)))
            assert where == "lines number 1 > net_mass_g"
            assert what.startswith(words)


def test_cases_and_units_contradict_and_multiply_within_reason(api: Api) -> None:
    with unchanged(api):
        both = api.ask("POST", "intake", body=line(cases=2, units_per_case=6))
        assert faults(both) == [("lines number 1", "give units, or cases and units_per_case")]
        many = api.ask("POST", "intake", body=line(units=None, cases=10_000, units_per_case=11))
        words = "that is 110000 units, and 100000 are the most at once"
        assert faults(many) == [("lines number 1", words)]


def test_a_printed_date_that_cannot_be_is_refused_wherever_it_is_sent(api: Api) -> None:
    lot = put_up(api.engine)[0].id
    unwritten = "is not a date written YYYY-MM-DD, YYYY-MM or YYYY"
    wrong = {
        "1999-12-31": "1999-12-31 is not between 2000 and 2099",
        "2100-01-01": "2100-01-01 is not between 2000 and 2099",
        "2027-02-29": "there is no day 2027-02-29",
        "2027-13": "there is no day 2027-13",
        "2027-1-1": f"'2027-1-1' {unwritten}",
        "20280901": f"'20280901' {unwritten}",
        "２０２８-０９": f"'２０２８-０９' {unwritten}",
        "": f"'' {unwritten}",
        "2028-09-01T00:00": "has room for at most 10 characters",
    }
    with unchanged(api):
        for printed, what in wrong.items():
            new = api.ask("POST", "intake", body=line(printed=printed))
            assert faults(new) == [("lines number 1 > printed", what)]
            old = api.ask(
                "POST",
                f"lots/{lot}/date",
                body={"label_kind": "best_by", "printed": printed},
                headers={"If-Match": '"r1"'},
            )
            assert faults(old) == [("printed", what)]


def test_a_day_that_cannot_be_is_refused(api: Api) -> None:
    lot = put_up(api.engine)[0].id
    reach, form = "must be a day from 2000 to today", "must be a date written YYYY-MM-DD"
    wrong: dict[object, str] = dict.fromkeys(("1999-12-31", "2026-09-02", "9999-12-31"), reach)
    wrong |= dict.fromkeys(("2026-02-30", "0000-01-01"), "there is no such day")
    wrong |= dict.fromkeys(("2026-08-01T00:00:00Z", "20260801", "２０２６-08-01", 1754006400), form)
    with unchanged(api):
        for day, what in wrong.items():
            opened = api.ask("POST", f"lots/{lot}/open", body={"units": 1, "opened_on": day})
            assert faults(opened) == [("opened_on", what)]
            packs = {"units": 1, "into_units": 2, "net_mass_g": 50, "repacked_on": day}
            repacked = api.ask("POST", f"lots/{lot}/repack", body=packs)
            assert faults(repacked) == [("repacked_on", what)]


def test_what_a_line_refers_to_must_be_there(api: Api) -> None:
    lines = [
        *line()["lines"],  # type: ignore[misc]
        {"place": "attic", "food": "moon_cheese", "units": 1, "owner": "H-nobody"},
    ]
    with unchanged(api):
        assert faults(api.ask("POST", "intake", body={"lines": lines})) == [
            ("lines number 2 > place", "there is no place 'attic'"),
            (
                "lines number 2 > food",
                "there is no food 'moon_cheese': search for it, or give words instead",
            ),
            ("lines number 2 > owner", "there is no household 'H-nobody'"),
        ]


def test_an_unlisted_box_is_saved_in_words_and_warned_of(api: Api) -> None:
    sent = {"place": SHELF, "units": 3, "words": "odd tins from the choir"}
    answer = api.post("intake", {"lines": [sent]}, role=Role.VOLUNTEER)
    assert isinstance(answer["lines"], list)
    saved = answer["lines"][0]
    assert isinstance(saved, dict)
    words = "saved; it counts in no plan until a coordinator says what it is"
    assert saved["warnings"] == [{"about": "not_in_list", "text": words}]
    (lot,) = lots_of(api.engine).values()
    assert (lot.words, lot.food, lot.units) == ("odd tins from the choir", None, 3)


def test_more_than_there_is_cannot_be_taken(api: Api) -> None:
    lot = put_up(api.engine)[0].id
    bodies: Mapping[str, dict[str, object]] = {
        "use": {"units": 7},
        "discard": {"units": 7, "why": "it leaked"},
        "open": {"units": 7},
        "move": {"units": 7, "place": CELLAR},
        "repack": {"units": 7, "into_units": 14, "net_mass_g": 50},
    }
    with unchanged(api):
        for deed, body in bodies.items():
            answer = api.ask("POST", f"lots/{lot}/{deed}", body=body)
            detail = refused(answer, 409, slug="stock-does-not-allow")
            assert detail.startswith(f"7 asked for, and 6 are there to take from lot '{lot}'")


def test_a_count_of_what_is_elsewhere_or_counted_already_is_refused(api: Api) -> None:
    here, there = put_up(api.engine, box(), box(place=CELLAR))

    def take(*lots: str, place: str = SHELF, units: object = 1) -> httpx.Response:
        counts = [{"lot": lot, "units": units} for lot in lots]
        return api.ask("POST", "stock-take", body={"place": place, "counts": counts})

    with unchanged(api):
        words = f"lot '{there.id}' stands in 'cellar', not here: move it"
        assert faults(take(here.id, there.id)) == [("counts number 2 > lot", words)]
        twice = "a lot is counted twice: add its units up, and count it once"
        assert faults(take(here.id, here.id)) == [("", twice)]
        assert "L-nowhere" in refused(take("L-nowhere"), 404, slug="not-there")
        least = faults(take(here.id, units=-1))
        assert least == [("counts number 1 > units", "must be 0 or more")]
        most = faults(take(here.id, units=10**30))
        assert most == [("counts number 1 > units", "must be 100000 or less")]
        assert faults(take()) == [("counts", "needs at least 1")]


def test_what_makes_something_needs_a_key_of_its_own(api: Api) -> None:
    words = [("Idempotency-Key", "has 1 to 200 plain letters, digits and signs")]
    with unchanged(api):
        answer = api.ask("POST", "intake", body=line(), key=None)
        assert "send it" not in refused(answer, 400, slug="key-missing")
        for key in ("", "k" * 201, "a\tb"):
            assert faults(api.ask("POST", "intake", body=line(), key=key)) == words
    api.ask("POST", "intake", body=line(), key="once")
    with unchanged(api):
        other = api.ask("POST", "intake", body=line(units=2), key="once")
        assert "for another request" in refused(other, 422, slug="key-used")
        elsewhere = api.ask("POST", "places", body={"name": "Shed"}, key="once")
        refused(elsewhere, 422, slug="key-used")


def test_a_change_needs_the_revision_that_was_seen(api: Api) -> None:
    lot = put_up(api.engine)[0].id
    changes: Mapping[str, tuple[str, dict[str, object]]] = {
        f"lots/{lot}/correct": ("POST", {"why": "miscounted", "units": 5}),
        f"lots/{lot}/date": ("POST", {"label_kind": "use_by", "printed": "2027"}),
        f"places/{SHELF}": ("PUT", {"name": "Shelf 2"}),
        f"households/{OTHER_HOME}": ("PUT", {"name": "Next door"}),
        api.store: ("PUT", {"name": "Fernhollow", "settings": {}}),
    }
    malformed = ("*", "r1", '"r1', '"1"', 'W/"r1"', '"r-1"', '"r1", "r2"', '"r9999999999999999"')
    with unchanged(api):
        for path, (method, body) in changes.items():
            missing = api.ask(method, path, body=body)
            assert "If-Match" in refused(missing, 428, slug="revision-missing")
            stale = api.ask(method, path, body=body, headers={"If-Match": '"r7"'})
            assert "changed since you looked" in refused(stale, 412, slug="not-as-it-was")
            for tag in malformed:
                answer = api.ask(method, path, body=body, headers={"If-Match": tag})
                assert "quotes included" in refused(answer, 412, slug="not-as-it-was")


def _bearing(api: Api, token: str) -> httpx.Response:
    headers = {"Authorization": f"Bearer {token}"}
    return api.ask("POST", "intake", role=None, body=line(), headers=headers)


def test_a_credential_of_another_store_opens_nothing_here(api: Api) -> None:
    begin_ground(api.engine, small_store(OTHER_STORE))
    theirs = token_for(api.engine, Role.COORDINATOR, store=OTHER_STORE)
    with unchanged(api):
        words = "This credential is for another store."
        assert refused(_bearing(api, theirs), 403, slug="not-allowed") == words
        # A store that is not there is told apart from another's by nothing.
        nowhere = api.ask("GET", "/v1/stores/nowhere/places")
        assert refused(nowhere, 403, slug="not-allowed") == words


def test_a_credential_that_is_unknown_expired_or_revoked_is_refused(api: Api) -> None:
    short = token_for(api.engine, Role.VOLUNTEER, expires_at=NOON + timedelta(days=1))
    gone = token_for(api.engine, Role.SCRIPT)
    (script,) = [
        one.credential.id
        for one in look(api.engine, list_credentials)
        if one.credential.role is Role.SCRIPT
    ]
    revoke = partial(revoke_credential, credential=CredentialId(script), store=STORE_ID, at=NOON)
    transactions.write_beside(api.engine, revoke, store=STORE_ID)
    api.clock.move(timedelta(days=2))
    wrong = {
        short: "has expired",
        gone: "was revoked",
        "dw_x": "not known here",
        f"dw_{'x' * 400}": "not known here",
        "x": "not known here",
    }
    with unchanged(api):
        for token, words in wrong.items():
            answer = _bearing(api, token)
            assert words in refused(answer, 401, slug="credential-refused")
            assert answer.headers["www-authenticate"] == 'Bearer realm="daysworth"'
            assert answer.headers["cache-control"] == "no-store"


def test_another_scheme_or_none_is_refused_before_anything_is_read(api: Api) -> None:
    token = api.token(Role.COORDINATOR)
    with unchanged(api):
        for sent in (None, "Basic dTpw", "Bearer", token, f"Token {token}", f"Bearer={token}"):
            headers = {} if sent is None else {"Authorization": sent}
            answer = api.ask("POST", "intake", role=None, raw=b"{not json", headers=headers)
            detail = refused(answer, 401, slug="credential-refused")
            assert "Authorization: Bearer" in detail
            assert "www-authenticate" in answer.headers


def test_a_household_acts_on_no_lot_but_its_own(api: Api) -> None:
    lot = put_up(api.engine, box(owner=OTHER_HOME))[0].id
    bodies: Mapping[str, dict[str, object]] = {
        "use": {"units": 1},
        "return": {"units": 1},
        "discard": {"units": 1, "why": "it leaked"},
        "open": {"units": 1},
        "repack": {"units": 1, "into_units": 2, "net_mass_g": 9},
        "move": {"place": CELLAR},
        "share": {},
        "take-back": {},
    }
    with unchanged(api):
        for deed, body in bodies.items():
            answer = api.ask("POST", f"lots/{lot}/{deed}", role=Role.HOUSEHOLD, body=body)
            detail = refused(answer, 404, slug="not-there")
            assert detail == f"There is no lot '{lot}' of yours in this store."
        refused(api.ask("GET", f"lots/{lot}", role=Role.HOUSEHOLD), 404, slug="not-there")


def test_a_household_is_given_no_answer_that_was_made_for_another(api: Api) -> None:
    lot = put_up(api.engine, box(owner=OTHER_HOME))[0].id
    first = api.ask("POST", f"lots/{lot}/use", body={"units": 1}, key="guessable")
    assert first.status_code == 201
    with unchanged(api):
        again = api.ask(
            "POST", f"lots/{lot}/use", role=Role.HOUSEHOLD, body={"units": 1}, key="guessable"
        )
        assert again.status_code in (403, 404, 422)
        assert "units_free" not in again.text


def test_a_household_logs_no_stock_but_its_own(api: Api) -> None:
    words = "A household logs its own stock: name it as the owner."
    with unchanged(api):
        for sent in (line(), line(owner=OTHER_HOME), line(owner="H-nobody")):
            answer = api.ask("POST", "intake", role=Role.HOUSEHOLD, body=sent)
            assert refused(answer, 403, slug="not-allowed") == words
        other = api.ask("GET", f"households/{OTHER_HOME}", role=Role.HOUSEHOLD)
        refused(other, 403, slug="not-allowed")
    assert api.ask("POST", "intake", role=Role.HOUSEHOLD, body=line(owner=PEANUT_HOME)).is_success
