"""The public list of what to bring: published by a coordinator, read by anyone who has its address.

What it reveals: foods by name with how many, how big and how long they keep, the store's name, and
the words that a coordinator wrote. What it does not: for whom, why, how many are fed or for how
long, who published it. Foods stand in the order of their names. Still, a list of nothing but rare
foods may let a reader guess at a diet: a coordinator reads it before it is published, and may add
to it or leave things out. Its address cannot be guessed, is no credential, and is told to crawlers
as nothing to keep.
"""

from functools import partial
from typing import Annotated

from fastapi import APIRouter, Path, Request, Response

from daysworth.api.access import GuardedRoute, open_to_anyone, roles
from daysworth.api.edge import JSON, TAKES_KEY, AtEdge, Made, StorePath
from daysworth.api.problems import KeyMissing, problems
from daysworth.api.routes import store_router
from daysworth.api.schemas.bring_list import (
    BringListIn,
    BringListOut,
    PublishedOut,
    public_list_out,
    published_out,
)
from daysworth.api.service import run, service_of
from daysworth.db import transactions
from daysworth.db.bring_lists import (
    BringList,
    find_list,
    publish_list,
    read_public_list,
    withdraw_list,
)
from daysworth.db.stores import KeptStore, read_store
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.entries import Role
from daysworth.domain.errors import NotThere
from daysworth.domain.identifiers import StoreId

router = APIRouter(route_class=GuardedRoute)
_of_store = store_router(under="/bring-list")

CodePath = Annotated[
    str, Path(min_length=1, max_length=64, description="The part of its address that was given.")
]


@_of_store.post(
    "",
    status_code=201,
    response_model=PublishedOut,
    responses=problems(KeyMissing),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR),
)
async def publish_bring_list(asked: BringListIn, edge: AtEdge) -> Response:
    """Publish a list of what to bring, in the place of the one there is, at the same address."""

    def publish(writing: Writing) -> Made:
        reading = Reading(connection=writing.connection, store=writing.store)
        kept = publish_list(writing, asked.asked())
        told = published_out(kept, store=edge.store, store_name=read_store(reading).name)
        return Made(told=told, at=told.address)

    return await edge.create(publish)


@_of_store.get(
    "",
    response_model=PublishedOut,
    responses=problems(),
    openapi_extra=roles(Role.COORDINATOR),
)
async def read_published_list(edge: AtEdge) -> Response:
    """Read the list that is published, and where anyone can read it."""

    def look(reading: Reading) -> PublishedOut:
        kept = find_list(reading)
        if kept is None:
            raise NotThere("no list of what to bring is published")
        return published_out(kept, store=edge.store, store_name=read_store(reading).name)

    return await edge.show(await edge.read(look))


@_of_store.delete("", status_code=204, responses=problems(), openapi_extra=roles(Role.COORDINATOR))
async def withdraw_published_list(edge: AtEdge) -> Response:
    """Withdraw the list: its address opens nothing any more, and its words are not kept."""

    def withdraw(writing: Writing) -> Made:
        withdraw_list(writing)
        return Made(told=None)

    return await edge.change(withdraw, status=204)


@router.get(
    "/v1/bring/{store}/{code}",
    response_model=BringListOut,
    responses=problems(NotThere),
    openapi_extra=open_to_anyone(),
)
async def read_bring_list(store: StorePath, code: CodePath, *, request: Request) -> Response:
    """Read what to bring, without a credential."""
    kept, store_name = await public_list(request, store, code=code)
    told = public_list_out(kept, store_name=store_name)
    headers = {"Cache-Control": "no-store", "X-Robots-Tag": "noindex, nofollow"}
    return Response(told.model_dump_json(), media_type=JSON, headers=headers)


async def public_list(request: Request, store: str, *, code: str) -> tuple[BringList, str]:
    """Give a public list and its store's name. Raises NotThere."""

    def look(reading: Reading) -> tuple[BringList, KeptStore]:
        return read_public_list(reading, code), read_store(reading)

    service = service_of(request)
    asked = partial(transactions.read, service.engine, look, store=StoreId(store))
    kept, of_store = await run(service.readers, asked)
    return kept, of_store.name


router.include_router(_of_store)
