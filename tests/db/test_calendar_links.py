"""Claims about the addresses of calendars, and about what calendars showed."""

from datetime import timedelta
from functools import partial

import pytest
from sqlalchemy import Connection, Engine, select

from daysworth.db import transactions
from daysworth.db.calendar_links import (
    MOST_EACH,
    MOST_REVOKED,
    KeptCalendarLink,
    NewCalendarLink,
    follow_calendar_link,
    list_calendar_links,
    make_calendar_link,
    revoke_calendar_link,
)
from daysworth.db.calendar_shown import KEPT_DAYS, Showing, Shown, note_shown
from daysworth.db.coordinators import add_coordinator, bar_coordinator
from daysworth.db.credentials import recognise, revoke_credential
from daysworth.db.tables import CALENDAR_LINK
from daysworth.domain.entries import Credential, Role
from daysworth.domain.errors import NotThere, StoreRefused
from tests.grounds import (
    NOON,
    OTHER_STORE,
    STORE_ID,
    begin_ground,
    look,
    small_store,
    token_for,
    version_of,
)

DAY = timedelta(days=1)


def known(engine: Engine, role: Role = Role.VOLUNTEER) -> Credential:
    return recognise(engine, token_for(engine, role), at=NOON)


def made(engine: Engine, by: Credential, *, label: str = "telephone") -> NewCalendarLink:
    work = partial(make_calendar_link, label=label, by=by, at=NOON)
    return transactions.write_beside(engine, work, store=by.store)


def revoke(engine: Engine, link: str, *, by: Credential) -> None:
    work = partial(revoke_calendar_link, link=link, by=by, at=NOON + DAY)
    transactions.write_beside(engine, work, store=by.store)


def listed(engine: Engine, by: Credential) -> list[KeptCalendarLink]:
    return look(engine, partial(list_calendar_links, by=by), store=by.store)


def opens(engine: Engine, secret: str) -> bool:
    try:
        return follow_calendar_link(engine, secret, at=NOON + 2 * DAY) == STORE_ID
    except NotThere:
        return False


def test_an_address_opens_the_calendar_of_its_store_alone(engine: Engine) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    link = made(engine, known(engine))
    assert follow_calendar_link(engine, link.secret, at=NOON) == STORE_ID


def test_a_secret_is_kept_nowhere(engine: Engine) -> None:
    link = made(engine, known(engine))
    rows = look(engine, lambda reading: reading.connection.execute(select(CALENDAR_LINK)).all())
    assert link.secret not in repr(rows)
    assert link.secret not in repr(listed(engine, known(engine, Role.COORDINATOR)))


@pytest.mark.parametrize("secret", ["", "dw_", "dw_" + "x" * 300, "nonsense", "dw_ü"])
def test_what_was_never_given_opens_nothing(engine: Engine, secret: str) -> None:
    made(engine, known(engine))
    with pytest.raises(NotThere):
        follow_calendar_link(engine, secret, at=NOON)


def test_a_revoked_address_opens_nothing_and_the_others_stay(engine: Engine) -> None:
    by = known(engine)
    first, second = made(engine, by), made(engine, by)
    revoke(engine, first.link.id, by=by)
    assert not opens(engine, first.secret)
    assert opens(engine, second.secret)
    assert {one.id: one.revoked_at is None for one in listed(engine, by)} == {
        first.link.id: False,
        second.link.id: True,
    }


def test_revoked_twice_it_stays_as_of_the_first_time(engine: Engine) -> None:
    by = known(engine)
    link = made(engine, by).link
    revoke(engine, link.id, by=by)
    before = listed(engine, by)
    work = partial(revoke_calendar_link, link=link.id, by=by, at=NOON + 9 * DAY)
    transactions.write_beside(engine, work, store=by.store)
    assert listed(engine, by) == before


def test_with_its_credential_an_address_is_revoked_too(engine: Engine) -> None:
    by = known(engine)
    link = made(engine, by)
    assert opens(engine, link.secret)
    work = partial(revoke_credential, credential=by.id, store=STORE_ID, at=NOON + DAY)
    transactions.write_beside(engine, work, store=STORE_ID)
    assert not opens(engine, link.secret)


def test_when_its_credential_expires_an_address_does_too(engine: Engine) -> None:
    token = token_for(engine, Role.VOLUNTEER, expires_at=NOON + DAY)
    link = made(engine, recognise(engine, token, at=NOON))
    assert follow_calendar_link(engine, link.secret, at=NOON) == STORE_ID
    with pytest.raises(NotThere):
        follow_calendar_link(engine, link.secret, at=NOON + DAY)


