"""Parcels: what who packs may know, a number and what must not go in."""

from fastapi import Response

from daysworth.api.access import roles
from daysworth.api.edge import AtEdge
from daysworth.api.paging import ListOut, PageAsked
from daysworth.api.problems import problems
from daysworth.api.routes import store_router
from daysworth.api.schemas.households import ParcelOut
from daysworth.db.households import KeptHousehold, list_parcels
from daysworth.domain.entries import Role
from daysworth.domain.restrictions import ADVISING
from daysworth.domain.suitability import Demand, demand_words

router = store_router(under="/parcels")


@router.get(
    "",
    response_model=ListOut[ParcelOut],
    responses=problems(),
    openapi_extra=roles(Role.COORDINATOR, Role.VOLUNTEER),
)
async def list_all_parcels(edge: AtEdge, page: PageAsked) -> Response:
    """List parcel numbers with what each must not contain; whose they are is not told."""
    after = page.after_number()
    await edge.disclose("parcels")
    found = await edge.read(lambda r: list_parcels(r, after=after, limit=page.limit))
    return await edge.show_page(found, told=_parcel, paging=page)


def _parcel(kept: KeptHousehold) -> ParcelOut:
    restrictions = (one for member in kept.members for one in member.facts.restrictions)
    words = {
        demand_words(Demand(one.allergy, one.diet))
        for one in restrictions
        if one.diet not in ADVISING
    }
    return ParcelOut(parcel_number=kept.parcel_number, must_not_contain=sorted(words))
