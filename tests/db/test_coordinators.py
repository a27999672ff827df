"""Claims about who signs in, as kept: names, hashes, sessions, and attempts that failed."""

from collections.abc import Callable
from datetime import timedelta
from functools import partial
from typing import Final, TypeVar

import pytest
from sqlalchemy import Connection, Engine, func, insert, select

from daysworth.db.coordinators import (
    LEAST_PASSWORD_CHARACTERS,
    MISSES_FROM_ONE,
    MISSES_OF_A_NAME,
    MISSES_OF_A_NAME_FROM_ONE,
    MOST_PASSWORD_CHARACTERS,
    SPAN,
    Found,
    SignIn,
    add_coordinator,
    bar_coordinator,
    change_password,
    check_password,
    find_coordinator,
    fits,
    list_coordinators,
    note_miss,
)
from daysworth.db.credentials import recognise
from daysworth.db.engine import reading
from daysworth.db.links import LinkAsked, follow_link, make_link, revoke_link
from daysworth.db.sessions import LASTS, begin_session, end_session, recognise_session
from daysworth.db.tables import COORDINATOR, LINK, METADATA, MISSED_SIGN_IN, SESSION
from daysworth.db.transactions import kept_instant, new_id, write_beside
from daysworth.domain.entries import Credential, CredentialId, Role
from daysworth.domain.errors import AccessRefused, FieldsRefused, NotThere, SignInsTooMany
from daysworth.domain.identifiers import PlaceId, StoreId
from tests.databases import POSTGRESQL, migrated
from tests.grounds import (
    NOON,
    OTHER_STORE,
    SHELF,
    STORE_ID,
    begin_ground,
    look,
    small_store,
    someone,
    token_for,
)

Result = TypeVar("Result")

PASSWORD: Final = "twelve small tins"
ATTEMPT: Final = SignIn(store=STORE_ID, name="Ada Rowe", password=PASSWORD, address="10.0.0.1")
MICROSECOND: Final = timedelta(microseconds=1)


def beside(
    engine: Engine, work: Callable[[Connection], Result], *, store: StoreId = STORE_ID
) -> Result:
    return write_beside(engine, work, store=store)


def keep(engine: Engine, name: str = "Ada Rowe", *, store: StoreId = STORE_ID) -> Credential:
    """Keep somebody without the time that a hash takes."""
    who = Credential(id=CredentialId(new_id("K")), store=store, role=Role.COORDINATOR, label=name)
    kept = insert(COORDINATOR).values(
        store=store,
        id=who.id,
        name=name,
        name_key=name.casefold(),
        password="none",
        created_at=kept_instant(NOON),
        barred_at=None,
    )
    beside(engine, lambda connection: connection.execute(kept), store=store)
    return who


def find(engine: Engine, attempt: SignIn = ATTEMPT, *, after: timedelta = timedelta()) -> Found:
    return look(
        engine,
        lambda one: find_coordinator(one.connection, attempt, at=NOON + after),
        store=attempt.store,
    )


def miss(engine: Engine, name: str, address: str, *, after: timedelta = timedelta()) -> None:
    attempt = SignIn(store=STORE_ID, name=name, password="guessed", address=address)
    beside(engine, partial(note_miss, asked=attempt, at=NOON + after))


def is_closed(engine: Engine, attempt: SignIn = ATTEMPT, *, after: timedelta = timedelta()) -> bool:
    try:
        find(engine, attempt, after=after)
    except SignInsTooMany:
        return True
    return False


def test_a_password_is_kept_as_an_argon2id_hash_and_nowhere_else(engine: Engine) -> None:
    add = partial(add_coordinator, store=STORE_ID, name=" Ada Rowe ", password=PASSWORD, at=NOON)
    id_ = beside(engine, add)
    found = find(engine)
    assert found.who == Credential(id=id_, store=STORE_ID, role=Role.COORDINATOR, label="Ada Rowe")
    assert found.password.startswith("$argon2id$v=19$m=65536,t=3,p=4$")
    assert (fits(found, PASSWORD), fits(found, PASSWORD + " ")) == (True, False)
    rows = look(
        engine,
        lambda one: [one.connection.execute(select(t)).all() for t in METADATA.sorted_tables],
    )
    assert "Ada Rowe" in repr(rows)
    assert PASSWORD not in repr(rows)


