"""Keep the addresses of calendars: made by somebody for themselves, shown once, revocable."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from sqlalchemy import Connection, Engine, Row, delete, func, insert, select, update

from daysworth.db import transactions
from daysworth.db.people_kept import Kept
from daysworth.db.secret_hashes import find_by_secret, hash_of, new_secret
from daysworth.db.tables import CALENDAR_LINK, COORDINATOR, CREDENTIAL, STORE
from daysworth.db.transactions import Reading, kept_instant, new_id
from daysworth.domain.entries import Credential, CredentialId, Role
from daysworth.domain.errors import AccessRefused, NotThere, StoreRefused
from daysworth.domain.identifiers import StoreId

MOST_EACH: Final = 5
MOST_REVOKED: Final = 20
"""Addresses of one person that are listed as revoked; older ones are as if never made."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptCalendarLink:
    """The address of a calendar as it is listed, without its secret, which nobody has."""

    id: str
    label: str
    made_by: str
    created_at: str
    revoked_at: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NewCalendarLink:
    """An address that was just made, with the secret that is shown this once."""

    link: KeptCalendarLink
    secret: str


def make_calendar_link(
    connection: Connection, *, label: str, by: Credential, at: datetime
) -> NewCalendarLink:
    """Make an address for whoever asks. Raises StoreRefused where they have five already."""
    # The store's row orders those who ask at once, so that five stay five.
    connection.execute(select(STORE.c.id).where(STORE.c.id == by.store).with_for_update())
    counted = select(func.count()).where(
        CALENDAR_LINK.c.store == by.store,
        CALENDAR_LINK.c.credential == by.id,
        CALENDAR_LINK.c.revoked_at.is_(None),
    )
    if connection.execute(counted).scalar_one() >= MOST_EACH:
        raise StoreRefused(
            f"you have {MOST_EACH} calendar addresses already: revoke one that is not used"
        )
    secret = new_secret()
    link = KeptCalendarLink(
        id=new_id("A"), label=label, made_by=by.signs_as, created_at=kept_instant(at)
    )
    connection.execute(
        insert(CALENDAR_LINK).values(
            store=by.store,
            id=link.id,
            credential=by.id,
            made_by=link.made_by,
            label=link.label,
            hash=hash_of(secret),
            created_at=link.created_at,
            revoked_at=None,
        )
    )
    return NewCalendarLink(link=link, secret=secret)


def follow_calendar_link(engine: Engine, secret: str, *, at: datetime) -> StoreId:
    """Tell whose store's calendar an address opens.

    Raises NotThere where it is unknown or revoked, or whoever made it has no access any more.
    """
    gone = NotThere("there is no calendar at this address: make another in the store")
    try:
        row = find_by_secret(engine, secret, table=CALENDAR_LINK)
    except AccessRefused:
        raise gone from None
    store = StoreId(row.store)
    if row.revoked_at is not None or not transactions.read(
        engine, lambda reading: _stands(reading, row.credential, at=at), store=store
    ):
        raise gone
    return store


def _stands(reading: Reading, credential: str, *, at: datetime) -> bool:
    """Tell whether a credential or a coordinator still has access to the store."""
    token = select(CREDENTIAL.c.id).where(
        CREDENTIAL.c.store == reading.store,
        CREDENTIAL.c.id == credential,
        CREDENTIAL.c.revoked_at.is_(None),
        CREDENTIAL.c.expires_at > kept_instant(at),
    )
    signed_in = select(COORDINATOR.c.id).where(
        COORDINATOR.c.store == reading.store,
        COORDINATOR.c.id == credential,
        COORDINATOR.c.barred_at.is_(None),
    )
    return any(reading.connection.execute(one).first() is not None for one in (token, signed_in))


def list_calendar_links(reading: Reading, *, by: Credential) -> list[KeptCalendarLink]:
    """List addresses, the newest first: a coordinator's are all of the store, else one's own."""
    chosen = select(CALENDAR_LINK).where(CALENDAR_LINK.c.store == reading.store)
    if by.role is not Role.COORDINATOR:
        chosen = chosen.where(CALENDAR_LINK.c.credential == by.id)
    ordered = chosen.order_by(CALENDAR_LINK.c.created_at.desc(), CALENDAR_LINK.c.id)
    return [_link(row) for row in reading.connection.execute(ordered)]


def revoke_calendar_link(
    connection: Connection, link: str, *, by: Credential, at: datetime
) -> None:
    """Revoke an address from now on; done twice it stays as of the first. Raises NotThere.

    A coordinator may revoke anybody's, others their own.
    """
    chosen = (CALENDAR_LINK.c.store == by.store) & (CALENDAR_LINK.c.id == link)
    if by.role is not Role.COORDINATOR:
        chosen &= CALENDAR_LINK.c.credential == by.id
    row = connection.execute(select(CALENDAR_LINK).where(chosen)).first()
    if row is None:
        raise NotThere(f"there is no calendar address {link!r} of yours in this store")
    revoked = update(CALENDAR_LINK).where(chosen, CALENDAR_LINK.c.revoked_at.is_(None))
    connection.execute(revoked.values(revoked_at=kept_instant(at)))
    _forget_oldest(connection, by.store, credential=CredentialId(row.credential))


def _forget_oldest(connection: Connection, store: StoreId, *, credential: CredentialId) -> None:
    of_them = (CALENDAR_LINK.c.store == store) & (CALENDAR_LINK.c.credential == credential)
    newest_first = (
        select(CALENDAR_LINK.c.id)
        .where(of_them, CALENDAR_LINK.c.revoked_at.is_not(None))
        .order_by(CALENDAR_LINK.c.revoked_at.desc(), CALENDAR_LINK.c.id)
    )
    gone = list(connection.scalars(newest_first.offset(MOST_REVOKED)))
    connection.execute(delete(CALENDAR_LINK).where(of_them, CALENDAR_LINK.c.id.in_(gone)))


def _link(row: Row[tuple[Kept, ...]]) -> KeptCalendarLink:
    return KeptCalendarLink(
        id=row.id,
        label=row.label,
        made_by=row.made_by,
        created_at=row.created_at,
        revoked_at=row.revoked_at,
    )
