"""Lots, and what may be done with them; each deed is an entry in the ledger."""

from collections.abc import Callable
from typing import Annotated

from fastapi import Query, Response

from daysworth.api.access import roles
from daysworth.api.edge import TAKES_KEY, TAKES_REVISION, TAKES_TAG, AtEdge, Edge, Made
from daysworth.api.paging import ListOut, PageAsked
from daysworth.api.problems import KeyMissing, RevisionMissing, problems
from daysworth.api.routes import store_router
from daysworth.api.routes.paths import LotPath
from daysworth.api.schemas.labels import LabelIn, LabelOut, SettleIn, label_out
from daysworth.api.schemas.stock import (
    CorrectionIn,
    DateIn,
    DiscardIn,
    LotOut,
    LotsOut,
    MaybeReasonIn,
    MoveIn,
    OpenIn,
    ReasonIn,
    RepackIn,
    TakeIn,
    lot_out,
    lots_out,
)
from daysworth.db.foods import read_food
from daysworth.db.label_history import label_history
from daysworth.db.ledger import custody, handling, labels, taking
from daysworth.db.ledger.held import Held
from daysworth.db.stock import LotChoice, list_lots, read_lot
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.entries import Role
from daysworth.domain.errors import NotAsItWas, NotThere, StockRefused
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId, PlaceId

router = store_router(under="/lots")

HANDS = (Role.COORDINATOR, Role.VOLUNTEER, Role.HOUSEHOLD)
STAFF = (Role.COORDINATOR, Role.VOLUNTEER)
OURS = (Role.COORDINATOR, Role.HOUSEHOLD)

_Filter = Query(max_length=64)


@router.get("", response_model=ListOut[LotOut], responses=problems(), openapi_extra=roles(*Role))
async def list_all_lots(
    edge: AtEdge,
    page: PageAsked,
    *,
    place: Annotated[str | None, _Filter] = None,
    food: Annotated[str | None, _Filter] = None,
    owner: Annotated[str | None, _Filter] = None,
    waiting: Annotated[
        bool | None, Query(description="True: those without a food; false: those with one.")
    ] = None,
    with_empty: Annotated[bool, Query(description="Those that are used up, too.")] = False,
) -> Response:
    """List lots. A household sees its own."""
    if edge.reader.household is not None:
        owner = edge.reader.household
    choice = LotChoice(
        place=None if place is None else PlaceId(place),
        food=None if food is None else FoodId(food),
        owner=None if owner is None else HouseholdId(owner),
        is_waiting=waiting,
        with_empty=with_empty,
    )
    found = await edge.read(
        lambda reading: list_lots(reading, choice=choice, after=page.after, limit=page.limit)
    )
    return await edge.show_page(found, told=lot_out, paging=page)


@router.get(
    "/{lot}",
    response_model=LotOut,
    responses={**problems(), 304: {"description": "You have it already"}},
    dependencies=[TAKES_TAG],
    openapi_extra=roles(*Role),
)
async def read_one_lot(lot: LotPath, edge: AtEdge) -> Response:
    """Read a lot. A household sees its own."""
    found = await edge.read(lambda reading: _seen(reading, lot, edge=edge))
    return await edge.show(lot_out(found), revision=found.revision)


@router.get(
    "/{lot}/label",
    response_model=LabelOut,
    responses=problems(),
    openapi_extra=roles(*Role),
)
async def read_label(lot: LotPath, edge: AtEdge) -> Response:
    """Read a lot's label: the readings that stand, who made them, and all that were ever made.

    `etag` is the lot's, for settling; what readings disagree about can change without the lot.
    """

    def look(reading: Reading) -> LabelOut:
        found = _seen(reading, lot, edge=edge)
        food = None if found.food is None else read_food(reading, FoodId(found.food)).food
        entries = label_history(reading, LotId(lot))
        return label_out(found, food=food, entries=entries)

    return await edge.show(await edge.read(look))


@router.post(
    "/{lot}/label",
    status_code=201,
    response_model=LotOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*HANDS),
)
async def record_label(lot: LotPath, *, asked: LabelIn, edge: AtEdge) -> Response:
    """Record what a label says, beside what was read before, or that it is another lot's label."""
    reading = None if asked.reading is None else asked.reading.reading()

    def deed(writing: Writing) -> Held:
        if reading is not None:
            return labels.record(writing, LotId(lot), reading=reading, why=asked.why)
        as_lot = LotId(asked.same_as or "")
        return labels.same_label(writing, LotId(lot), as_lot=as_lot, why=asked.why)

    return await _deed(edge, deed)


@router.post(
    "/{lot}/label/settle",
    status_code=201,
    response_model=LotOut,
    responses=problems(KeyMissing, RevisionMissing, NotAsItWas, StockRefused),
    dependencies=[TAKES_KEY, TAKES_REVISION],
    openapi_extra=roles(Role.COORDINATOR),
)
async def settle_label(lot: LotPath, *, asked: SettleIn, edge: AtEdge) -> Response:
    """Settle which readings of a label stand; the others stay in the ledger."""
    keep = asked.standing()
    return await _deed(
        edge,
        lambda writing: labels.settle(
            writing, LotId(lot), keep=keep, why=asked.why, if_revision=edge.if_revision()
        ),
    )


@router.post(
    "/{lot}/move",
    status_code=201,
    response_model=LotsOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*HANDS),
)
async def move_lot(lot: LotPath, *, asked: MoveIn, edge: AtEdge) -> Response:
    """Move units to another place; a part becomes a lot of its own there."""
    place = PlaceId(asked.place)
    return await _deeds(
        edge,
        lambda writing: handling.move(
            writing, LotId(lot), place=place, units=asked.units, why=asked.why
        ),
    )