def test_a_name_that_is_not_known_is_held_against_a_hash_of_the_same_cost(engine: Engine) -> None:
    found = find(engine)
    assert found.who is None
    assert found.password.startswith("$argon2id$v=19$m=65536,t=3,p=4$")
    assert not fits(found, "nobody signs in with this")


def test_whoever_is_barred_is_held_against_nobodys_hash(engine: Engine) -> None:
    keep(engine)
    beside(engine, partial(bar_coordinator, store=STORE_ID, name="ADA ROWE", at=NOON))
    found = find(engine)
    assert (found.who, found.password[:9]) == (None, "$argon2id")


def test_a_name_is_taken_once_whatever_its_capitals(engine: Engine) -> None:
    keep(engine)
    for name in ("Ada Rowe", "ada rowe", "  ADA ROWE  "):
        add = partial(add_coordinator, store=STORE_ID, name=name, password=PASSWORD, at=NOON)
        with pytest.raises(FieldsRefused, match="signs in here already"):
            beside(engine, add)


def test_the_same_name_may_sign_in_to_two_stores(engine: Engine) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    here, there = keep(engine), keep(engine, store=OTHER_STORE)
    elsewhere = SignIn(store=OTHER_STORE, name="Ada Rowe", password="", address="")
    assert (find(engine).who, find(engine, elsewhere).who) == (here, there)


def test_a_name_that_is_none_is_refused(engine: Engine) -> None:
    for name in ("", "   ", "two\nlines", "turned \u202eround", "nul\x00"):
        add = partial(add_coordinator, store=STORE_ID, name=name, password=PASSWORD, at=NOON)
        with pytest.raises(FieldsRefused, match="has 1 to 120 characters, on one line"):
            beside(engine, add)
    assert look(engine, list_coordinators) == []


def test_a_password_has_twelve_to_two_hundred_characters() -> None:
    for length in (LEAST_PASSWORD_CHARACTERS, MOST_PASSWORD_CHARACTERS):
        check_password("x" * length)
    for length in (0, LEAST_PASSWORD_CHARACTERS - 1, MOST_PASSWORD_CHARACTERS + 1):
        with pytest.raises(FieldsRefused, match="has 12 to 200 characters"):
            check_password("x" * length)


def test_a_store_or_a_name_that_is_not_there_is_said_so(engine: Engine) -> None:
    add = partial(
        add_coordinator, store=StoreId("nowhere"), name="Ada Rowe", password=PASSWORD, at=NOON
    )
    with pytest.raises(NotThere, match="no store 'nowhere'"):
        beside(engine, add, store=StoreId("nowhere"))
    with pytest.raises(NotThere, match="nobody signs in to this store as 'Bo Rowe'"):
        beside(engine, partial(bar_coordinator, store=STORE_ID, name="Bo Rowe", at=NOON))
    change = partial(change_password, store=STORE_ID, name="Bo Rowe", password=PASSWORD, at=NOON)
    with pytest.raises(NotThere, match="nobody signs in to this store as 'Bo Rowe'"):
        beside(engine, change)


def test_another_password_lets_in_again_and_ends_what_was_open(engine: Engine) -> None:
    who = keep(engine)
    secret = beside(engine, partial(begin_session, who=who, at=NOON))
    beside(engine, partial(bar_coordinator, store=STORE_ID, name="Ada Rowe", at=NOON))
    change = partial(change_password, store=STORE_ID, name="ada rowe", password=PASSWORD, at=NOON)
    beside(engine, change)
    found = find(engine)
    assert (found.who, fits(found, PASSWORD)) == (who, True)
    with pytest.raises(AccessRefused, match="signed in no longer"):
        recognise_session(engine, secret, at=NOON)


def test_those_who_may_sign_in_are_listed_by_name_with_who_is_barred(engine: Engine) -> None:
    for name in ("zoe fern", "Ada Rowe", "Bo Rowe"):
        keep(engine, name)
    beside(engine, partial(bar_coordinator, store=STORE_ID, name="Bo Rowe", at=NOON))
    listed = [(one.name, one.barred_at is not None) for one in look(engine, list_coordinators)]
    assert listed == [("Ada Rowe", False), ("Bo Rowe", True), ("zoe fern", False)]


