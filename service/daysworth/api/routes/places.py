"""Places: the shelves, closets and homes where lots stand."""

from fastapi import Response

from daysworth.api.access import roles
from daysworth.api.edge import TAKES_KEY, TAKES_REVISION, TAKES_TAG, AtEdge, Made
from daysworth.api.paging import ListOut, PageAsked
from daysworth.api.problems import KeyMissing, RevisionMissing, problems
from daysworth.api.routes import store_router
from daysworth.api.routes.paths import PlacePath
from daysworth.api.schemas.stores import PlaceIn, PlaceOut, place_out
from daysworth.db.places import add_place, change_place, list_places, read_place
from daysworth.db.transactions import Writing
from daysworth.domain.entries import Role
from daysworth.domain.errors import NotAsItWas
from daysworth.domain.identifiers import PlaceId

router = store_router(under="/places")


@router.get("", response_model=ListOut[PlaceOut], responses=problems(), openapi_extra=roles(*Role))
async def list_all_places(edge: AtEdge, page: PageAsked) -> Response:
    """List the places of a store."""
    found = await edge.read(lambda r: list_places(r, after=page.after, limit=page.limit))
    return await edge.show_page(found, told=place_out, paging=page)


@router.post(
    "",
    status_code=201,
    response_model=PlaceOut,
    responses=problems(KeyMissing),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR),
)
async def add_one_place(asked: PlaceIn, edge: AtEdge) -> Response:
    """Add a place."""

    def add(writing: Writing) -> Made:
        kept = add_place(writing, name=asked.name, walk_position=asked.walk_position)
        at = edge.address("places", kept.id)
        return Made(told=place_out(kept), at=at, revision=kept.revision)

    return await edge.create(add)


@router.get(
    "/{place}",
    response_model=PlaceOut,
    responses={**problems(), 304: {"description": "You have it already"}},
    dependencies=[TAKES_TAG],
    openapi_extra=roles(*Role),
)
async def read_one_place(place: PlacePath, edge: AtEdge) -> Response:
    """Read a place."""
    kept = await edge.read(lambda reading: read_place(reading, PlaceId(place)))
    return await edge.show(place_out(kept), revision=kept.revision)


@router.put(
    "/{place}",
    response_model=PlaceOut,
    responses=problems(NotAsItWas, RevisionMissing),
    dependencies=[TAKES_REVISION, TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR),
)
async def rename_one_place(place: PlacePath, *, asked: PlaceIn, edge: AtEdge) -> Response:
    """Give a place another name, and another turn on the way round."""

    def change(writing: Writing) -> Made:
        kept = change_place(
            writing,
            PlaceId(place),
            name=asked.name,
            walk_position=asked.walk_position,
            if_revision=edge.if_revision(),
        )
        return Made(told=place_out(kept), revision=kept.revision)

    return await edge.change(change)
