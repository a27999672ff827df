"""Show anyone what to bring, at the address that a coordinator gave out."""

from fastapi import Request, Response

from daysworth.api.routes.bring_list import public_list
from daysworth.api.schemas.bring_list import WHAT_TO_MIND, public_list_out
from daysworth.pages.doors import Door, behind, pages_router
from daysworth.pages.frame import page
from daysworth.pages.wish_page import size_of
from daysworth.wording.catalogue import LANGUAGE, catalogue

router = pages_router(under="/bring")


@router.get("/{store}/{code}", openapi_extra=behind(Door.ANYONE))
async def bring_list_page(request: Request, store: str, *, code: str) -> Response:
    """Show a published list; one that was withdrawn is answered in words."""
    kept, store_name = await public_list(request, store, code=code)
    told = public_list_out(kept, store_name=store_name)
    return page(
        "bring_list.html",
        catalogue(LANGUAGE),
        told=told,
        sizes=[size_of(line.unit_mass_g, is_water=line.is_water) for line in told.lines],
        to_mind=len(WHAT_TO_MIND),
    )
