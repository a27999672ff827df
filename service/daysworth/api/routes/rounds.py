"""Rotation rounds: when they are, what is due, what became of it, and whether waste falls."""

from collections.abc import Sequence
from datetime import date
from functools import partial
from typing import Annotated

from fastapi import Path, Response

from daysworth.answers.round_plan import RoundPlanAnswer
from daysworth.answers.round_record import RoundLineAnswer, RoundsAnswer, round_lines
from daysworth.answers.round_settling import (
    Accepted,
    RoundSettledAnswer,
    accepted,
    check_round_day,
)
from daysworth.answers.store_rounds import record_of
from daysworth.api.access import roles
from daysworth.api.edge import JSON, PRIVATE, TAKES_KEY, TAKES_TAG, AtEdge, Edge, Made
from daysworth.api.paging import ListOut, PageAsked
from daysworth.api.problems import PLANNED, KeyMissing, problems
from daysworth.api.routes import store_router
from daysworth.api.routes.food_names import food_names
from daysworth.api.schemas.plain import Day
from daysworth.api.schemas.rounds import RoundOut, RoundSettleIn
from daysworth.api.service import run
from daysworth.db.kit_facts import to_be_looked_at
from daysworth.db.kits import read_kits
from daysworth.db.ledger.rounds import settle_round
from daysworth.db.pages_of_rows import Page
from daysworth.db.rounds import RoundLine, read_round
from daysworth.db.stock import read_lot
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.entries import Role
from daysworth.domain.errors import (
    NotAsItWas,
    ScenarioRefused,
    StockRefused,
    StoreUnsound,
)
from daysworth.domain.identifiers import FoodId, KitId

router = store_router(under="/rounds")

STAFF = (Role.COORDINATOR, Role.VOLUNTEER)

RoundPath = Annotated[
    Day, Path(alias="round", description="The day of a round, YYYY-MM-DD.", examples=["2026-09-01"])
]


@router.get(
    "",
    response_model=RoundsAnswer,
    responses=problems(),
    openapi_extra=roles(*STAFF, Role.SCRIPT),
)
async def list_all_rounds(edge: AtEdge) -> Response:
    """List the rounds to come, and the record of each there was beside the one before it."""
    service = edge.service
    work = partial(service.rounds.rounds, edge.store, at=service.clock())
    return edge.told(await run(service.readers, work), of=RoundsAnswer)


@router.get(
    "/{round}",
    response_model=RoundOut,
    responses=problems(*PLANNED, StoreUnsound),
    openapi_extra=roles(Role.COORDINATOR),
)
async def read_one_round(round_on: RoundPath, edge: AtEdge) -> Response:
    """Read a round: what is due with one proposal each, as of today, and its record so far."""
    record = await edge.read(lambda reading: record_of(reading, round_on))
    plan, why = None, None
    try:
        plan = await _plan(edge, round_on)
    except ScenarioRefused as refused:
        if record is None:
            raise
        why = str(refused)
    await edge.disclose("round")
    return await edge.show(RoundOut(plan=plan, why_no_plan=why, record=record))


@router.get(
    "/{round}/worklist",
    response_model=RoundPlanAnswer,
    responses={**problems(*PLANNED, StoreUnsound), 304: {"description": "You have it"}},
    dependencies=[TAKES_TAG],
    openapi_extra=roles(*STAFF),
)
async def read_worklist(round_on: RoundPath, edge: AtEdge) -> Response:
    """Read what is to be done at a round, place by place. Who packs is told parcels alone."""
    service = edge.service
    office = service.rounds
    given = await edge.plan(
        partial(office.answer, edge.reader, round_on, at=service.clock(), has=edge.has)
    )
    await edge.disclose("round")
    headers = {"ETag": f'"{given.tag}"', "Cache-Control": PRIVATE}
    if given.json is None:
        return Response(status_code=304, headers=headers)
    return Response(given.json, media_type=JSON, headers=headers)


@router.get(
    "/{round}/record",
    response_model=ListOut[RoundLineAnswer],
    responses=problems(),
    openapi_extra=roles(*STAFF, Role.SCRIPT),
)
async def list_record(round_on: RoundPath, edge: AtEdge, *, page: PageAsked) -> Response:
    """List what was recorded at a round, in the order in which it was."""
    after = page.after_entry()

    def look(reading: Reading) -> Page[RoundLineAnswer]:
        found = read_round(reading, round_on, after=after, limit=page.limit)
        return Page(_told(reading, found.items), found.next_after)

    return await edge.show_page(await edge.read(look), told=lambda one: one, paging=page)


@router.post(
    "/{round}/settle",
    status_code=201,
    response_model=RoundSettledAnswer,
    responses=problems(*PLANNED, KeyMissing, NotAsItWas, StockRefused, StoreUnsound),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(*STAFF),
)
async def settle_one_round(round_on: RoundPath, *, asked: RoundSettleIn, edge: AtEdge) -> Response:
    """Record what became of what was due: proposals as they were planned, or decisions.

    All of it is recorded, or nothing. Proposals are accepted at the version they were read at. What
    is thrown away only from a later day on stays until then, and the answer says so.
    """
    wanted: Accepted | None = None
    if asked.accept is not None and not await edge.was_done():
        wanted = await _accepted(edge, round_on, asked=asked)

    def settle(writing: Writing) -> Made:
        check_round_day(writing.settings.rounds_rule, round_on=round_on, as_of=writing.today)
        if asked.accept is not None:
            _check_version(writing.version - 1, asked=asked)
        decisions = wanted.decisions if wanted else [one.decision() for one in asked.decisions]
        lines = settle_round(writing, round_on, decisions=decisions)
        told = RoundSettledAnswer(
            question="round_settled",
            store=writing.store,
            version=writing.version,
            round_on=round_on,
            settled=_told(writing, lines),
            left=list(wanted.left) if wanted else [],
            record=record_of(writing, round_on),
        )
        return Made(told=told)

    return await edge.create(settle)


async def _accepted(edge: Edge, round_on: date, *, asked: RoundSettleIn) -> Accepted:
    plan = await _plan(edge, round_on)
    _check_version(plan.version, asked=asked)
    if asked.as_of not in (None, plan.as_of):
        raise NotAsItWas("the plan that was read was of another day: read the round again")
    due = [KitId(one.kit) for one in plan.proposals if one.kit is not None]
    changed = await edge.read(partial(_changed, kits=due))
    return accepted(plan, asked.proposals, to=asked.to, changed=changed)


def _changed(reading: Reading, *, kits: Sequence[KitId]) -> set[KitId]:
    return to_be_looked_at(reading, list(read_kits(reading, kits).values()))


async def _plan(edge: Edge, round_on: date) -> RoundPlanAnswer:
    service = edge.service
    return await edge.plan(partial(service.rounds.plan, edge.reader, round_on, at=service.clock()))


def _check_version(version: int, *, asked: RoundSettleIn) -> None:
    if version != asked.version:
        raise NotAsItWas("the stock was changed since the round was read: read it again")


def _told(reading: Reading | Writing, lines: Sequence[RoundLine]) -> list[RoundLineAnswer]:
    lots = {one.lot for one in lines if one.lot is not None}
    names = food_names(reading)
    foods = {lot: read_lot(reading, lot).food for lot in lots}
    return round_lines(
        lines,
        food_names={lot: names[FoodId(food)] for lot, food in foods.items() if food is not None},
    )
