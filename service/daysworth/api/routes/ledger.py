"""The ledger, and the log of who read health facts."""

from typing import Annotated

from fastapi import Query, Response

from daysworth.api.access import roles
from daysworth.api.edge import AtEdge
from daysworth.api.paging import ListOut, PageAsked
from daysworth.api.problems import problems
from daysworth.api.routes import store_router
from daysworth.api.schemas.plain import Output
from daysworth.api.schemas.stock import EntryOut, entry_out
from daysworth.db.disclosures import Disclosure, list_disclosures
from daysworth.db.stock import list_entries
from daysworth.domain.entries import Role
from daysworth.domain.identifiers import LotId

router = store_router()


class DisclosureOut(Output):
    """One reading of health facts; `household` null: of the whole store's."""

    at: str
    by: str
    what: str
    household: str | None


@router.get(
    "/ledger",
    response_model=ListOut[EntryOut],
    responses=problems(),
    openapi_extra=roles(Role.COORDINATOR, Role.VOLUNTEER, Role.SCRIPT),
)
async def list_ledger(
    edge: AtEdge,
    page: PageAsked,
    *,
    lot: Annotated[str | None, Query(max_length=64, description="Of one lot alone.")] = None,
) -> Response:
    """List what happened to the stock, in the order it was written."""
    after = page.after_entry()
    of_lot = None if lot is None else LotId(lot)
    found = await edge.read(
        lambda reading: list_entries(reading, lot=of_lot, after=after, limit=page.limit)
    )
    return await edge.show_page(found, told=entry_out, paging=page)


@router.get(
    "/disclosures",
    response_model=ListOut[DisclosureOut],
    responses=problems(),
    openapi_extra=roles(Role.COORDINATOR),
)
async def list_all_disclosures(edge: AtEdge, page: PageAsked) -> Response:
    """List who read health facts, whose, and when."""
    found = await edge.read(
        lambda reading: list_disclosures(reading, after=page.after, limit=page.limit)
    )
    return await edge.show_page(found, told=_disclosure, paging=page)


def _disclosure(one: Disclosure) -> DisclosureOut:
    return DisclosureOut(at=one.at, by=one.by, what=one.what, household=one.household)
