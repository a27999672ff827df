"""The snapshot of a store: all that a planner needs, out to a file and in from one."""

from functools import partial
from typing import Final

from fastapi import Request, Response
from pydantic import Field

from daysworth.answers.snapshot_file import MOST_BYTES, read_snapshot, write_snapshot
from daysworth.api.access import roles
from daysworth.api.edge import TAKES_KEY, AtEdge, Made
from daysworth.api.problems import KeyMissing, problems
from daysworth.api.routes import store_router
from daysworth.api.schemas.plain import Output
from daysworth.api.schemas.stores import StoreOut, store_out
from daysworth.api.service import run
from daysworth.db.snapshots import fill_store, load_snapshot
from daysworth.db.stores import read_store
from daysworth.db.transactions import Writing
from daysworth.domain.entries import Role
from daysworth.domain.errors import StoreOccupied, StoreUnsound

router = store_router(under="/snapshot")

_BODY: Final = {"content": {"application/json": {"schema": {"type": "object"}}}, "required": True}


class SnapshotOut(Output):
    """A snapshot; `daysworth snapshot schema` prints the whole schema."""

    format: str = Field(examples=["daysworth-snapshot-4"])
    store: str
    version: int


@router.get(
    "",
    response_model=SnapshotOut,
    responses=problems(StoreUnsound),
    openapi_extra=roles(Role.COORDINATOR),
)
async def export_snapshot(edge: AtEdge) -> Response:
    """Give the current snapshot; it is logged as a reading of health facts."""
    await edge.disclose("snapshot")
    at = edge.service.clock()
    snapshot = await edge.read(lambda reading: load_snapshot(reading, at=at))
    body = await run(edge.service.reckoners, partial(write_snapshot, snapshot))
    return Response(
        body, media_type="application/json", headers={"Cache-Control": "private, no-store"}
    )


@router.post(
    "",
    status_code=201,
    response_model=StoreOut,
    responses=problems(KeyMissing, StoreOccupied),
    dependencies=[TAKES_KEY],
    openapi_extra={
        **roles(Role.COORDINATOR, most_bytes=MOST_BYTES),
        "requestBody": _BODY,
    },
)
async def import_snapshot(request: Request, edge: AtEdge) -> Response:
    """Put a snapshot into a store that holds nothing yet."""
    body = await request.body()
    snapshot = await run(edge.service.reckoners, partial(read_snapshot, body))

    def fill(writing: Writing) -> Made:
        fill_store(writing, snapshot)
        kept = read_store(writing)
        return Made(told=store_out(kept), revision=kept.revision, version=kept.version)

    return await edge.create(fill)