def test_a_session_opens_for_twelve_hours_and_no_longer(engine: Engine) -> None:
    who = keep(engine)
    secret = beside(engine, partial(begin_session, who=who, at=NOON))
    assert recognise_session(engine, secret, at=NOON + LASTS - MICROSECOND) == who
    with pytest.raises(AccessRefused, match="signed in no longer"):
        recognise_session(engine, secret, at=NOON + timedelta(hours=12))


def test_a_session_is_ended_in_its_own_store_alone_and_alone(engine: Engine) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    who = keep(engine)
    one, other = (beside(engine, partial(begin_session, who=who, at=NOON)) for _ in range(2))
    for store in (OTHER_STORE, STORE_ID):
        end = partial(end_session, secret=one, store=store, at=NOON)
        assert recognise_session(engine, one, at=NOON) == who
        beside(engine, end, store=store)
    with pytest.raises(AccessRefused, match="signed in no longer"):
        recognise_session(engine, one, at=NOON)
    assert recognise_session(engine, other, at=NOON) == who


def test_whoever_is_barred_has_no_session_left(engine: Engine) -> None:
    secret = beside(engine, partial(begin_session, who=keep(engine), at=NOON))
    stays = beside(engine, partial(begin_session, who=keep(engine, "Bo Rowe"), at=NOON))
    beside(engine, partial(bar_coordinator, store=STORE_ID, name="Ada Rowe", at=NOON))
    with pytest.raises(AccessRefused, match="signed in no longer"):
        recognise_session(engine, secret, at=NOON)
    assert recognise_session(engine, stays, at=NOON).label == "Bo Rowe"


def test_each_kind_of_secret_opens_its_own_kind_of_door(engine: Engine) -> None:
    asked = LinkAsked(
        store=STORE_ID, place=SHELF, label="Tuesday table", expires_at=NOON + timedelta(days=1)
    )
    session = beside(engine, partial(begin_session, who=keep(engine), at=NOON))
    link = beside(engine, partial(make_link, asked=asked, by=someone(), at=NOON))
    token = token_for(engine, Role.COORDINATOR)
    openers = {session: recognise_session, link: follow_link, token: recognise}
    for secret, own in openers.items():
        for opener in openers.values():
            if opener is own:
                assert opener(engine, secret, at=NOON).store == STORE_ID
            else:
                with pytest.raises(AccessRefused):
                    opener(engine, secret, at=NOON)
    rows = look(
        engine,
        lambda one: [one.connection.execute(select(t)).all() for t in METADATA.sorted_tables],
    )
    assert [one for one in openers if one.removeprefix("dw_") in repr(rows)] == []


def test_the_sixth_attempt_of_a_name_from_one_address_must_wait(engine: Engine) -> None:
    who = keep(engine)
    for _ in range(MISSES_OF_A_NAME_FROM_ONE - 1):
        miss(engine, "ADA ROWE ", "10.0.0.1")
    assert find(engine).who == who
    miss(engine, "ada rowe", "10.0.0.1")
    assert is_closed(engine)
    elsewhere = SignIn(store=STORE_ID, name="Ada Rowe", password="", address="10.0.0.2")
    assert find(engine, elsewhere).who == who


def test_a_wait_is_over_when_the_last_of_five_is_fifteen_minutes_old(engine: Engine) -> None:
    keep(engine)
    for number in range(MISSES_OF_A_NAME_FROM_ONE):
        miss(engine, "Ada Rowe", "10.0.0.1", after=timedelta(minutes=number))
    assert is_closed(engine, after=SPAN - MICROSECOND)
    # The first of the five is counted no more.
    assert not is_closed(engine, after=SPAN)


def test_twenty_misses_from_one_address_close_it_to_every_name(engine: Engine) -> None:
    keep(engine)
    for number in range(MISSES_FROM_ONE):
        assert not is_closed(engine)
        miss(engine, f"guess {number}", "10.0.0.1")
    assert is_closed(engine)


def test_thirty_misses_of_a_name_close_it_from_anywhere(engine: Engine) -> None:
    keep(engine)
    for number in range(MISSES_OF_A_NAME):
        assert not is_closed(engine)
        miss(engine, "Ada Rowe", f"10.0.1.{number}")
    assert is_closed(engine)
    other = SignIn(store=STORE_ID, name="Bo Rowe", password="", address="10.0.0.1")
    assert not is_closed(engine, other)