@router.post(
    "/{lot}/open",
    status_code=201,
    response_model=LotsOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*HANDS),
)
async def open_lot(lot: LotPath, *, asked: OpenIn, edge: AtEdge) -> Response:
    """Open units: they become a lot of their own that keeps for less."""
    return await _deeds(
        edge,
        lambda writing: handling.open_units(
            writing, LotId(lot), units=asked.units, opened_on=asked.opened_on, why=asked.why
        ),
    )


@router.post(
    "/{lot}/repack",
    status_code=201,
    response_model=LotsOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*HANDS),
)
async def repack_lot(lot: LotPath, *, asked: RepackIn, edge: AtEdge) -> Response:
    """Repack units into smaller packs, which become a lot of their own."""
    return await _deeds(
        edge,
        lambda writing: handling.repack(
            writing,
            LotId(lot),
            units=asked.units,
            into_units=asked.into_units,
            net_mass_g=asked.net_mass_g,
            repacked_on=asked.repacked_on,
            why=asked.why,
        ),
    )


@router.post(
    "/{lot}/date",
    status_code=201,
    response_model=LotOut,
    responses=problems(KeyMissing, RevisionMissing, NotAsItWas, StockRefused),
    dependencies=[TAKES_KEY, TAKES_REVISION],
    openapi_extra=roles(*HANDS),
)
async def redate_lot(lot: LotPath, *, asked: DateIn, edge: AtEdge) -> Response:
    """Put right what the label says of dates."""
    return await _deed(
        edge,
        lambda writing: handling.redate(
            writing,
            LotId(lot),
            label_kind=asked.label_kind,
            printed=asked.printed,
            if_revision=edge.if_revision(),
            why=asked.why,
        ),
    )


@router.post(
    "/{lot}/use",
    status_code=201,
    response_model=LotOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*HANDS),
)
async def use_lot(lot: LotPath, *, asked: TakeIn, edge: AtEdge) -> Response:
    """Take units out to be eaten."""
    return await _deed(
        edge, lambda writing: taking.eat(writing, LotId(lot), units=asked.units, why=asked.why)
    )


@router.post(
    "/{lot}/discard",
    status_code=201,
    response_model=LotOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*HANDS),
)
async def discard_lot(lot: LotPath, *, asked: DiscardIn, edge: AtEdge) -> Response:
    """Throw units away, and say why."""
    return await _deed(
        edge,
        lambda writing: taking.discard(writing, LotId(lot), units=asked.units, why=asked.why),
    )


@router.post(
    "/{lot}/return",
    status_code=201,
    response_model=LotOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*HANDS),
)
async def return_lot(lot: LotPath, *, asked: TakeIn, edge: AtEdge) -> Response:
    """Return units to the household that owns them."""
    return await _deed(
        edge,
        lambda writing: taking.give_back(writing, LotId(lot), units=asked.units, why=asked.why),
    )


@router.post(
    "/{lot}/share",
    status_code=201,
    response_model=LotOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*OURS),
)
async def share_lot(lot: LotPath, *, asked: MaybeReasonIn, edge: AtEdge) -> Response:
    """Let everyone eat from a household's lot."""
    return await _deed(edge, lambda writing: custody.share(writing, LotId(lot), why=asked.why))


@router.post(
    "/{lot}/take-back",
    status_code=201,
    response_model=LotOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*OURS),
)
async def take_lot_back(lot: LotPath, *, asked: MaybeReasonIn, edge: AtEdge) -> Response:
    """Keep a household's shared lot to itself again."""
    return await _deed(edge, lambda writing: custody.take_back(writing, LotId(lot), why=asked.why))


@router.post(
    "/{lot}/quarantine",
    status_code=201,
    response_model=LotOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*STAFF),
)
async def quarantine_lot(lot: LotPath, *, asked: ReasonIn, edge: AtEdge) -> Response:
    """Set a lot aside until someone decides; it counts in no plan meanwhile."""
    return await _deed(edge, lambda writing: custody.quarantine(writing, LotId(lot), why=asked.why))


@router.post(
    "/{lot}/release",
    status_code=201,
    response_model=LotOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR),
)
async def release_lot(lot: LotPath, *, asked: ReasonIn, edge: AtEdge) -> Response:
    """Let a lot that was set aside count again."""
    return await _deed(edge, lambda writing: custody.release(writing, LotId(lot), why=asked.why))


@router.post(
    "/{lot}/correct",
    status_code=201,
    response_model=LotOut,
    responses=problems(KeyMissing, RevisionMissing, NotAsItWas, StockRefused),
    dependencies=[TAKES_KEY, TAKES_REVISION],
    openapi_extra=roles(Role.COORDINATOR),
)
async def correct_lot(lot: LotPath, *, asked: CorrectionIn, edge: AtEdge) -> Response:
    """Correct a mistake, or say which food a lot in words is."""
    return await _deed(
        edge,
        lambda writing: custody.correct(
            writing,
            LotId(lot),
            correction=asked.correction(),
            why=asked.why,
            if_revision=edge.if_revision(),
        ),
    )


def _seen(reading: Reading, lot: str, *, edge: Edge) -> Held:
    found = read_lot(reading, LotId(lot))
    if edge.reader.household is not None and found.owner != edge.reader.household:
        raise NotThere(f"there is no lot {lot!r} of yours in this store")
    return found


async def _deed(edge: Edge, deed: Callable[[Writing], Held]) -> Response:
    def work(writing: Writing) -> Made:
        lot = deed(writing)
        return Made(told=lot_out(lot), revision=lot.revision)

    return await edge.create(work)


async def _deeds(edge: Edge, deed: Callable[[Writing], list[Held]]) -> Response:
    return await edge.create(lambda writing: Made(told=lots_out(deed(writing))))
