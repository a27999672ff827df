"""Work a rotation round: what is due and what becomes of it, and how much earlier rounds wasted."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import partial
from http import HTTPStatus
from typing import Final

from fastapi import Request, Response

from daysworth.answers.round_plan import RoundPlanAnswer
from daysworth.answers.round_record import RoundLineAnswer, RoundsAnswer, round_lines
from daysworth.answers.round_settling import Accepted, check_round_day
from daysworth.api.routes.food_names import food_names
from daysworth.api.service import plan as planned
from daysworth.api.service import run
from daysworth.db.households import household_names
from daysworth.db.ledger.rounds import settle_round
from daysworth.db.rounds import RoundLine, read_round
from daysworth.db.stock import read_lot
from daysworth.db.transactions import Reading, Writing, day_there
from daysworth.domain.errors import FieldsRefused, KeyUsed, NotAsItWas, StockRefused
from daysworth.domain.identifiers import FoodId
from daysworth.pages.desk import Desk, desk_for, new_key
from daysworth.pages.doors import Door, FormRefused, behind, form_of, pages_router, store_address
from daysworth.pages.frame import go_to
from daysworth.pages.kits_around import in_words, to_look_at
from daysworth.pages.lot_deeds import sentence
from daysworth.pages.round_page import (
    MOST_TICKED,
    TypedRound,
    check_plan,
    find_faults,
    places_shown,
    take_up,
)
from daysworth.pages.typed_box import Faults
from daysworth.planners.rotation_round import EARLIEST_DAYS

router = pages_router(under="/stores/{store}/round")

MOST_LINES: Final = 200
MOST_RECORDS: Final = 12


@dataclass(frozen=True, slots=True)
class DoneLine:
    """One line of a round's record, and its day in the store's own zone."""

    done_on: date
    line: RoundLineAnswer


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def round_page(request: Request) -> Response:
    """Show the round that is being worked; one to come can be begun a month early."""
    desk = await desk_for(request)
    asked = request.query_params.get("round", "")
    done = request.query_params.get("done", "") == "accept"
    return await _show_round(desk, _round_day(desk, asked) if asked else None, is_done=done)


@router.post("/accept", openapi_extra=behind(Door.COORDINATOR))
async def accept_round(request: Request) -> Response:
    """Record what was ticked, all of it in one write, or nothing."""
    desk = await desk_for(request)
    form = form_of(request)
    typed = TypedRound.of(form)
    key = str(form.get("key", ""))[:60]
    round_on = _round_day(desk, typed.round_day)
    show = partial(_show_round, desk, round_on, typed=typed)
    try:
        wanted = None
        if not await desk.was_done(key):
            plan = await _plan(desk, round_on)
            check_plan(plan, typed)
            if faults := find_faults(plan, typed, changed=await to_look_at(desk)):
                return await show(faults=faults)
            wanted = take_up(plan, typed)
        work = partial(_settle, round_on=round_on, typed=typed, wanted=wanted)
        await desk.write_once(work, key=key, said=str(typed))
    except KeyUsed:
        return await show(problem=desk.words.say("fault-sent-before"), status=409)
    except NotAsItWas:
        return await show(problem=desk.words.say("round-changed-since"), status=412)
    except (StockRefused, FieldsRefused) as refused:
        return await show(problem=sentence(str(refused)), status=409)
    is_current = round_on == (await _rounds(desk)).latest_on
    asked = "" if is_current else f"&round={round_on.isoformat()}"
    return go_to(store_address(desk.store.id, "round") + f"?done=accept{asked}")


def _settle(writing: Writing, *, round_on: date, typed: TypedRound, wanted: Accepted | None) -> str:
    check_round_day(writing.settings.rounds_rule, round_on=round_on, as_of=writing.today)
    if wanted is None or writing.version - 1 != typed.version:
        raise NotAsItWas("the stock was changed since the round was read")
    return str(len(settle_round(writing, round_on, decisions=wanted.decisions)))


async def _show_round(
    desk: Desk,
    round_on: date | None,
    *,
    typed: TypedRound | None = None,
    faults: Faults | None = None,
    problem: str = "",
    is_done: bool = False,
    status: int = HTTPStatus.OK,
) -> Response:
    """Show a round, with what was ticked and what is wrong with it. Raises ScenarioRefused."""
    # Who is to eat what tells what others must not.
    await desk.disclose("round")
    plan, rounds = await _plan(desk, round_on), await _rounds(desk)
    done: Sequence[DoneLine] = []
    if plan.round_on is not None:
        done = await desk.read(partial(_done, round_on=plan.round_on, desk=desk))
    words = in_words(faults, desk=desk)
    return desk.show(
        "round.html",
        status=HTTPStatus.UNPROCESSABLE_ENTITY if words else status,
        plan=plan,
        places=places_shown(
            plan,
            typed=typed or TypedRound(),
            changed=await to_look_at(desk),
            names=await desk.read(household_names),
            words=desk.words,
        ),
        most_ticked=MOST_TICKED,
        begin_on=_to_begin(rounds, shown_on=plan.round_on),
        rounds=rounds,
        record=next((one for one in rounds.records if one.round_on == plan.round_on), None),
        records=rounds.records[:MOST_RECORDS],
        done=done,
        most_lines=MOST_LINES,
        faults=words,
        problem=problem,
        is_done=is_done,
        key=new_key(),
        cautions=plan.cautions,
    )


async def _plan(desk: Desk, round_on: date | None) -> RoundPlanAnswer:
    ask = partial(desk.service.rounds.plan, desk.reader, round_on, at=desk.at)
    return await planned(desk.request, ask)


async def _rounds(desk: Desk) -> RoundsAnswer:
    ask = partial(desk.service.rounds.rounds, desk.store.id, at=desk.at)
    return await run(desk.service.readers, ask)


def _round_day(desk: Desk, text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as fault:
        raise FormRefused(desk.words.say("round-no-day")) from fault


def _to_begin(rounds: RoundsAnswer, *, shown_on: date | None) -> date | None:
    """Give a round to come that may be begun now, if it is not the one that is shown."""
    for day in rounds.coming[:1]:
        if (day - rounds.as_of).days <= EARLIEST_DAYS and day != shown_on:
            return day
    return None


def _done(reading: Reading, *, round_on: date, desk: Desk) -> list[DoneLine]:
    """Give what was recorded at a round so far."""
    found: Sequence[RoundLine] = read_round(reading, round_on, limit=MOST_LINES).items
    names = food_names(reading)
    lots = {one.lot for one in found if one.lot is not None}
    foods = {lot: read_lot(reading, lot).food for lot in lots}
    lines = round_lines(
        found,
        food_names={lot: names[FoodId(food)] for lot, food in foods.items() if food is not None},
    )
    return [
        DoneLine(day_there(desk.store.settings, at=datetime.fromisoformat(line.at)), line)
        for line in lines
    ]
