"""Keep the partners of a store, each with its windows and its rules in one."""

import json
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from functools import cache, lru_cache
from typing import Final

from pydantic import TypeAdapter
from sqlalchemy import Connection, Row, Select, delete, func, insert, select, update

from daysworth.db.people_kept import Kept
from daysworth.db.promises import open_promises_to
from daysworth.db.tables import PARTNER
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.errors import Fault, FieldsRefused, NotAsItWas, NotThere, PartnerHeld
from daysworth.domain.identifiers import PartnerId, StoreId, is_addressable
from daysworth.domain.partner_faults import partner_faults
from daysworth.domain.partners import Partner
from daysworth.domain.promises import Promise
from daysworth.domain.snapshot import MOST_PARTNERS
from daysworth.domain.visits import opening

_NO_SPACE: Final = (",", ":")


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPartner:
    """A partner as it is kept."""

    partner: Partner
    revision: int


def list_partners(reading: Reading | Writing) -> list[KeptPartner]:
    """Give every partner, by name."""
    rows = reading.connection.execute(_of(reading.store))
    found = [_kept(row) for row in rows]
    return sorted(found, key=lambda one: (one.partner.name.casefold(), one.partner.id))


def partners_of(connection: Connection, store: StoreId) -> tuple[Partner, ...]:
    """Load every partner of a store, by id, in one query."""
    found = [_kept(row).partner for row in connection.execute(_of(store))]
    return tuple(sorted(found, key=lambda one: one.id))


def read_partner(reading: Reading | Writing, partner: PartnerId) -> KeptPartner:
    """Read a partner. Raises NotThere."""
    row = _find(reading, partner)
    if row is None:
        raise NotThere(f"there is no partner {partner!r} in this store")
    return _kept(row)


def add_partner(writing: Writing, partner: Partner) -> KeptPartner:
    """Add a partner. Raises FieldsRefused for what cannot be kept, PartnerHeld beyond the most."""
    faults = (*_id_faults(writing, partner.id), *partner_faults(partner))
    if faults:
        raise FieldsRefused(faults)
    counted = select(func.count()).where(PARTNER.c.store == writing.store)
    if writing.connection.execute(counted).scalar_one() >= MOST_PARTNERS:
        raise PartnerHeld(f"a store has {MOST_PARTNERS} partners at most; nothing was changed")
    values = {"store": writing.store, "revision": 1, **partner_values(partner)}
    writing.connection.execute(insert(PARTNER).values(**values))
    return KeptPartner(partner=partner, revision=1)


def change_partner(
    writing: Writing, id_: PartnerId, *, partner: Partner, if_revision: int
) -> KeptPartner:
    """Put a partner, its windows and its rules in the place of what was kept of it.

    Raises NotThere, NotAsItWas, FieldsRefused; PartnerHeld where a promise is open for a visit
    that would be no more.
    """
    _check(read_partner(writing, id_), if_revision)
    faults = tuple(partner_faults(partner))
    if partner.id != id_:
        faults = (Fault("id", f"is {id_!r}, and stays so"), *faults)
    if faults:
        raise FieldsRefused(faults)
    _check_visits(writing, id_, becomes=partner)
    values = {**partner_values(partner), "revision": if_revision + 1}
    of_it = (PARTNER.c.store == writing.store, PARTNER.c.id == id_)
    writing.connection.execute(update(PARTNER).where(*of_it).values(**values))
    return KeptPartner(partner=partner, revision=if_revision + 1)


def remove_partner(writing: Writing, id_: PartnerId, *, if_revision: int) -> None:
    """Remove a partner; what was handed off to it stays in the record.

    Raises NotThere, NotAsItWas; PartnerHeld where a promise to it is open.
    """
    _check(read_partner(writing, id_), if_revision)
    _check_visits(writing, id_, becomes=None)
    of_it = (PARTNER.c.store == writing.store, PARTNER.c.id == id_)
    writing.connection.execute(delete(PARTNER).where(*of_it))


def partner_values(partner: Partner) -> dict[str, Kept]:
    """Give a partner's columns, but for the store's and its revision."""
    body = json.dumps(asdict(partner), default=_plain, sort_keys=True, separators=_NO_SPACE)
    return {"id": partner.id, "name": partner.name, "body": body}


def _plain(value: object) -> str | list[int]:
    if isinstance(value, datetime):
        return value.isoformat(timespec="minutes")
    if isinstance(value, frozenset):
        return sorted(value)
    raise TypeError(f"a partner holds no {type(value).__name__}")


@lru_cache(maxsize=MOST_PARTNERS)
def _partner_from(body: str) -> Partner:
    """Read a partner. What windows overlap takes a while to find, and a body is always the same."""
    return _partners().validate_json(body)


@cache
def _partners() -> TypeAdapter[Partner]:
    return TypeAdapter(Partner)


def _check(kept: KeptPartner, if_revision: int) -> None:
    if kept.revision != if_revision:
        raise NotAsItWas(f"partner {kept.partner.id!r} was changed since you looked: look again")


def _id_faults(writing: Writing, partner: PartnerId) -> Iterator[Fault]:
    if not is_addressable(partner):
        yield Fault("id", "has no slash, line break or control sign in it")
    elif _find(writing, partner) is not None:
        yield Fault("id", f"there is a partner {partner!r} already")


def _check_visits(writing: Writing, id_: PartnerId, *, becomes: Partner | None) -> None:
    """Raise PartnerHeld where an open promise is for a visit that there would be no more."""
    promises = open_promises_to(writing.connection, writing.store, partner=id_)
    gone = [one for one in promises if not _opens(becomes, one)]
    if gone:
        which = "; ".join(
            f"{one.id!r} is open for the visit on {one.opens_at:%Y-%m-%d at %H:%M} (window "
            f"{one.window!r})"
            for one in sorted(gone, key=lambda one: (one.opens_at, one.id))
        )
        raise PartnerHeld(
            f"promise {which}: hand it off or let it lapse first; nothing was changed"
        )


def _opens(partner: Partner | None, promise: Promise) -> bool:
    windows = () if partner is None else partner.windows
    return any(
        window.id == promise.window and opening(window, promise.opens_at) is not None
        for window in windows
    )


def _of(store: StoreId) -> Select[tuple[Kept, ...]]:
    return select(PARTNER).where(PARTNER.c.store == store)


def _find(reading: Reading | Writing, partner: PartnerId) -> Row[tuple[Kept, ...]] | None:
    chosen = _of(reading.store).where(PARTNER.c.id == partner)
    return reading.connection.execute(chosen).first()


def _kept(row: Row[tuple[Kept, ...]]) -> KeptPartner:
    return KeptPartner(partner=_partner_from(row.body), revision=row.revision)
