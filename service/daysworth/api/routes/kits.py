"""Kits: complete meals put up in one bag, what is in them, and what becomes of them.

A kit that is for a household is a matter of what that household must not eat: every reading of it
by a coordinator is logged. Who packs is told the number of its parcel.
"""

from collections.abc import Callable
from enum import StrEnum
from functools import partial
from typing import Annotated

from fastapi import Query, Response

from daysworth.answers.kit import KitAnswer
from daysworth.answers.kit_check import KitCheckAnswer
from daysworth.answers.kit_list import KitSummary
from daysworth.answers.store_kits import KitsAsked
from daysworth.answers.take_along import TakeAlongAnswer
from daysworth.api.access import roles
from daysworth.api.edge import TAKES_KEY, TAKES_REVISION, AtEdge, Edge, Made
from daysworth.api.paging import ListOut, PageAsked
from daysworth.api.problems import KeyMissing, RevisionMissing, problems
from daysworth.api.routes import store_router
from daysworth.api.routes.paths import KitPath
from daysworth.api.schemas.kits import KitCheckIn, KitMoveIn, KitOut, kit_out
from daysworth.api.schemas.plain import Day
from daysworth.api.schemas.stock import MaybeReasonIn, ReasonIn
from daysworth.api.service import run
from daysworth.db.kits import KeptKit, KitChoice
from daysworth.db.ledger import kits as deeds
from daysworth.db.transactions import Writing
from daysworth.domain.entries import KitState, Role
from daysworth.domain.errors import (
    Fault,
    FieldsRefused,
    NotAllowed,
    NotAsItWas,
    StockRefused,
    StoreUnsound,
)
from daysworth.domain.identifiers import HouseholdId, KitId, PlaceId

router = store_router(under="/kits")

READERS = (Role.COORDINATOR, Role.VOLUNTEER, Role.HOUSEHOLD)
STAFF = (Role.COORDINATOR, Role.VOLUNTEER)

HEAVIEST_KG = 1_000.0

_Filter = Query(max_length=64)


class StateAsked(StrEnum):
    """What became of the kits that are listed."""

    CLOSED = "closed"
    UNPACKED = "unpacked"
    EATEN = "eaten"
    ANY = "any"

    @property
    def kept(self) -> KitState | None:
        """Give the state as it is kept; None: any."""
        return None if self is StateAsked.ANY else KitState(self.value)


@router.get(
    "",
    response_model=ListOut[KitSummary],
    responses=problems(StoreUnsound),
    openapi_extra=roles(*READERS),
)
async def list_all_kits(
    edge: AtEdge,
    page: PageAsked,
    *,
    place: Annotated[str | None, _Filter] = None,
    household: Annotated[
        str | None, Query(max_length=64, description="Put up for it; coordinators.")
    ] = None,
    state: Annotated[
        StateAsked, Query(description="What became of them; any of it.")
    ] = StateAsked.CLOSED,
    due_before: Annotated[
        Day | None, Query(description="Closed kits of which something is not good by then.")
    ] = None,
) -> Response:
    """List kits by id, closed ones unless told otherwise. A household sees its own."""
    _check_household(edge, household)
    if due_before is not None and not 2000 <= due_before.year <= 2100:
        raise FieldsRefused((Fault("due_before", "must be a day from 2000 to 2100"),))
    asked = KitsAsked(
        choice=KitChoice(
            place=None if place is None else PlaceId(place),
            household=None if household is None else HouseholdId(household),
            state=KitState.CLOSED if due_before is not None else state.kept,
        ),
        due_before_day=due_before,
        after=page.after,
        limit=page.limit,
    )
    office, at = edge.service.kits, edge.service.clock()
    work = partial(office.kits, edge.reader, asked=asked, at=at)
    found = await run(edge.service.reckoners, work)
    return await edge.show_page(found, told=lambda one: one, paging=page)


@router.post(
    "/check",
    response_model=KitCheckAnswer,
    responses=problems(StoreUnsound),
    openapi_extra=roles(*STAFF),
)
async def check_items(asked: KitCheckIn, edge: AtEdge) -> Response:
    """Check any items as a kit: every rule with its figures, and whom served it does not suit.

    It changes nothing. For a household it is for coordinators to ask.
    """
    _check_household(edge, asked.household)
    if asked.home is not None:
        await edge.disclose("kit check", household=asked.home)
    office, at = edge.service.kits, edge.service.clock()
    work = partial(office.check, edge.reader, asked=asked.asked(), at=at)
    return edge.told(await run(edge.service.reckoners, work), of=KitCheckAnswer)