def test_when_a_coordinator_who_signs_in_is_barred_their_address_is_revoked_too(
    engine: Engine,
) -> None:
    add = partial(add_coordinator, store=STORE_ID, name="Ida", password="a long password", at=NOON)
    id_ = transactions.write_beside(engine, add, store=STORE_ID)
    link = made(engine, Credential(id=id_, store=STORE_ID, role=Role.COORDINATOR, label="Ida"))
    assert opens(engine, link.secret)
    bar = partial(bar_coordinator, store=STORE_ID, name="Ida", at=NOON + DAY)
    transactions.write_beside(engine, bar, store=STORE_ID)
    assert not opens(engine, link.secret)


def test_of_one_person_five_stand_at_a_time(engine: Engine) -> None:
    by, other = known(engine), known(engine)
    links = [made(engine, by) for _ in range(MOST_EACH)]
    with pytest.raises(StoreRefused, match="revoke one"):
        made(engine, by)
    assert len(listed(engine, by)) == MOST_EACH
    made(engine, other)
    revoke(engine, links[0].link.id, by=by)
    assert opens(engine, made(engine, by).secret)


def test_a_volunteer_sees_and_revokes_their_own_alone(engine: Engine) -> None:
    by, other = known(engine), known(engine)
    link = made(engine, by)
    assert listed(engine, other) == []
    with pytest.raises(NotThere):
        revoke(engine, link.link.id, by=other)
    assert opens(engine, link.secret)


def test_a_coordinator_sees_and_revokes_everybody_s(engine: Engine) -> None:
    link = made(engine, known(engine))
    coordinator = known(engine, Role.COORDINATOR)
    assert [one.id for one in listed(engine, coordinator)] == [link.link.id]
    revoke(engine, link.link.id, by=coordinator)
    assert not opens(engine, link.secret)


def test_an_address_of_another_store_is_not_there(engine: Engine) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    link = made(engine, known(engine))
    theirs = token_for(engine, Role.COORDINATOR, store=OTHER_STORE)
    other = recognise(engine, theirs, at=NOON)
    assert listed(engine, other) == []
    with pytest.raises(NotThere):
        revoke(engine, link.link.id, by=other)


def test_of_what_was_revoked_the_oldest_are_forgotten(engine: Engine) -> None:
    by = known(engine)
    for _ in range(MOST_REVOKED + 3):
        revoke(engine, made(engine, by).link.id, by=by)
    assert len(listed(engine, by)) == MOST_REVOKED


def note(engine: Engine, *showing: Showing, days: int = 0) -> dict[str, Shown]:
    at = NOON + days * DAY

    def work(connection: Connection) -> dict[str, Shown]:
        return note_shown(connection, showing, store=STORE_ID, at=at)

    return transactions.write_beside(engine, work, store=STORE_ID)


def event(uid: str = "u", *, digest: str = "a") -> Showing:
    return Showing(uid=uid, digest=digest, on_day=NOON.date())


def test_a_sequence_rises_with_every_change_and_stays_without_one(engine: Engine) -> None:
    assert note(engine, event())["u"] == Shown(digest="a", sequence=0, changed_at=NOON)
    assert note(engine, event(), days=1)["u"] == Shown(digest="a", sequence=0, changed_at=NOON)
    changed = note(engine, event(digest="b"), days=2)["u"]
    assert changed == Shown(digest="b", sequence=1, changed_at=NOON + 2 * DAY)
    # As it was at first: to whoever subscribes that is one more change.
    assert note(engine, event(), days=3)["u"].sequence == 2


def test_an_event_that_was_gone_for_a_while_goes_on_counting(engine: Engine) -> None:
    note(engine, event(), event("v"))
    note(engine, event("v"), days=1)
    assert note(engine, event(digest="b"), days=2)["u"].sequence == 1


def test_what_is_long_over_is_forgotten(engine: Engine) -> None:
    note(engine, event())
    assert "u" in note(engine, event("v"), days=KEPT_DAYS)
    note(engine, event("v"), days=KEPT_DAYS + 1)
    assert "u" not in note(engine, event("v"), days=KEPT_DAYS + 2)


def test_what_was_shown_raises_no_version(engine: Engine) -> None:
    before = version_of(engine)
    note(engine, event())
    made(engine, known(engine))
    assert version_of(engine) == before