def test_misses_in_one_store_close_nothing_in_another(engine: Engine) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    for _ in range(MISSES_OF_A_NAME_FROM_ONE):
        miss(engine, "Ada Rowe", "10.0.0.1")
    elsewhere = SignIn(store=OTHER_STORE, name="Ada Rowe", password="", address="10.0.0.1")
    assert (is_closed(engine), is_closed(engine, elsewhere)) == (True, False)


def test_misses_that_are_counted_no_more_are_forgotten(engine: Engine) -> None:
    for _ in range(3):
        miss(engine, "Ada Rowe", "10.0.0.1")
    miss(engine, "Bo Rowe", "10.0.0.1", after=SPAN + MICROSECOND)
    chosen = select(MISSED_SIGN_IN.c.name_key, MISSED_SIGN_IN.c.address)
    rows = look(engine, lambda one: one.connection.execute(chosen).all())
    assert len(rows) == 1
    assert "10.0.0.1" not in repr(rows)
    assert "rowe" not in repr(rows).casefold()


def test_a_link_is_withdrawn_as_of_the_first_time_and_in_its_own_store_alone(
    engine: Engine,
) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    asked = LinkAsked(
        store=STORE_ID, place=SHELF, label="Tuesday table", expires_at=NOON + timedelta(days=1)
    )
    secret = beside(engine, partial(make_link, asked=asked, by=someone(), at=NOON))
    link = follow_link(engine, secret, at=NOON).id
    elsewhere = partial(revoke_link, link=link, store=OTHER_STORE, at=NOON)
    with pytest.raises(NotThere, match=f"there is no link '{link}' in this store"):
        beside(engine, elsewhere, store=OTHER_STORE)
    for hours in (1, 2):
        at = NOON + timedelta(hours=hours)
        beside(engine, partial(revoke_link, link=link, store=STORE_ID, at=at))
    kept = look(engine, lambda one: one.connection.execute(select(LINK.c.revoked_at)).all())
    assert [row.revoked_at for row in kept] == ["2026-09-01T13:00:00.000000Z"]
    with pytest.raises(AccessRefused, match="this link was withdrawn"):
        follow_link(engine, secret, at=NOON)


def test_a_link_opens_until_the_instant_it_expires(engine: Engine) -> None:
    asked = LinkAsked(
        store=STORE_ID, place=SHELF, label="Tuesday table", expires_at=NOON + timedelta(days=1)
    )
    secret = beside(engine, partial(make_link, asked=asked, by=someone(), at=NOON))
    opened = follow_link(engine, secret, at=asked.expires_at - MICROSECOND)
    assert (opened.role, opened.place, opened.label) == (Role.VOLUNTEER, SHELF, "Tuesday table")
    with pytest.raises(AccessRefused, match="this link has expired"):
        follow_link(engine, secret, at=asked.expires_at)


def test_a_link_to_nowhere_or_for_nobody_or_over_already_is_refused(engine: Engine) -> None:
    asked = LinkAsked(store=STORE_ID, place=PlaceId("attic"), label="", expires_at=NOON)
    with pytest.raises(FieldsRefused) as refused:
        beside(engine, partial(make_link, asked=asked, by=someone(), at=NOON))
    assert [fault.where for fault in refused.value.faults] == ["expires", "place", "label"]


def test_postgresql_shows_these_rows_to_no_transaction_that_did_not_name_their_store() -> None:
    engine = migrated(POSTGRESQL)
    begin_ground(engine, small_store())
    beside(engine, partial(begin_session, who=keep(engine), at=NOON))
    miss(engine, "Ada Rowe", "10.0.0.1")
    asked = LinkAsked(
        store=STORE_ID, place=SHELF, label="Tuesday table", expires_at=NOON + timedelta(days=1)
    )
    beside(engine, partial(make_link, asked=asked, by=someone(), at=NOON))
    tables = (COORDINATOR, SESSION, MISSED_SIGN_IN, LINK)
    counts = [select(func.count()).select_from(table) for table in tables]
    named = look(engine, lambda one: [one.connection.execute(c).scalar_one() for c in counts])
    with reading(engine) as connection, connection.begin():
        unnamed = [connection.execute(count).scalar_one() for count in counts]
    assert (named, unnamed) == ([1, 1, 1, 1], [0, 0, 0, 0])
    engine.dispose()
