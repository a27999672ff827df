"""Wares: openers, tableware and bags, which go into kits and run out."""

from collections import Counter
from collections.abc import Iterable

from fastapi import Response

from daysworth.answers.wares import WaresAnswer, wares_answer
from daysworth.api.access import roles
from daysworth.api.edge import TAKES_KEY, AtEdge, Made
from daysworth.api.problems import KeyMissing, problems
from daysworth.api.routes import store_router
from daysworth.api.schemas.wares import WaresIn, WareStockTakeIn
from daysworth.db.kits import closed_kits
from daysworth.db.places import every_place
from daysworth.db.transactions import Reading, Writing
from daysworth.db.wares import count_wares, receive_wares, ware_stock
from daysworth.domain.entries import Role
from daysworth.domain.identifiers import PlaceId
from daysworth.domain.wares import WareKind, WareStock

router = store_router(under="/wares")

STAFF = (Role.COORDINATOR, Role.VOLUNTEER)


@router.get(
    "",
    response_model=WaresAnswer,
    responses=problems(),
    openapi_extra=roles(*STAFF, Role.SCRIPT),
)
async def list_all_wares(edge: AtEdge) -> Response:
    """List how many of each ware stand free in each place, and of each how many are in kits."""
    return await edge.show(await edge.read(_all_wares))


@router.post(
    "/receive",
    status_code=201,
    response_model=WaresAnswer,
    responses=problems(KeyMissing),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*STAFF),
)
async def receive_some_wares(asked: WaresIn, edge: AtEdge) -> Response:
    """Log wares that came in; the answer is of all there are then."""

    def receive(writing: Writing) -> Made:
        for line in asked.lines:
            receive_wares(
                writing, line.kind, place=PlaceId(line.place), units=line.units, why=asked.why
            )
        return Made(told=_all_wares(writing))

    return await edge.create(receive)


@router.post(
    "/count",
    status_code=201,
    response_model=WaresAnswer,
    responses=problems(KeyMissing),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*STAFF),
)
async def count_some_wares(asked: WareStockTakeIn, edge: AtEdge) -> Response:
    """Count the wares of a place; the answer is of all there are then."""

    def count(writing: Writing) -> Made:
        for one in asked.counts:
            count_wares(
                writing, one.kind, place=PlaceId(asked.place), units=one.units, why=asked.why
            )
        return Made(told=_all_wares(writing))

    return await edge.create(count)


def _all_wares(reading: Reading | Writing) -> WaresAnswer:
    return wares_answer(
        _free(ware_stock(reading.connection, reading.store)),
        places={place.id: place.name for place in every_place(reading)},
        in_kits=_in_kits(reading),
    )


def _free(stock: Iterable[WareStock]) -> list[WareStock]:
    return [one for one in stock if one.units > 0]


def _in_kits(reading: Reading | Writing) -> Counter[WareKind]:
    found: Counter[WareKind] = Counter()
    for kit in closed_kits(reading.connection, reading.store):
        found.update(kit.wares)
    return found
