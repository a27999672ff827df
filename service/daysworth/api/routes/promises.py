"""Promises: what is reserved for which visit, what really went, and what lapsed."""

from collections.abc import Callable, Sequence
from datetime import datetime
from functools import partial
from typing import Annotated

from fastapi import Query, Response

from daysworth.answers.promises import PromiseAnswer, PromisesTold, PromiseSummary
from daysworth.api.access import roles
from daysworth.api.edge import TAKES_KEY, TAKES_REVISION, AtEdge, Edge, Made
from daysworth.api.paging import ListOut, PageAsked
from daysworth.api.problems import KeyMissing, RevisionMissing, problems
from daysworth.api.routes import store_router
from daysworth.api.routes.paths import PromisePath
from daysworth.api.schemas.promises import HandOffIn, LapsedOut, PromisesIn, PromisesOut
from daysworth.api.schemas.stock import ReasonIn
from daysworth.db.ledger import promises as deeds
from daysworth.db.overdue_promises import overdue_promises
from daysworth.db.pages_of_rows import Page
from daysworth.db.promises import KeptPromise, list_promises, read_promise
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.entries import Role
from daysworth.domain.errors import NotAsItWas, StockRefused
from daysworth.domain.identifiers import PartnerId, PromiseId
from daysworth.domain.promises import PromiseState

router = store_router(under="/promises")

READERS = (Role.COORDINATOR, Role.VOLUNTEER, Role.SCRIPT)
STAFF = (Role.COORDINATOR, Role.VOLUNTEER)


@router.get(
    "",
    response_model=ListOut[PromiseSummary],
    responses=problems(),
    openapi_extra=roles(*READERS),
)
async def list_all_promises(
    edge: AtEdge,
    page: PageAsked,
    *,
    state: Annotated[
        PromiseState | None, Query(description="What became of them; any of it if not given.")
    ] = None,
    partner: Annotated[str | None, Query(max_length=64)] = None,
) -> Response:
    """List promises by the time of their visits, of a partner or in a state where one is named."""

    def look(reading: Reading) -> Page[PromiseSummary]:
        found = list_promises(
            reading,
            state=state,
            partner=None if partner is None else PartnerId(partner),
            after=page.after,
            limit=page.limit,
        )
        told = PromisesTold(reading, found.items)
        return Page([told.summary(one) for one in found.items], found.next_after)

    return await edge.show_page(await edge.read(look), told=lambda one: one, paging=page)


@router.post(
    "",
    status_code=201,
    response_model=PromisesOut,
    responses=problems(KeyMissing, StockRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR),
)
async def promise_visits(asked: PromisesIn, edge: AtEdge) -> Response:
    """Promise units of lots for visits: all of it, or nothing where any of it cannot be.

    What is promised is reserved, and counts in no coverage.
    """

    def promise(writing: Writing) -> Made:
        kept = deeds.promise(writing, [one.to_promise() for one in asked.visits])
        return Made(told=PromisesOut(promises=_told(writing, kept)), at=edge.address("promises"))

    return await edge.create(promise)


@router.post(
    "/lapse-overdue",
    response_model=LapsedOut,
    responses=problems(),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR, Role.SCRIPT),
)
async def lapse_overdue(edge: AtEdge) -> Response:
    """Let every promise lapse whose visit has been over for more than two days: all of it is free.

    Where there is none, nothing is written.
    """
    at = edge.service.clock()
    if not await edge.was_done() and not await edge.read(partial(_is_any_overdue, at=at)):
        return edge.told(LapsedOut(lapsed=[]), of=LapsedOut)

    def lapse(writing: Writing) -> Made:
        return Made(told=LapsedOut(lapsed=_told(writing, deeds.lapse_overdue(writing))))

    return await edge.change(lapse)


@router.get(
    "/{promise}",
    response_model=PromiseAnswer,
    responses=problems(),
    openapi_extra=roles(*READERS),
)
async def read_one_promise(promise: PromisePath, edge: AtEdge) -> Response:
    """Read a promise: what is in it, place by place, and what became of it."""

    def look(reading: Reading) -> PromiseAnswer:
        kept = read_promise(reading, PromiseId(promise))
        return PromisesTold(reading, [kept]).answer(kept)

    found = await edge.read(look)
    # No 304: the names and places of what is in it may change without its revision.
    answer = edge.told(found, of=PromiseAnswer)
    answer.headers["ETag"] = found.summary.etag
    return answer


@router.post(
    "/{promise}/hand-off",
    status_code=201,
    response_model=PromiseAnswer,
    responses=problems(KeyMissing, RevisionMissing, NotAsItWas, StockRefused),
    dependencies=[TAKES_KEY, TAKES_REVISION],
    openapi_extra=roles(*STAFF),
)
async def hand_off_one_promise(promise: PromisePath, *, asked: HandOffIn, edge: AtEdge) -> Response:
    """Record what really went: all of it, or so many of each lot, and why the rest did not.

    What did not go is free again.
    """
    return await _deed(
        edge,
        lambda writing: deeds.hand_off(
            writing,
            PromiseId(promise),
            went=asked.units_went,
            whys=asked.whys,
            why=asked.why,
            if_revision=edge.if_revision(),
            handed_on=asked.handed_on,
        ),
    )


@router.post(
    "/{promise}/lapse",
    status_code=201,
    response_model=PromiseAnswer,
    responses=problems(KeyMissing, RevisionMissing, NotAsItWas, StockRefused),
    dependencies=[TAKES_KEY, TAKES_REVISION],
    openapi_extra=roles(Role.COORDINATOR),
)
async def lapse_one_promise(promise: PromisePath, *, asked: ReasonIn, edge: AtEdge) -> Response:
    """Let a promise lapse, with a reason: nothing is brought, and all of it is free again."""
    return await _deed(
        edge,
        lambda writing: deeds.lapse(
            writing, PromiseId(promise), why=asked.why, if_revision=edge.if_revision()
        ),
    )


def _is_any_overdue(reading: Reading, at: datetime) -> bool:
    return bool(overdue_promises(reading, at=at))


def _told(writing: Writing, promises: Sequence[KeptPromise]) -> list[PromiseAnswer]:
    told = PromisesTold(writing, promises)
    return [told.answer(one) for one in promises]


async def _deed(edge: Edge, deed: Callable[[Writing], KeptPromise]) -> Response:
    def work(writing: Writing) -> Made:
        kept = deed(writing)
        return Made(told=PromisesTold(writing, [kept]).answer(kept), revision=kept.revision)

    return await edge.create(work)
