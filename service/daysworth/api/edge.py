"""Carry a route's work to the database and its answer back, each in one hop to a thread.

A write begins, runs and commits in that hop, before its answer is sent. With an Idempotency-Key the
answer is kept in the same transaction, and given again to whoever asks the same.
"""

import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, partial
from typing import Annotated, Final, TypeVar
from urllib.parse import quote

from fastapi import Depends, Header, Path, Request, Response
from pydantic import BaseModel, TypeAdapter
from sqlalchemy import Connection

from daysworth.answers.planning_pool import ToPlan
from daysworth.api.access import USUAL_BYTES, reader_of
from daysworth.api.conditional import asked_revision, has_tag, revision_tag
from daysworth.api.paging import ListOut, Paging
from daysworth.api.problems import KeyMissing
from daysworth.api.service import Service, plan, run, service_of
from daysworth.db import transactions
from daysworth.db.disclosures import log_disclosure
from daysworth.db.pages_of_rows import Page
from daysworth.db.replays import Replayed, Reply, is_used, once
from daysworth.db.replays import Request as Asked
from daysworth.db.stores import read_store
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.entries import Credential
from daysworth.domain.errors import Fault, FieldsRefused
from daysworth.domain.identifiers import HouseholdId, StoreId

Result = TypeVar("Result")
Kept = TypeVar("Kept")
Told = TypeVar("Told")

StorePath = Annotated[str, Path(min_length=1, max_length=64, description="The store's id.")]

JSON: Final = "application/json"
PRIVATE: Final = "private, no-cache"


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """What a write made or changed: how it is told, where it is, its state, whose it is.

    It is told as a schema or as an answer; None: there is nothing to tell.
    """

    told: object
    at: str | None = None
    revision: int | None = None
    version: int | None = None
    household: HouseholdId | None = None


class Edge:
    """Between one request and the store it is about."""

    def __init__(
        self, request: Request, *, service: Service, reader: Credential, asked: Asked | None
    ) -> None:
        self.reader = reader
        self._request = request
        self._service = service
        self._asked = asked

    def address(self, *parts: str) -> str:
        """Give the address of something in this store, by the parts after the store's own."""
        return "/".join(["/v1/stores", *(quote(part, safe="") for part in (self.store, *parts))])

    @property
    def store(self) -> StoreId:
        """Give the store that this request is about."""
        return self.reader.store

    @property
    def service(self) -> Service:
        """Give the service behind this request."""
        return self._service

    def if_revision(self) -> int:
        """Give the revision in If-Match. Raises RevisionMissing, NotAsItWas."""
        return asked_revision(self._request.headers.get("If-Match"))

    def has(self, tag: str) -> bool:
        """Tell whether the asker has what an entity tag stands for already."""
        return has_tag(self._request.headers.get("If-None-Match"), tag)

    async def read(self, work: Callable[[Reading], Result]) -> Result:
        """Run a read in one transaction."""
        asked = partial(transactions.read, self._service.engine, work, store=self.reader.store)
        return await run(self._service.readers, asked)

    async def plan(self, ask: Callable[[], Told | ToPlan[Told]]) -> Told:
        """Answer from what is kept, or plan. Raises as `service.plan`."""
        return await plan(self._request, ask)

    async def show(
        self, told: object, *, revision: int | None = None, version: int | None = None
    ) -> Response:
        """Answer with a resource and its entity tag, or with 304 where the asker has it."""
        headers = {"Cache-Control": PRIVATE}
        if revision is not None:
            tag = revision_tag(revision, version=version)
            headers["ETag"] = tag
            if self.has(tag.strip('"')):
                return Response(status_code=304, headers=headers)
        return Response(_json(told), media_type=JSON, headers=headers)

    def told(self, answer: Told, *, of: type[Told]) -> Response:
        """Answer with what a planner found, without an entity tag."""
        # Every type can be hashed, which the checker does not see of a type variable.
        body = _writer(of).dump_json(answer)  # type: ignore[arg-type]
        return Response(body, media_type=JSON, headers={"Cache-Control": PRIVATE})

    async def show_page(
        self, page: Page[Kept], *, told: Callable[[Kept], object], paging: Paging
    ) -> Response:
        """Answer with a page of a list and a link to the next."""
        link = paging.link_to(page.next_after)
        listed = ListOut[BaseModel](items=[], next=link)
        items = [_plain(told(one)) for one in page.items]
        body = json.dumps({**listed.model_dump(), "items": items}, ensure_ascii=False)
        headers = {"Cache-Control": PRIVATE}
        if link is not None:
            headers["Link"] = f'<{link}>; rel="next"'
        return Response(body, media_type=JSON, headers=headers)

    async def was_done(self) -> bool:
        """Tell whether something was done under the request's key, so nothing need be planned."""
        asked = self._asked
        return asked is not None and await self.read(lambda reading: is_used(reading, asked.key))

    async def create(self, work: Callable[[Writing], Made], *, status: int = 201) -> Response:
        """Run a write that makes something, once for its key. Raises KeyMissing without one."""
        self._check_key()
        return await self.change(work, status=status)

    async def change(self, work: Callable[[Writing], Made], *, status: int = 200) -> Response:
        """Run a write; where a key is given, once for it."""
        within = self._once(work, status=status)
        write = partial(
            transactions.write,
            self._service.engine,
            within,
            store=self.reader.store,
            by=self.reader,
            at=self._service.clock(),
        )
        return await self._written(write)

    async def keep(self, work: Callable[[Writing], Made]) -> Response:
        """Keep something that is in no snapshot, once for its key: it raises no version.

        Raises KeyMissing without a key.
        """
        self._check_key()
        at = self._service.clock()
        within = self._once(work, status=201)

        def beside(connection: Connection) -> Reply:
            kept = read_store(Reading(connection=connection, store=self.reader.store))
            writing = Writing(
                connection=connection,
                store=kept.id,
                version=kept.version,
                by=self.reader,
                at=at,
                settings=kept.settings,
            )
            return within(writing)

        write = partial(
            transactions.write_beside, self._service.engine, beside, store=self.reader.store
        )
        return await self._written(write)

    def _check_key(self) -> None:
        if self._asked is None:
            raise KeyMissing(
                "send an Idempotency-Key, a new one for each thing that is logged, so that "
                "sending it twice logs it once"
            )

    def _once(self, work: Callable[[Writing], Made], *, status: int) -> Callable[[Writing], Reply]:
        def within(writing: Writing) -> Reply:
            def reply() -> Reply:
                return _reply(work(writing), status=status)

            return reply() if self._asked is None else once(writing, self._asked, work=reply)

        return within

    async def _written(self, write: Callable[[], Reply]) -> Response:
        """Run a write in a thread; what was answered before is answered again."""

        def in_a_thread() -> Reply:
            try:
                return write()
            except Replayed as before:
                return before.reply

        given = await run(self._service.writers, in_a_thread)
        body = given.body or None
        return Response(body, status_code=given.status, headers=dict(given.headers))

    async def disclose(self, what: str, *, household: HouseholdId | None = None) -> None:
        """Log a reading of health facts, in a transaction of its own, before it is answered."""

        def log(connection: Connection) -> None:
            log_disclosure(
                connection, self.reader, what=what, household=household, at=self._service.clock()
            )

        logged = partial(
            transactions.write_beside, self._service.engine, log, store=self.reader.store
        )
        await run(self._service.writers, logged)


