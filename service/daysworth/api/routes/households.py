"""Households: who they are is for coordinators and themselves alone; every look is logged."""

from typing import Annotated

from fastapi import Query, Response
from pydantic import Field

from daysworth.api.access import roles
from daysworth.api.edge import TAKES_KEY, TAKES_REVISION, TAKES_TAG, AtEdge, Made
from daysworth.api.paging import ListOut, PageAsked
from daysworth.api.problems import KeyMissing, RevisionMissing, problems
from daysworth.api.routes import store_router
from daysworth.api.routes.paths import HouseholdPath
from daysworth.api.schemas.households import (
    HouseholdChangeIn,
    HouseholdIn,
    HouseholdOut,
    household_out,
)
from daysworth.api.schemas.plain import Output
from daysworth.api.schemas.stock import LotOut, lot_out
from daysworth.api.schemas.suitability import AcknowledgedOut, acknowledged_out
from daysworth.db.acknowledgements import acknowledged
from daysworth.db.households import (
    KeptHousehold,
    add_household,
    change_household,
    check_birth,
    list_households,
    new_member_id,
    read_household,
)
from daysworth.db.leaving import OwnStock, erase_household
from daysworth.db.stock import LotChoice, all_lots
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.entries import Role
from daysworth.domain.errors import NotAsItWas, StockRefused
from daysworth.domain.identifiers import HouseholdId

router = store_router(under="/households")

OURS = (Role.COORDINATOR, Role.HOUSEHOLD)


class HouseholdExportOut(Output):
    """All that the store holds of a household."""

    household: HouseholdOut
    lots: list[LotOut] = Field(description="What it owns, shared or not.")
    acknowledgements: list[AcknowledgedOut] = Field(description="Warnings somebody took note of.")


@router.get(
    "",
    response_model=ListOut[HouseholdOut],
    responses=problems(),
    openapi_extra=roles(Role.COORDINATOR),
)
async def list_all_households(edge: AtEdge, page: PageAsked) -> Response:
    """List the households of a store with their members."""
    await edge.disclose("households")
    found = await edge.read(lambda r: list_households(r, after=page.after, limit=page.limit))
    return await edge.show_page(found, told=household_out, paging=page)


@router.post(
    "",
    status_code=201,
    response_model=HouseholdOut,
    responses=problems(KeyMissing),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR),
)
async def add_one_household(asked: HouseholdIn, edge: AtEdge) -> Response:
    """Add a household with its members; it gets the next parcel number."""
    members = [one.kept(new_member_id()) for one in asked.members]
    await edge.disclose("household, as added")

    def add(writing: Writing) -> Made:
        for number, member in enumerate(members, start=1):
            check_birth(writing, member, where=f"members number {number} > ")
        kept = add_household(writing, name=asked.name, pets=asked.pets, members=members)
        return _made(kept, at=edge.address("households", kept.id))

    return await edge.create(add)


@router.get(
    "/{household}",
    response_model=HouseholdOut,
    responses={**problems(), 304: {"description": "You have it already"}},
    dependencies=[TAKES_TAG],
    openapi_extra=roles(*OURS),
)
async def read_one_household(household: HouseholdPath, edge: AtEdge) -> Response:
    """Read a household with its members and what they must not eat."""
    id_ = HouseholdId(household)
    await edge.disclose("household", household=id_)
    kept = await edge.read(lambda reading: read_household(reading, id_))
    return await edge.show(household_out(kept), revision=kept.revision)


@router.put(
    "/{household}",
    response_model=HouseholdOut,
    responses=problems(NotAsItWas, RevisionMissing),
    dependencies=[TAKES_REVISION, TAKES_KEY],
    openapi_extra=roles(*OURS),
)
async def change_one_household(
    household: HouseholdPath, *, asked: HouseholdChangeIn, edge: AtEdge
) -> Response:
    """Change a household's name and pets."""
    id_ = HouseholdId(household)
    await edge.disclose("household, as changed", household=id_)

    def change(writing: Writing) -> Made:
        revision = edge.if_revision()
        return _made(
            change_household(writing, id_, name=asked.name, pets=asked.pets, if_revision=revision)
        )

    return await edge.change(change)


@router.delete(
    "/{household}",
    status_code=204,
    response_class=Response,
    responses=problems(NotAsItWas, RevisionMissing, StockRefused),
    dependencies=[TAKES_REVISION, TAKES_KEY],
    openapi_extra=roles(*OURS),
)
async def erase_one_household(
    household: HouseholdPath,
    *,
    edge: AtEdge,
    own_stock: Annotated[
        OwnStock | None, Query(description="What becomes of the stock that it owns.")
    ] = None,
) -> Response:
    """Let a household leave: its stock is returned or given, and it is erased."""

    def erase(writing: Writing) -> Made:
        revision = edge.if_revision()
        erase_household(writing, HouseholdId(household), own_stock=own_stock, if_revision=revision)
        return Made(told=None)

    return await edge.change(erase, status=204)


@router.get(
    "/{household}/export",
    response_model=HouseholdExportOut,
    responses=problems(),
    openapi_extra=roles(*OURS),
)
async def export_household(household: HouseholdPath, edge: AtEdge) -> Response:
    """Give all that the store holds of a household."""
    id_ = HouseholdId(household)
    await edge.disclose("household export", household=id_)

    def gather(reading: Reading) -> HouseholdExportOut:
        kept = read_household(reading, id_)
        lots = all_lots(reading, choice=LotChoice(owner=id_, with_empty=True))
        noted = acknowledged(reading, id_).values()
        return HouseholdExportOut(
            household=household_out(kept),
            lots=[lot_out(lot) for lot in lots],
            acknowledgements=[acknowledged_out(one) for one in noted],
        )

    return await edge.show(await edge.read(gather))


def _made(kept: KeptHousehold, *, at: str | None = None) -> Made:
    return Made(told=household_out(kept), at=at, revision=kept.revision, household=kept.id)
