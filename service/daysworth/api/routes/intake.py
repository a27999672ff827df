"""Intake and stock-take: boxes that came in, and what was counted on a shelf."""

from fastapi import Response

from daysworth.api.access import roles
from daysworth.api.edge import TAKES_KEY, AtEdge, Made
from daysworth.api.problems import KeyMissing, problems
from daysworth.api.routes import store_router
from daysworth.api.schemas.stock import (
    IntakeIn,
    IntakeOut,
    LotsOut,
    StockTakeIn,
    intake_out,
    lots_out,
)
from daysworth.db.ledger.intake import receive
from daysworth.db.ledger.taking import count_place
from daysworth.db.transactions import Writing
from daysworth.domain.entries import Role
from daysworth.domain.errors import StockRefused
from daysworth.domain.identifiers import LotId, PlaceId

router = store_router()


@router.post(
    "/intake",
    status_code=201,
    response_model=IntakeOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR, Role.VOLUNTEER, Role.HOUSEHOLD),
)
async def log_intake(asked: IntakeIn, edge: AtEdge) -> Response:
    """Log boxes that came in: one or many, all of them or none.

    What is not in the catalogue is saved in words, and waits for a coordinator to say what it is.
    """
    lines = [box.line() for box in asked.lines]

    def log(writing: Writing) -> Made:
        return Made(told=intake_out(receive(writing, lines)))

    return await edge.create(log)


@router.post(
    "/stock-take",
    status_code=201,
    response_model=LotsOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR, Role.VOLUNTEER),
)
async def log_stock_take(asked: StockTakeIn, edge: AtEdge) -> Response:
    """Log what was counted in a place, lot by lot; a lot that stands elsewhere is refused."""
    units = {LotId(one.lot): one.units for one in asked.counts}

    def log(writing: Writing) -> Made:
        counted = count_place(writing, PlaceId(asked.place), units_by_lot=units, why=asked.why)
        return Made(told=lots_out(counted))

    return await edge.create(log)