@router.get(
    "/take-along",
    response_model=TakeAlongAnswer,
    responses=problems(StoreUnsound),
    openapi_extra=roles(*READERS),
)
async def list_kits_to_take(
    edge: AtEdge,
    *,
    household: Annotated[
        str | None, Query(max_length=64, description="For it; coordinators, and itself.")
    ] = None,
    most_kg: Annotated[
        float | None,
        Query(gt=0, le=HEAVIEST_KG, allow_inf_nan=False, description="What can be carried, net."),
    ] = None,
) -> Response:
    """List the kits to take in an evacuation, those that need no opener first."""
    home = household or edge.reader.household
    _check_household(edge, home)
    id_ = None if home is None else HouseholdId(home)
    if id_ is not None:
        await edge.disclose("kits to take", household=id_)
    office, at = edge.service.kits, edge.service.clock()
    work = partial(office.take_along, edge.reader, household=id_, most_kg=most_kg, at=at)
    return edge.told(await run(edge.service.reckoners, work), of=TakeAlongAnswer)


@router.get(
    "/{kit}",
    response_model=KitAnswer,
    responses=problems(StoreUnsound),
    openapi_extra=roles(*READERS),
)
async def read_one_kit(kit: KitPath, edge: AtEdge) -> Response:
    """Read a kit: what is in it, until when it is good, and what has changed since."""
    office, at = edge.service.kits, edge.service.clock()
    found = await run(edge.service.reckoners, partial(office.kit, edge.reader, KitId(kit), at=at))
    if found.household is not None:
        await edge.disclose("kit", household=HouseholdId(found.household))
    # No 304: until when it is good, and for whom, changes with the days and without its revision.
    answer = edge.told(found, of=KitAnswer)
    answer.headers["ETag"] = found.etag
    return answer


@router.post(
    "/{kit}/move",
    status_code=201,
    response_model=KitOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*STAFF),
)
async def move_one_kit(kit: KitPath, *, asked: KitMoveIn, edge: AtEdge) -> Response:
    """Move a kit, with all that is in it, to another place."""
    place = PlaceId(asked.place)
    return await _deed(
        edge,
        lambda writing: deeds.move_kit(writing, KitId(kit), place=place, why=asked.why),
    )


@router.post(
    "/{kit}/unpack",
    status_code=201,
    response_model=KitOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*STAFF),
)
async def unpack_one_kit(kit: KitPath, *, asked: MaybeReasonIn, edge: AtEdge) -> Response:
    """Unpack a kit: what was in it goes back, with its dates, and may be used lot by lot."""
    return await _deed(edge, lambda writing: deeds.unpack_kit(writing, KitId(kit), why=asked.why))


@router.post(
    "/{kit}/eat",
    status_code=201,
    response_model=KitOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*STAFF),
)
async def eat_one_kit(kit: KitPath, *, asked: MaybeReasonIn, edge: AtEdge) -> Response:
    """Record that a kit was eaten whole."""
    return await _deed(edge, lambda writing: deeds.eat_kit(writing, KitId(kit), why=asked.why))


@router.post(
    "/{kit}/confirm",
    status_code=201,
    response_model=KitOut,
    responses=problems(KeyMissing, RevisionMissing, NotAsItWas, StockRefused),
    dependencies=[TAKES_KEY, TAKES_REVISION],
    openapi_extra=roles(Role.COORDINATOR),
)
async def confirm_one_kit(kit: KitPath, *, asked: ReasonIn, edge: AtEdge) -> Response:
    """Answer for a kit whose food or household has changed since it was packed, with a reason.

    Its warnings go on being shown.
    """
    return await _deed(
        edge,
        lambda writing: deeds.confirm_kit(
            writing, KitId(kit), why=asked.why, if_revision=edge.if_revision()
        ),
    )


def _check_household(edge: Edge, household: str | None) -> None:
    """Raise NotAllowed where the asker may not ask about a household."""
    if household is None or edge.reader.role is Role.COORDINATOR:
        return
    if edge.reader.role is Role.VOLUNTEER:
        raise NotAllowed("ask without a household: who packs is told parcels, and no household")
    if household != edge.reader.household:
        raise NotAllowed("this credential is for another household")


async def _deed(edge: Edge, deed: Callable[[Writing], KeptKit]) -> Response:
    def work(writing: Writing) -> Made:
        kept = deed(writing)
        return Made(told=kit_out(kept), revision=kept.revision, household=kept.kit.household)

    return await edge.create(work)
