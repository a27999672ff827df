"""Make, show and withdraw the links by which volunteers log; a link's secret is shown this once."""

import base64
import re
from datetime import date, datetime, timedelta
from functools import partial
from http import HTTPStatus
from typing import Final
from zoneinfo import ZoneInfo

from fastapi import Request, Response

from daysworth.api.service import run
from daysworth.db.links import KeptLink, LinkAsked, list_links, make_link, revoke_link
from daysworth.db.places import KeptPlace, every_place
from daysworth.db.transactions import Reading, day_there, end_of_day, last_day, write_beside
from daysworth.domain.entries import CredentialId
from daysworth.domain.identifiers import PlaceId, is_plain
from daysworth.pages.desk import Desk, desk_for
from daysworth.pages.doors import Door, behind, form_of, pages_router, store_address
from daysworth.pages.frame import go_to
from daysworth.printing.qr import qr_svg

router = pages_router(under="/stores/{store}/links")

USUAL_DAYS: Final = 30
MOST_DAYS: Final = 400


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def links_page(request: Request) -> Response:
    """List the links, and show the form that makes one."""
    return await _page(await desk_for(request))


@router.post("", openapi_extra=behind(Door.COORDINATOR))
async def make_one_link(request: Request) -> Response:
    """Make a link, and show it with its QR code, this once."""
    desk = await desk_for(request)
    form = form_of(request)
    site = desk.site()
    place, label, last = (str(form.get(name, "")).strip() for name in ("place", "label", "last"))
    faults = {}
    if not 1 <= len(label) <= 120 or not is_plain(label):
        faults["label"] = "fault-label"
    until_day = _last_day(last, today=day_there(desk.store.settings, at=desk.at))
    if until_day is None:
        faults["last"] = "fault-last-day"
    places = {kept.id: kept for kept in await desk.read(every_place)}
    chosen = places.get(PlaceId(place))
    if chosen is None:
        faults["place"] = "fault-place"
    if faults or until_day is None or chosen is None:
        return await _page(
            desk, typed={"place": place, "label": label, "last": last}, faults=faults
        )
    asked = LinkAsked(
        store=desk.store.id,
        place=chosen.id,
        label=label,
        expires_at=end_of_day(desk.store.settings, day=until_day),
    )
    make = partial(make_link, asked=asked, by=desk.reader, at=desk.at)
    made = partial(write_beside, desk.service.engine, make, store=desk.store.id)
    secret = await run(desk.service.writers, made)
    link = f"{site}/log/{secret}"
    return _made_page(desk, link, place=chosen, label=label, until_day=until_day)


@router.post("/{link}/withdraw", openapi_extra=behind(Door.COORDINATOR))
async def withdraw_one_link(request: Request, link: str) -> Response:
    """Withdraw a link from now on."""
    desk = await desk_for(request)
    revoke = partial(revoke_link, link=CredentialId(link), store=desk.store.id, at=desk.at)
    await run(
        desk.service.writers,
        partial(write_beside, desk.service.engine, revoke, store=desk.store.id),
    )
    return go_to(store_address(desk.store.id, "links"))


async def _page(
    desk: Desk, *, typed: dict[str, str] | None = None, faults: dict[str, str] | None = None
) -> Response:
    def look(reading: Reading) -> tuple[list[KeptLink], list[KeptPlace]]:
        return list_links(reading), every_place(reading)

    links, places = await desk.read(look)
    today = day_there(desk.store.settings, at=desk.at)
    usual = {"place": "", "label": "", "last": (today + timedelta(days=USUAL_DAYS)).isoformat()}
    zone = ZoneInfo(desk.store.settings.timezone)
    return desk.show(
        "links.html",
        status=HTTPStatus.UNPROCESSABLE_ENTITY if faults else HTTPStatus.OK,
        links=[
            (link, _made(link, zone=zone), _last(link, desk), _state(link, desk.at))
            for link in links
        ],
        places=places,
        typed=typed or usual,
        faults={field: desk.words.say(fault) for field, fault in (faults or {}).items()},
        first_day=today.isoformat(),
        last_day=(today + timedelta(days=MOST_DAYS)).isoformat(),
    )


def _made_page(desk: Desk, link: str, *, place: KeptPlace, label: str, until_day: date) -> Response:
    picture = base64.b64encode(qr_svg(link)).decode()
    return desk.show(
        "link_made.html",
        link=link,
        picture=f"data:image/svg+xml;base64,{picture}",
        place=place,
        label=label,
        last_day=until_day,
    )


_ISO_DAY: Final = re.compile("[0-9]{4}-[0-9]{2}-[0-9]{2}")


def _last_day(written: str, *, today: date) -> date | None:
    try:
        day = date.fromisoformat(written if _ISO_DAY.fullmatch(written) else "")
    except ValueError:
        return None
    return day if today <= day <= today + timedelta(days=MOST_DAYS) else None


def _made(link: KeptLink, *, zone: ZoneInfo) -> date:
    return datetime.fromisoformat(link.created_at).astimezone(zone).date()


def _last(link: KeptLink, desk: Desk) -> date:
    return last_day(desk.store.settings, ends_at=datetime.fromisoformat(link.expires_at))


def _state(link: KeptLink, at: datetime) -> str:
    if link.revoked_at is not None:
        return "withdrawn"
    return "open" if datetime.fromisoformat(link.expires_at) > at else "expired"
