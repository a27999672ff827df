"""Answer what anyone may ask: whether the service is ready, and what a problem means."""

from fastapi import APIRouter, Request, Response
from pydantic import Field

from daysworth.answers.reference_data import release
from daysworth.api.access import GuardedRoute, open_to_anyone
from daysworth.api.problems import ALL_KINDS, TYPES, problems
from daysworth.api.schemas.plain import Output
from daysworth.api.service import run, service_of
from daysworth.db.schema import check_schema
from daysworth.domain.errors import NotThere, SchemaBehind

router = APIRouter(route_class=GuardedRoute, tags=["about"])


class ReadyOut(Output):
    """The service is ready: its database can be reached and has the tables of this release."""

    release: str


class KindOut(Output):
    """A kind of problem."""

    type: str = Field(examples=[f"{TYPES}/not-there"])
    status: int
    title: str


@router.get(
    "/v1/ready",
    response_model=ReadyOut,
    responses=problems(SchemaBehind),
    openapi_extra=open_to_anyone(),
)
async def ready(request: Request) -> Response:
    """Tell whether the service is ready to answer."""
    service = service_of(request)
    await run(service.readers, lambda: check_schema(service.engine))
    return Response(
        ReadyOut(release=release()).model_dump_json(),
        media_type="application/json",
        headers={"Cache-Control": "no-store"},
    )


@router.get(
    TYPES + "/{slug}",
    response_model=KindOut,
    responses=problems(),
    openapi_extra=open_to_anyone(),
)
async def problem_kind(slug: str) -> Response:
    """Tell what a kind of problem means."""
    kind = ALL_KINDS.get(slug)
    if kind is None:
        raise NotThere("there is no such kind of problem")
    told = KindOut(type=f"{TYPES}/{kind.slug}", status=kind.status, title=kind.title)
    return Response(told.model_dump_json(), media_type="application/json")
