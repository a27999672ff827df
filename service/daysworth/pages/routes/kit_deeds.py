"""Show one kit, as the code on its label opens it; move it, unpack it, eat it, answer for it."""

from functools import partial

from fastapi import Request, Response

from daysworth.db.kit_facts import to_be_looked_at
from daysworth.db.kits import KeptKit
from daysworth.db.ledger import kits as deeds
from daysworth.db.transactions import Writing
from daysworth.domain.errors import StockRefused
from daysworth.domain.identifiers import KitId, PlaceId
from daysworth.pages.desk import desk_for
from daysworth.pages.doors import Door, behind, form_of, pages_router
from daysworth.pages.kit_page import DEEDS, TypedDeed, do_kit_deed, show_kit
from daysworth.pages.kits_around import around
from daysworth.pages.lot_deeds import seen_revision
from daysworth.pages.typed_box import Faults

router = pages_router(under="/stores/{store}/kits/{kit}")


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def kit_page(request: Request, kit: str) -> Response:
    """Show a kit: for whom, until when, how to serve it, and what can be done with it."""
    desk = await desk_for(request)
    done = request.query_params.get("done", "")
    return await show_kit(desk, kit, done=done if done in DEEDS else "")


@router.post("/move", openapi_extra=behind(Door.COORDINATOR))
async def move_kit(request: Request, kit: str) -> Response:
    """Move a kit, with what is in it, to another place."""
    desk = await desk_for(request)
    typed = TypedDeed.of(form_of(request), deed="move")
    faults: Faults = {}
    if typed.place not in {one.id for one in (await around(desk)).places}:
        faults["move-place"] = "fault-place"
    why = typed.reason(faults)
    if faults:
        return await show_kit(desk, kit, typed=typed, faults=faults)
    work = partial(deeds.move_kit, kit=KitId(kit), place=PlaceId(typed.place), why=why)
    return await do_kit_deed(desk, kit, work=work, typed=typed)


@router.post("/unpack", openapi_extra=behind(Door.COORDINATOR))
async def unpack_kit(request: Request, kit: str) -> Response:
    """Take a kit apart: what was in it stands free again, with its dates."""
    desk = await desk_for(request)
    typed = TypedDeed.of(form_of(request), deed="unpack")
    faults: Faults = {}
    why = typed.reason(faults)
    if faults:
        return await show_kit(desk, kit, typed=typed, faults=faults)
    work = partial(deeds.unpack_kit, kit=KitId(kit), why=why)
    return await do_kit_deed(desk, kit, work=work, typed=typed)


@router.post("/eat", openapi_extra=behind(Door.COORDINATOR))
async def eat_kit(request: Request, kit: str) -> Response:
    """Record that a kit was eaten whole; one that has changed is looked at before."""
    desk = await desk_for(request)
    typed = TypedDeed.of(form_of(request), deed="eat")
    faults: Faults = {}
    why = typed.reason(faults)
    if faults:
        return await show_kit(desk, kit, typed=typed, faults=faults)

    def work(writing: Writing) -> KeptKit:
        if to_be_looked_at(writing, [deeds.find_closed(writing, KitId(kit))]):
            raise StockRefused(desk.words.say("kit-eat-look-first"))
        return deeds.eat_kit(writing, KitId(kit), why=why)

    return await do_kit_deed(desk, kit, work=work, typed=typed)


@router.post("/confirm", openapi_extra=behind(Door.COORDINATOR))
async def confirm_kit(request: Request, kit: str) -> Response:
    """Answer for a kit that has changed since it was put up, and say why it may be eaten."""
    desk = await desk_for(request)
    typed = TypedDeed.of(form_of(request), deed="confirm")
    faults: Faults = {}
    why = typed.reason(faults)
    if why is None:
        faults["confirm-why"] = "fault-why"
    if faults or why is None:
        return await show_kit(desk, kit, typed=typed, faults=faults)
    work = partial(deeds.confirm_kit, kit=KitId(kit), why=why, if_revision=seen_revision(request))
    return await do_kit_deed(desk, kit, work=work, typed=typed)
