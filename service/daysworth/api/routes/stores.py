"""Stores: what a credential opens, and a store's name and settings."""

from fastapi import APIRouter, Response

from daysworth.api.access import GuardedRoute, roles
from daysworth.api.edge import TAKES_KEY, TAKES_REVISION, TAKES_TAG, AtAnyEdge, AtEdge, Made
from daysworth.api.problems import RevisionMissing, problems
from daysworth.api.schemas.stores import StoreIn, StoreOut, StoresOut, store_out
from daysworth.db.stores import change_store, read_store
from daysworth.db.transactions import Writing
from daysworth.domain.entries import Role
from daysworth.domain.errors import NotAsItWas

router = APIRouter(prefix="/v1/stores", route_class=GuardedRoute, tags=["stores"])


@router.get("", response_model=StoresOut, responses=problems(), openapi_extra=roles(*Role))
async def list_stores(edge: AtAnyEdge) -> Response:
    """List the stores that this credential opens: it is one."""
    kept = await edge.read(read_store)
    return await edge.show(StoresOut(items=[store_out(kept)]))


@router.get(
    "/{store}",
    response_model=StoreOut,
    responses={**problems(), 304: {"description": "You have it already"}},
    dependencies=[TAKES_TAG],
    openapi_extra=roles(*Role),
)
async def read_one_store(edge: AtEdge) -> Response:
    """Read a store: its settings, and the version that counts every change."""
    kept = await edge.read(read_store)
    return await edge.show(store_out(kept), revision=kept.revision, version=kept.version)


@router.put(
    "/{store}",
    response_model=StoreOut,
    responses=problems(NotAsItWas, RevisionMissing),
    dependencies=[TAKES_REVISION, TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR),
)
async def change_one_store(asked: StoreIn, edge: AtEdge) -> Response:
    """Change a store's name and settings, given whole."""

    def change(writing: Writing) -> Made:
        kept = change_store(
            writing,
            name=asked.name,
            settings=asked.settings.settings(),
            if_revision=edge.if_revision(),
        )
        return Made(told=store_out(kept), revision=kept.revision, version=kept.version)

    return await edge.change(change)
