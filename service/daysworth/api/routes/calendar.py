"""A store's calendar for other programs to subscribe to, and the addresses at which it is read.

An address holds a secret and needs nothing else, for calendar programs send no credential. Somebody
makes it for themselves; it opens nothing any more once it is revoked, or whoever made it has no
access. What it shows tells nothing of any household. Its secret is kept as a hash alone, so a
request that makes one is not kept to be answered again: sent twice it makes two.
"""

from functools import partial
from typing import Annotated

from fastapi import APIRouter, Path, Request, Response
from pydantic import BaseModel
from sqlalchemy import Connection

from daysworth.answers.calendar_feed import MEDIA_TYPE
from daysworth.answers.store_calendar import CalendarFeed, written_feed
from daysworth.api.access import GuardedRoute, open_to_anyone, roles
from daysworth.api.conditional import has_tag
from daysworth.api.edge import JSON, PRIVATE, TAKES_TAG, AtEdge
from daysworth.api.problems import problems
from daysworth.api.routes import store_router
from daysworth.api.routes.paths import CalendarLinkPath
from daysworth.api.schemas.calendar import (
    CalendarLinkIn,
    CalendarLinkMadeOut,
    CalendarLinkOut,
    calendar_link_made_out,
    calendar_link_out,
)
from daysworth.api.service import run, service_of, site_of
from daysworth.db import transactions
from daysworth.db.calendar_links import (
    NewCalendarLink,
    list_calendar_links,
    make_calendar_link,
    revoke_calendar_link,
)
from daysworth.domain.entries import Role
from daysworth.domain.errors import NotThere, StoreRefused, StoreUnsound

router = APIRouter(route_class=GuardedRoute)
_of_store = store_router(under="/calendar-links")

STAFF = (Role.COORDINATOR, Role.VOLUNTEER)

Secret = Annotated[str, Path(min_length=1, max_length=64, description="The secret in an address.")]

_IS_CALENDAR: dict[int | str, dict[str, object]] = {
    200: {
        "description": "The calendar",
        "content": {"text/calendar": {"schema": {"type": "string"}}},
    },
    304: {"description": "You have it already"},
}


class CalendarLinksOut(BaseModel):
    """Addresses of calendars, the newest first."""

    items: list[CalendarLinkOut]


@router.get(
    "/calendar/{secret}.ics",
    response_class=Response,
    responses={**problems(NotThere, StoreUnsound), **_IS_CALENDAR},
    dependencies=[TAKES_TAG],
    openapi_extra=open_to_anyone(),
)
async def read_calendar(secret: Secret, *, request: Request) -> Response:
    """Read a store's calendar: visits to partners with what to bring, rounds, and kits due."""
    written = await _written(request, secret)
    headers = {
        "Cache-Control": PRIVATE,
        "ETag": f'"{written.tag}"',
        "X-Robots-Tag": "noindex, nofollow",
    }
    if has_tag(request.headers.get("If-None-Match"), written.tag):
        return Response(status_code=304, headers=headers)
    headers["Content-Disposition"] = 'inline; filename="daysworth.ics"'
    return Response(written.body, media_type=MEDIA_TYPE, headers=headers)


async def _written(request: Request, secret: str) -> CalendarFeed:
    service = service_of(request)
    office, at = service.calendars, service.clock()
    draft = await run(service.readers, partial(office.draft, secret, at=at))
    shown = draft.before
    if not draft.is_as_shown:
        shown = await run(service.writers, partial(office.keep, draft, at=at))
    return await run(service.reckoners, partial(written_feed, draft, shown=shown))


@_of_store.post(
    "",
    status_code=201,
    response_model=CalendarLinkMadeOut,
    responses=problems(StoreRefused),
    openapi_extra=roles(*STAFF),
)
async def make_one_calendar_link(
    asked: CalendarLinkIn, *, request: Request, edge: AtEdge
) -> Response:
    """Make an address of the calendar for yourself; at most five at a time."""
    site, at = site_of(request), edge.service.clock()

    def make(connection: Connection) -> NewCalendarLink:
        return make_calendar_link(connection, label=asked.label, by=edge.reader, at=at)

    work = partial(transactions.write_beside, edge.service.engine, make, store=edge.store)
    made = await run(edge.service.writers, work)
    told = calendar_link_made_out(made, site=site)
    headers = {
        "Cache-Control": "no-store",
        "Location": edge.address("calendar-links", made.link.id),
    }
    return Response(told.model_dump_json(), status_code=201, media_type=JSON, headers=headers)


@_of_store.get(
    "", response_model=CalendarLinksOut, responses=problems(), openapi_extra=roles(*STAFF)
)
async def list_all_calendar_links(edge: AtEdge) -> Response:
    """List your addresses of the calendar; coordinators see everybody's."""
    found = await edge.read(lambda reading: list_calendar_links(reading, by=edge.reader))
    return await edge.show(CalendarLinksOut(items=[calendar_link_out(one) for one in found]))


@_of_store.delete("/{link}", status_code=204, responses=problems(), openapi_extra=roles(*STAFF))
async def revoke_one_calendar_link(link: CalendarLinkPath, edge: AtEdge) -> Response:
    """Revoke an address: from now on it opens nothing. Coordinators may revoke anybody's."""
    at = edge.service.clock()

    def revoke(connection: Connection) -> None:
        revoke_calendar_link(connection, link, by=edge.reader, at=at)

    work = partial(transactions.write_beside, edge.service.engine, revoke, store=edge.store)
    await run(edge.service.writers, work)
    return Response(status_code=204, headers={"Cache-Control": PRIVATE})


router.include_router(_of_store)
