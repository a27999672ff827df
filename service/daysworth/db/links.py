"""Keep the links by which volunteers log to one place: shown once, stored as hashes, revocable."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, Engine, insert, select, update

from daysworth.db.secret_hashes import find_by_secret, hash_of, new_secret
from daysworth.db.tables import LINK, PLACE
from daysworth.db.transactions import Reading, kept_instant, new_id
from daysworth.domain.entries import Credential, CredentialId, Role
from daysworth.domain.errors import AccessRefused, Fault, FieldsRefused, NotThere
from daysworth.domain.identifiers import PlaceId, StoreId, is_plain

MOST_LABEL_CHARACTERS = 120


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkAsked:
    """A link that is to be made; `label` says who will have it, and signs what they log."""

    store: StoreId
    place: PlaceId
    label: str
    expires_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptLink:
    """A link as it is listed, without its secret, which nobody has."""

    id: CredentialId
    place: PlaceId
    place_name: str
    label: str
    made_by: str
    created_at: str
    expires_at: str
    revoked_at: str | None


def make_link(connection: Connection, asked: LinkAsked, *, by: Credential, at: datetime) -> str:
    """Make a link and give its secret, which is shown this once.

    Raises FieldsRefused for a place the store does not have, or a last instant that has passed.
    """
    faults = []
    if asked.expires_at <= at:
        faults.append(Fault("expires", "must be in the future"))
    chosen = select(PLACE.c.id).where(PLACE.c.store == asked.store, PLACE.c.id == asked.place)
    if connection.execute(chosen).first() is None:
        faults.append(Fault("place", f"there is no place {asked.place!r}"))
    label = asked.label.strip()
    if not 1 <= len(label) <= MOST_LABEL_CHARACTERS or not is_plain(label):
        faults.append(Fault("label", "has 1 to 120 characters, on one line"))
    if faults:
        raise FieldsRefused(tuple(faults))
    secret = new_secret()
    connection.execute(
        insert(LINK).values(
            store=asked.store,
            id=new_id("V"),
            place=asked.place,
            label=label,
            hash=hash_of(secret),
            made_by=by.signs_as,
            created_at=kept_instant(at),
            expires_at=kept_instant(asked.expires_at),
            revoked_at=None,
        )
    )
    return secret


def follow_link(engine: Engine, secret: str, *, at: datetime) -> Credential:
    """Tell what a link opens. Raises AccessRefused where it is unknown, expired or revoked."""
    try:
        row = find_by_secret(engine, secret, table=LINK)
    except AccessRefused:
        raise AccessRefused("this link opens nothing: ask a coordinator for another") from None
    if row.revoked_at is not None:
        raise AccessRefused("this link was withdrawn: ask a coordinator for another")
    if row.expires_at <= kept_instant(at):
        raise AccessRefused("this link has expired: ask a coordinator for another")
    return Credential(
        id=CredentialId(row.id),
        store=StoreId(row.store),
        role=Role.VOLUNTEER,
        label=row.label,
        place=PlaceId(row.place),
    )


def list_links(reading: Reading) -> list[KeptLink]:
    """List a store's links, the newest first."""
    chosen = (
        select(LINK, PLACE.c.name.label("place_name"))
        .join(PLACE, (PLACE.c.store == LINK.c.store) & (PLACE.c.id == LINK.c.place))
        .where(LINK.c.store == reading.store)
        .order_by(LINK.c.created_at.desc(), LINK.c.id)
    )
    return [
        KeptLink(
            id=CredentialId(row.id),
            place=PlaceId(row.place),
            place_name=row.place_name,
            label=row.label,
            made_by=row.made_by,
            created_at=row.created_at,
            expires_at=row.expires_at,
            revoked_at=row.revoked_at,
        )
        for row in reading.connection.execute(chosen)
    ]


def revoke_link(
    connection: Connection, link: CredentialId, *, store: StoreId, at: datetime
) -> None:
    """Withdraw a link from now on; done twice it stays withdrawn as of the first. Raises NotThere.

    What it logged stays.
    """
    chosen = (LINK.c.store == store) & (LINK.c.id == link)
    if connection.execute(select(LINK.c.id).where(chosen)).first() is None:
        raise NotThere(f"there is no link {link!r} in this store")
    connection.execute(
        update(LINK).where(chosen, LINK.c.revoked_at.is_(None)).values(revoked_at=kept_instant(at))
    )
