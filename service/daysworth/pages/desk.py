"""Give a page its store, its words, and its way to the database."""

import re
import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import partial
from hashlib import sha256
from http import HTTPStatus
from typing import Final, TypeVar

from fastapi import Request
from sqlalchemy import Connection
from starlette.responses import Response

from daysworth.api.service import Service, run, service_of, site_of
from daysworth.db import transactions
from daysworth.db.disclosures import log_disclosure
from daysworth.db.replays import Replayed, Reply, is_used, once
from daysworth.db.replays import Request as Asked
from daysworth.db.stores import KeptStore, read_store
from daysworth.db.transactions import Reading, Writing, day_there
from daysworth.domain.entries import Credential, Role
from daysworth.domain.identifiers import HouseholdId
from daysworth.pages.doors import (
    SESSION_COOKIE,
    form_proof,
    here_of,
    reader_of_page,
    store_address,
)
from daysworth.pages.frame import page
from daysworth.wording.catalogue import Catalogue, catalogue

Result = TypeVar("Result")

_KEY: Final = re.compile("[A-Za-z0-9_-]{1,60}")


@dataclass(frozen=True, slots=True)
class Desk:
    """One page being made: for whom, of which store, in which words, at which instant."""

    request: Request
    service: Service
    reader: Credential
    store: KeptStore
    words: Catalogue
    at: datetime

    async def read(self, work: Callable[[Reading], Result]) -> Result:
        """Run a read in one transaction."""
        asked = partial(transactions.read, self.service.engine, work, store=self.store.id)
        return await run(self.service.readers, asked)

    async def write_once(self, work: Callable[[Writing], str], *, key: str, said: str) -> str:
        """Run a write of a form once for its key, and give the id of what it was about.

        `said` is all that the form said, so that a key is not used for two things. Raises KeyUsed,
        and what `work` raises.
        """
        fingerprint = sha256(f"{self.reader.id} {said}".encode()).hexdigest()
        asked = Asked(form_key(key), fingerprint)

        def write(writing: Writing) -> Reply:
            def reply() -> Reply:
                return Reply(status=HTTPStatus.OK, body=work(writing), headers={})

            return once(writing, asked, work=reply)

        def in_a_thread() -> Reply:
            try:
                return transactions.write(
                    self.service.engine, write, store=self.store.id, by=self.reader, at=self.at
                )
            except Replayed as before:
                return before.reply

        given = await run(self.service.writers, in_a_thread)
        return given.body

    async def was_done(self, key: str) -> bool:
        """Tell whether something was done for a form's key already, so nothing need be planned."""
        return await self.read(lambda reading: is_used(reading, form_key(key)))

    async def disclose(self, what: str, *, household: HouseholdId | None = None) -> None:
        """Log a reading of health facts, in a transaction of its own, before it is shown."""

        def log(connection: Connection) -> None:
            log_disclosure(connection, self.reader, what=what, household=household, at=self.at)

        logged = partial(transactions.write_beside, self.service.engine, log, store=self.store.id)
        await run(self.service.writers, logged)

    @property
    def today(self) -> date:
        """Give the day it is in the store's own zone."""
        return day_there(self.store.settings, at=self.at)

    def site(self) -> str:
        """Give where the pages are reached: as set, or as this browser reached them.

        Raises InputRefused for a name that is none.
        """
        return site_of(self.request)

    def show(
        self,
        template: str,
        *,
        status: int = 200,
        headers: Mapping[str, str] | None = None,
        **values: object,
    ) -> Response:
        """Render a page of this store; a coordinator's has the way around and out."""
        around: dict[str, object] = {}
        if self.reader.role is Role.COORDINATOR:
            secret = self.request.cookies.get(SESSION_COOKIE, "")
            around = {
                "proof": form_proof(secret),
                "signed_in_as": self.reader.label,
                "here": here_of(self.request),
                "address": partial(store_address, self.store.id),
            }
        return page(
            template,
            self.words,
            status=status,
            headers=headers,
            store=self.store,
            **around,
            **values,
        )


def new_key() -> str:
    """Make the key of a form: sent twice, it does its one thing once."""
    return secrets.token_urlsafe(12)


def form_key(key: str) -> str:
    """Give the idempotency key of a form's key; one that no form of ours has is another each time.

    Its name keeps it from the keys that are sent over the API.
    """
    return f"form {key if _KEY.fullmatch(key) else new_key()}"


async def desk_for(request: Request) -> Desk:
    """Give the desk for a page behind a door. Raises NotThere without the store."""
    service = service_of(request)
    reader = reader_of_page(request)
    looked = partial(transactions.read, service.engine, read_store, store=reader.store)
    store = await run(service.readers, looked)
    return Desk(
        request=request,
        service=service,
        reader=reader,
        store=store,
        words=catalogue(store.settings.locale),
        at=service.clock(),
    )