@cache
def _writer(of: type[Told]) -> TypeAdapter[Told]:
    """Make once what writes a type of answer: making it takes longer than writing."""
    return TypeAdapter(of)


def _json(told: object) -> str:
    if isinstance(told, BaseModel):
        return told.model_dump_json()
    # Every type can be hashed, which the checker does not see of the type of any object.
    return _writer(type(told)).dump_json(told).decode()  # type: ignore[arg-type]


def _plain(told: object) -> object:
    if isinstance(told, BaseModel):
        return told.model_dump(mode="json")
    plain: object = _writer(type(told)).dump_python(told, mode="json")  # type: ignore[arg-type]
    return plain


def _reply(made: Made, *, status: int) -> Reply:
    headers = {"Cache-Control": PRIVATE}
    if made.told is not None:
        headers["Content-Type"] = JSON
    if made.at is not None:
        headers["Location"] = made.at
    if made.revision is not None:
        headers["ETag"] = revision_tag(made.revision, version=made.version)
    body = "" if made.told is None else _json(made.told)
    return Reply(status=status, body=body, headers=headers, household=made.household)


async def _edge(request: Request, store: StorePath) -> Edge:
    # The guard has seen to it that this is the store of the reader's credential.
    assert store == reader_of(request).store
    return await _edge_anywhere(request)


async def _edge_anywhere(request: Request) -> Edge:
    reader = reader_of(request)
    asked = await _asked(request)
    return Edge(request, service=service_of(request), reader=reader, asked=asked)


async def _asked(request: Request) -> Asked | None:
    key = request.headers.get("Idempotency-Key")
    if key is None or request.method in ("GET", "HEAD"):
        return None
    if not (1 <= len(key) <= 200 and key.isascii() and key.isprintable()):
        fault = Fault("Idempotency-Key", "has 1 to 200 plain letters, digits and signs")
        raise FieldsRefused((fault,))
    # A household's keys are its own: nobody else's answer is given to it.
    who = reader_of(request).household or ""
    said = f"{who}\n{request.method} {request.scope['path']}?".encode()
    said += request.scope["query_string"] + b"\n"
    fingerprint = hashlib.sha256(said + _canonical(await request.body())).hexdigest()
    return Asked(key, fingerprint)


def _canonical(body: bytes) -> bytes:
    """Write a body so that the order of its fields and its spaces make no difference.

    A body too large for anyone's fingers is a file, and taken as it is.
    """
    if len(body) > USUAL_BYTES:
        return body
    try:
        return json.dumps(json.loads(body), sort_keys=True).encode()
    except (ValueError, RecursionError):
        return body


async def _document_key(
    _key: Annotated[
        str | None,
        Header(
            alias="Idempotency-Key",
            description="A new key for each thing: the same request with it is done once.",
            min_length=1,
            max_length=200,
        ),
    ] = None,
) -> None:
    """Put the header into the API's description; the edge reads it."""


async def _document_revision(
    _revision: Annotated[
        str | None,
        Header(alias="If-Match", description="The ETag you were given when you looked."),
    ] = None,
) -> None:
    """Put the header into the API's description; the edge reads it."""


async def _document_tag(
    _tag: Annotated[
        str | None,
        Header(alias="If-None-Match", description="ETags of answers that you have."),
    ] = None,
) -> None:
    """Put the header into the API's description; the edge reads it."""


AtEdge = Annotated[Edge, Depends(_edge)]
AtAnyEdge = Annotated[Edge, Depends(_edge_anywhere)]
TAKES_KEY: Final = Depends(_document_key)
TAKES_REVISION: Final = Depends(_document_revision)
TAKES_TAG: Final = Depends(_document_tag)
