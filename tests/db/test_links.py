"""A link opens one place of one store until it expires or is withdrawn; its secret is not kept."""

from datetime import datetime, timedelta
from functools import partial

import pytest
from sqlalchemy import Engine, select

from daysworth.db.links import (
    KeptLink,
    LinkAsked,
    follow_link,
    list_links,
    make_link,
    revoke_link,
)
from daysworth.db.secret_hashes import PREFIX, hash_of
from daysworth.db.tables import LINK
from daysworth.db.transactions import write_beside
from daysworth.domain.entries import CredentialId, Role
from daysworth.domain.errors import AccessRefused, FieldsRefused, NotThere
from daysworth.domain.identifiers import PlaceId, StoreId
from tests.grounds import (
    NOON,
    OTHER_STORE,
    SHELF,
    STORE_ID,
    begin_ground,
    look,
    small_store,
    someone,
)

MOMENT = timedelta(microseconds=1)
WEEK = timedelta(days=7)


def made(
    engine: Engine,
    *,
    store: StoreId = STORE_ID,
    place: PlaceId = SHELF,
    label: str = "Wednesday table",
    at: datetime = NOON,
) -> str:
    """Make a link that lasts a week, and give its secret."""
    asked = LinkAsked(store=store, place=place, label=label, expires_at=NOON + WEEK)
    make = partial(make_link, asked=asked, by=someone(store=store), at=at)
    return write_beside(engine, make, store=store)


def listed(engine: Engine, store: StoreId = STORE_ID) -> list[KeptLink]:
    """List a store's links."""
    return look(engine, list_links, store=store)


def withdraw(
    engine: Engine, link: CredentialId, *, store: StoreId = STORE_ID, at: datetime = NOON
) -> None:
    """Withdraw a link."""
    write_beside(engine, partial(revoke_link, link=link, store=store, at=at), store=store)


def test_a_link_opens_its_place_for_a_volunteer_who_signs_with_its_label(engine: Engine) -> None:
    opened = follow_link(engine, made(engine), at=NOON)
    (link,) = listed(engine)
    assert (opened.id, opened.store, opened.place) == (link.id, STORE_ID, SHELF)
    assert (opened.role, opened.signs_as) == (Role.VOLUNTEER, "Wednesday table")
    assert opened.household is None


def test_a_secret_is_kept_as_its_hash_alone(engine: Engine) -> None:
    secret = made(engine)
    (row,) = look(engine, lambda reading: reading.connection.execute(select(LINK)).all())
    assert row.hash == hash_of(secret)
    kept = " ".join(str(value) for value in row)
    assert secret not in kept
    assert secret.removeprefix(PREFIX) not in kept


def test_a_link_opens_until_the_moment_it_expires(engine: Engine) -> None:
    secret = made(engine)
    assert follow_link(engine, secret, at=NOON + WEEK - MOMENT).place == SHELF
    with pytest.raises(AccessRefused, match="has expired"):
        follow_link(engine, secret, at=NOON + WEEK)


def test_a_link_that_was_withdrawn_opens_nothing_and_the_others_do(engine: Engine) -> None:
    secret, other = made(engine), made(engine, label="Saturday crew")
    (link,) = (kept.id for kept in listed(engine) if kept.label == "Wednesday table")
    withdraw(engine, link)
    with pytest.raises(AccessRefused, match="was withdrawn"):
        follow_link(engine, secret, at=NOON)
    assert follow_link(engine, other, at=NOON).label == "Saturday crew"


def test_a_link_withdrawn_twice_stays_withdrawn_as_of_the_first_time(engine: Engine) -> None:
    made(engine)
    (link,) = listed(engine)
    assert link.revoked_at is None
    withdraw(engine, link.id, at=NOON)
    withdraw(engine, link.id, at=NOON + WEEK)
    (after,) = listed(engine)
    assert after.revoked_at == "2026-09-01T12:00:00.000000Z"


def test_a_link_of_another_store_is_neither_listed_nor_withdrawn(engine: Engine) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    secret = made(engine, store=OTHER_STORE)
    (theirs,) = listed(engine, OTHER_STORE)
    assert listed(engine) == []
    with pytest.raises(NotThere):
        withdraw(engine, theirs.id)
    assert follow_link(engine, secret, at=NOON).store == OTHER_STORE


def test_links_are_listed_the_newest_first_with_the_name_of_their_place(engine: Engine) -> None:
    made(engine, label="older")
    made(engine, label="newer", at=NOON + MOMENT)
    first, second = listed(engine)
    assert [first.label, second.label] == ["newer", "older"]
    assert (first.place_name, first.made_by) == ("Shelf", someone().signs_as)
    assert first.expires_at == "2026-09-08T12:00:00.000000Z"


def test_what_is_no_secret_opens_nothing(engine: Engine) -> None:
    secret = made(engine)
    guesses = ("", "dw_", "nobody", "dw_" + "x" * 300, "dw_é", "dw_\ud800", "dw_' OR 1=1 --")
    for guess in (*guesses, secret[:-1], secret.removeprefix(PREFIX), hash_of(secret)):
        with pytest.raises(AccessRefused):
            follow_link(engine, guess, at=NOON)


def test_a_link_that_cannot_be_is_refused_with_all_that_is_wrong(engine: Engine) -> None:
    with pytest.raises(FieldsRefused) as refused:
        made(engine, place=PlaceId("nowhere"), label="", at=NOON + WEEK)
    assert [fault.where for fault in refused.value.faults] == ["expires", "place", "label"]
    with pytest.raises(FieldsRefused):
        made(engine, label="x" * 121)
    assert listed(engine) == []
