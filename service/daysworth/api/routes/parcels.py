"""Parcels: what who packs may know, a number and what must not go in."""

from datetime import date

from fastapi import Response

from daysworth.answers.warnings import must_not_contain
from daysworth.api.access import roles
from daysworth.api.edge import AtEdge
from daysworth.api.paging import ListOut, PageAsked
from daysworth.api.problems import problems
from daysworth.api.routes import store_router
from daysworth.api.schemas.households import ParcelOut
from daysworth.db.households import KeptHousehold, list_parcels
from daysworth.db.pages_of_rows import Page
from daysworth.db.stores import read_store
from daysworth.db.transactions import Reading, day_there
from daysworth.domain.entries import Role
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.people import Household
from daysworth.planners.household_fit import table_of

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

    def look(reading: Reading) -> tuple[date, Page[KeptHousehold]]:
        today = day_there(read_store(reading).settings, at=edge.service.clock())
        return today, list_parcels(reading, after=after, limit=page.limit)

    today, found = await edge.read(look)
    return await edge.show_page(found, told=lambda kept: _parcel(kept, today), paging=page)


def _parcel(kept: KeptHousehold, today: date) -> ParcelOut:
    home = Household(id=HouseholdId(kept.id), members=tuple(one.facts for one in kept.members))
    return ParcelOut(
        parcel_number=kept.parcel_number,
        must_not_contain=must_not_contain(table_of(home, today)),
    )
