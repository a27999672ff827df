"""Suitability: a household's warnings, whom a food suits, and what may go in a parcel.

Health facts stand behind all of it: every answer is logged as a reading of them before it is given.
"""

from datetime import date
from functools import partial
from typing import Annotated

from fastapi import Path, Query, Response

from daysworth.answers.barcodes import MOST_CHARACTERS
from daysworth.answers.food_suitability import FoodSuitabilityAnswer
from daysworth.answers.parcels import LONGEST_WORDS, ParcelCheckAnswer
from daysworth.answers.store_suitability import ThingAsked
from daysworth.answers.warnings import WarningsAnswer
from daysworth.api.access import roles
from daysworth.api.edge import TAKES_KEY, AtEdge, Made
from daysworth.api.problems import KeyMissing, problems
from daysworth.api.routes import store_router
from daysworth.api.routes.paths import FoodPath, HouseholdPath
from daysworth.api.scenario_asked import AsOf
from daysworth.api.schemas.suitability import (
    AcknowledgedOut,
    AcknowledgementIn,
    acknowledged_out,
)
from daysworth.api.service import run
from daysworth.db.acknowledgements import acknowledge
from daysworth.db.transactions import Writing
from daysworth.domain.entries import Role
from daysworth.domain.errors import Fault, FieldsRefused, NotAllowed, NotThere, StoreUnsound
from daysworth.domain.identifiers import FoodId, HouseholdId

router = store_router()

OWN = (Role.COORDINATOR, Role.HOUSEHOLD)
HANDS = (Role.COORDINATOR, Role.VOLUNTEER, Role.HOUSEHOLD)
STAFF = (Role.COORDINATOR, Role.VOLUNTEER)

ParcelNumber = Annotated[int, Path(ge=1, le=10_000_000, description="The parcel's number.")]


def _check(as_of: date | None) -> None:
    """Raise FieldsRefused for a day that no other question may be asked about either."""
    if as_of is not None and not 2010 <= as_of.year <= 2090:
        raise FieldsRefused((Fault("as_of", "must be a day from 2010 to 2090"),))


@router.get(
    "/households/{household}/warnings",
    response_model=WarningsAnswer,
    responses=problems(StoreUnsound),
    openapi_extra=roles(*OWN),
)
async def list_warnings(household: HouseholdPath, edge: AtEdge, *, as_of: AsOf = None) -> Response:
    """List what a household must not have, and what nobody knows of, worst first.

    Each with the need, the words on the label, and a lot in stock to give instead. What was
    acknowledged is listed with it; nothing can be switched off.
    """
    _check(as_of)
    id_ = HouseholdId(household)
    await edge.disclose("warnings", household=id_)
    office = edge.service.suitability
    work = partial(office.warnings, edge.reader, id_, as_of=as_of, at=edge.service.clock())
    return edge.told(await run(edge.service.reckoners, work), of=WarningsAnswer)


@router.post(
    "/households/{household}/acknowledgements",
    status_code=201,
    response_model=AcknowledgedOut,
    responses=problems(KeyMissing, StoreUnsound),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR),
)
async def acknowledge_warning(
    household: HouseholdPath, *, asked: AcknowledgementIn, edge: AtEdge
) -> Response:
    """Take note of a warning, with a reason that is kept. It goes on being shown.

    An edit of the food, of its label or of the household's needs makes it another warning.
    """
    id_ = HouseholdId(household)
    await edge.disclose("warnings", household=id_)
    office = edge.service.suitability
    work = partial(office.warnings, edge.reader, id_, as_of=None, at=edge.service.clock())
    standing = await run(edge.service.reckoners, work)
    food = {one.warning: one.food for one in standing.warnings}.get(asked.warning)

    def note(writing: Writing) -> Made:
        if food is None:
            raise NotThere("there is no such warning now: look at the list again")
        kept = acknowledge(writing, id_, warning=asked.warning, food=FoodId(food), why=asked.why)
        return Made(told=acknowledged_out(kept), household=id_)

    return await edge.create(note)


@router.get(
    "/foods/{food}/suitability",
    response_model=FoodSuitabilityAnswer,
    responses=problems(StoreUnsound),
    openapi_extra=roles(*HANDS),
)
async def food_suitability(
    food: FoodPath,
    edge: AtEdge,
    *,
    household: Annotated[
        str | None, Query(max_length=64, description="For this household alone; coordinators.")
    ] = None,
    as_of: AsOf = None,
) -> Response:
    """Say whom a food suits, label by label: what is known of it, and who must not have it.

    Who packs is told parcels by their number, a household only of itself.
    """
    _check(as_of)
    if household is not None and edge.reader.role is Role.VOLUNTEER:
        raise NotAllowed("ask by parcel: who packs is not told of households")
    if household is not None and edge.reader.household not in (None, household):
        raise NotAllowed("this credential is for another household")
    id_ = None if household is None else HouseholdId(household)
    await edge.disclose("suitability", household=id_ or edge.reader.household)
    office = edge.service.suitability
    work = partial(
        office.food,
        edge.reader,
        FoodId(food),
        household=id_,
        as_of=as_of,
        at=edge.service.clock(),
    )
    return edge.told(await run(edge.service.reckoners, work), of=FoodSuitabilityAnswer)


@router.get(
    "/parcels/{parcel}/check",
    response_model=ParcelCheckAnswer,
    responses=problems(StoreUnsound),
    openapi_extra=roles(*STAFF),
)
async def check_parcel(
    parcel: ParcelNumber,
    edge: AtEdge,
    *,
    words: Annotated[
        str | None, Query(max_length=LONGEST_WORDS, description="What it is called.")
    ] = None,
    scanned: Annotated[
        str | None, Query(max_length=MOST_CHARACTERS, description="Its barcode, as scanned.")
    ] = None,
    lot: Annotated[str | None, Query(max_length=64, description="The lot it is from.")] = None,
) -> Response:
    """Say whether a food may go in a parcel: yes, no or not known, and why.

    Give `words`, `scanned` or `lot`, one of them. Words alone earn no yes for a home that must
    avoid something.
    """
    await edge.disclose(f"parcel {parcel}")
    office = edge.service.suitability
    thing = ThingAsked(words=words, scanned=scanned, lot=lot)
    work = partial(office.parcel, edge.reader, parcel, thing=thing, at=edge.service.clock())
    return edge.told(await run(edge.service.reckoners, work), of=ParcelCheckAnswer)
