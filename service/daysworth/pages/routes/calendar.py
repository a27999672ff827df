"""Make, show and revoke addresses of the store's calendar; an address is shown this once."""

from datetime import date, datetime
from functools import partial
from http import HTTPStatus
from typing import Final

from fastapi import Request, Response
from sqlalchemy import Connection

from daysworth.api.service import run
from daysworth.db.calendar_links import (
    MOST_EACH,
    KeptCalendarLink,
    NewCalendarLink,
    list_calendar_links,
    make_calendar_link,
    revoke_calendar_link,
)
from daysworth.db.transactions import Reading, day_there, write_beside
from daysworth.domain.errors import StoreRefused
from daysworth.domain.identifiers import is_plain
from daysworth.pages.desk import Desk, desk_for
from daysworth.pages.doors import Door, behind, form_of, pages_router, store_address
from daysworth.pages.frame import go_to
from daysworth.pages.lot_deeds import sentence

router = pages_router(under="/stores/{store}/calendar")

MOST_LABEL: Final = 120


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def calendar_page(request: Request) -> Response:
    """List the addresses, and show the form that makes one."""
    return await _show(await desk_for(request))


@router.post("", openapi_extra=behind(Door.COORDINATOR))
async def make_one_address(request: Request) -> Response:
    """Make an address for whoever is signed in, and show it this once."""
    desk = await desk_for(request)
    site, label = desk.site(), str(form_of(request).get("label", "")).strip()
    if not 1 <= len(label) <= MOST_LABEL or not is_plain(label):
        return await _show(desk, label=label[: MOST_LABEL + 1], fault="fault-calendar-label")

    def make(connection: Connection) -> NewCalendarLink:
        return make_calendar_link(connection, label=label, by=desk.reader, at=desk.at)

    try:
        made = await run(
            desk.service.writers,
            partial(write_beside, desk.service.engine, make, store=desk.store.id),
        )
    except StoreRefused as refused:
        return await _show(desk, label=label, problem=sentence(str(refused)))
    return await _show(desk, made=f"{site}/calendar/{made.secret}.ics")


@router.post("/{link}/revoke", openapi_extra=behind(Door.COORDINATOR))
async def revoke_one_address(request: Request, link: str) -> Response:
    """Revoke an address, whoever made it: from now on it opens nothing."""
    desk = await desk_for(request)

    def revoke(connection: Connection) -> None:
        revoke_calendar_link(connection, link, by=desk.reader, at=desk.at)

    await run(
        desk.service.writers,
        partial(write_beside, desk.service.engine, revoke, store=desk.store.id),
    )
    return go_to(store_address(desk.store.id, "calendar"))


async def _show(
    desk: Desk, *, label: str = "", fault: str = "", problem: str = "", made: str = ""
) -> Response:
    def look(reading: Reading) -> list[tuple[KeptCalendarLink, date]]:
        return [
            (one, day_there(desk.store.settings, at=datetime.fromisoformat(one.created_at)))
            for one in list_calendar_links(reading, by=desk.reader)
        ]

    status = HTTPStatus.CONFLICT if problem else HTTPStatus.OK
    return desk.show(
        "calendar.html",
        status=HTTPStatus.UNPROCESSABLE_ENTITY if fault else status,
        links=await desk.read(look),
        most_each=MOST_EACH,
        label=label,
        faults={"label": desk.words.say(fault)} if fault else {},
        problem=problem,
        made=made,
    )
