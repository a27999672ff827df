"""Plan what can go to partners before it spoils, try other floors, and promise what is ticked."""

from collections.abc import Sequence
from functools import cache, partial
from http import HTTPStatus
from typing import Final

from fastapi import Request, Response
from pydantic import TypeAdapter

from daysworth.answers.surplus import SurplusAnswer
from daysworth.answers.surplus_floors import FloorsAnswer
from daysworth.api.service import plan as planned
from daysworth.db.ledger.promises import ToPromise, promise
from daysworth.db.partners import KeptPartner, list_partners
from daysworth.db.transactions import Writing
from daysworth.domain.errors import (
    FieldsRefused,
    KeyUsed,
    NotAsItWas,
    PlanningStopped,
    StockRefused,
)
from daysworth.domain.partners import Partner
from daysworth.pages.desk import Desk, desk_for, new_key
from daysworth.pages.doors import Door, behind, form_of, pages_router, store_address
from daysworth.pages.frame import go_to
from daysworth.pages.kits_around import in_words
from daysworth.pages.promise_page import problems_of
from daysworth.pages.surplus_page import (
    FIRST_ROWS,
    MOST_TICKED,
    TypedPromises,
    TypedSurplus,
    read_floors,
    seen_as,
    stage_shown,
    staying_shown,
    usual_floors,
    visits_shown,
)
from daysworth.pages.typed_box import Faults
from daysworth.planners.surplus_plan import SurplusAsked

router = pages_router(under="/stores/{store}/surplus")

_MOST_FLOOR_CHARACTERS: Final = 60


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def surplus_page(request: Request) -> Response:
    """Show what can go where and when, what stays and why, and how much another floor is worth."""
    desk = await desk_for(request)
    return await _show(desk, TypedSurplus.of(request.query_params))


@router.get("/floors", openapi_extra=behind(Door.COORDINATOR))
async def floors_page(request: Request) -> Response:
    """Show how much could go if everyone were to stay fed for other days."""
    desk = await desk_for(request)
    typed = TypedSurplus.of(request.query_params)
    floors = request.query_params.get("floors", "").strip()[:_MOST_FLOOR_CHARACTERS]
    faults: Faults = {}
    asked, floors_days = typed.asked(faults), read_floors(floors, faults)
    if faults:
        return await _show(desk, typed, floors=floors, faults=faults)
    ask = partial(
        desk.service.surplus.floors, desk.store.id, asked, floors_days=floors_days, at=desk.at
    )
    written: str = await planned(request, ask)
    answer = _floors().validate_json(written)
    return desk.show("surplus_floors.html", answer=answer, asked=typed, floors=floors)


@cache
def _floors() -> TypeAdapter[FloorsAnswer]:
    return TypeAdapter(FloorsAnswer)


@router.post("/promise", openapi_extra=behind(Door.COORDINATOR))
async def promise_what_is_ticked(request: Request) -> Response:
    """Promise the visits that are ticked as they are planned, all in one write, or nothing."""
    desk = await desk_for(request)
    form = form_of(request)
    key, typed = str(form.get("key", ""))[:60], TypedPromises.of(form)
    asked = TypedSurplus.again(typed.asked)
    show = partial(_show, desk, asked, typed=typed)
    try:
        visits: list[ToPromise] = []
        if not await desk.was_done(key):
            plan = await _plan(desk, asked.asked({}))
            typed.check(plan)
            visits = typed.to_promise(plan)
            if not visits:
                return await show(faults={"visits": "fault-surplus-nothing"})
        work = partial(_promise, visits=visits, version=typed.version)
        await desk.write_once(work, key=key, said=str(typed))
    except KeyUsed:
        return await show(problems=[desk.words.say("fault-sent-before")], status=409)
    except NotAsItWas:
        # The same form, pressed twice, may be what changed the store.
        if not await desk.was_done(key):
            return await show(problems=[desk.words.say("surplus-changed-since")], status=412)
    except (StockRefused, FieldsRefused) as refused:
        return await show(problems=problems_of(refused), status=409)
    return go_to(store_address(desk.store.id, "promises") + "?done=promise")


def _promise(writing: Writing, *, visits: list[ToPromise], version: int | None) -> str:
    if not visits or writing.version - 1 != version:
        raise NotAsItWas("the store was changed since the plan was read")
    return str(len(promise(writing, visits)))


async def _plan(desk: Desk, asked: SurplusAsked) -> SurplusAnswer:
    ask = partial(desk.service.surplus.plan, desk.store.id, asked, at=desk.at)
    return await planned(desk.request, ask)


async def _show(
    desk: Desk,
    asked: TypedSurplus,
    *,
    typed: TypedPromises | None = None,
    floors: str | None = None,
    faults: Faults | None = None,
    problems: list[str] | None = None,
    status: int = HTTPStatus.OK,
) -> Response:
    """Show a plan, with what was typed and what is wrong with it. Raises ScenarioRefused."""
    in_question: Faults = {}
    wanted = asked.asked(in_question)
    kept: list[KeptPartner] = await desk.read(list_partners)
    partners = [one.partner for one in kept]
    # What cannot be understood is asked again; the plan beside it is the store's own.
    try:
        plan = await _plan(desk, SurplusAsked() if in_question else wanted)
    except PlanningStopped:
        return _show_stopped(desk, asked, partners=partners)
    words = in_words({**in_question, **(faults or {})}, desk=desk)
    own_days = desk.store.settings.floor_days
    return desk.show(
        "surplus.html",
        status=HTTPStatus.UNPROCESSABLE_ENTITY if words else status,
        plan=plan,
        seen=seen_as(plan),
        visits=visits_shown(plan, typed or TypedPromises()),
        most_ticked=MOST_TICKED,
        staying=staying_shown(plan),
        first_rows=FIRST_ROWS,
        stages=[stage_shown(one) for one in plan.stages],
        partners=partners,
        asked=asked,
        floors=usual_floors(own_days) if floors is None else floors,
        own_days=own_days,
        faults=words,
        problems=problems or [],
        key=new_key(),
        cautions=plan.cautions,
    )


def _show_stopped(desk: Desk, asked: TypedSurplus, *, partners: Sequence[Partner]) -> Response:
    """Say that a plan took too long, and what to ask that takes less."""
    return desk.show(
        "surplus_stopped.html",
        status=HTTPStatus.SERVICE_UNAVAILABLE,
        asked=asked,
        own_days=desk.store.settings.floor_days,
        partners=partners,
        faults={},
    )
