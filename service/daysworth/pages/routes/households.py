"""Show a coordinator the households, what each needs, and what each must be warned of.

Whoever opens one of these reads health facts: it is logged as such before anything is shown.
"""

from functools import partial
from http import HTTPStatus
from typing import Final

from fastapi import Request, Response

from daysworth.answers.warnings import WarningsAnswer
from daysworth.api.service import run
from daysworth.db.acknowledgements import acknowledge
from daysworth.db.households import list_parcels, read_household
from daysworth.db.transactions import Writing
from daysworth.domain.errors import KeyUsed
from daysworth.domain.identifiers import FoodId, HouseholdId
from daysworth.pages.desk import Desk, desk_for, new_key
from daysworth.pages.doors import Door, behind, form_of, pages_router, store_address
from daysworth.pages.frame import go_to
from daysworth.pages.household_pages import (
    MOST_PLACES,
    count_noted,
    home_shown,
    warning_groups,
)
from daysworth.pages.lot_deeds import why_of
from daysworth.pages.typed_box import whole_number

router = pages_router(under="/stores/{store}/households")

A_PAGE: Final = 100


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def households_page(request: Request) -> Response:
    """List the households by parcel number, a hundred at a time, with what each needs."""
    desk = await desk_for(request)
    after = whole_number(request.query_params.get("after", "")) or 0
    await desk.disclose("households")
    found = await desk.read(partial(list_parcels, after=after, limit=A_PAGE))
    return desk.show(
        "households.html",
        homes=[home_shown(kept, on=desk.today) for kept in found.items],
        next_after=found.next_after,
        is_later=after > 0,
    )


@router.get("/{household}/warnings", openapi_extra=behind(Door.COORDINATOR))
async def warnings_page(request: Request, household: str) -> Response:
    """Show what a household must not have, what nobody knows of, and what suits."""
    desk = await desk_for(request)
    is_noted = request.query_params.get("done") == "noted"
    return await _page(desk, household, is_noted=is_noted)


@router.post("/{household}/warnings", openapi_extra=behind(Door.COORDINATOR))
async def take_note(request: Request, household: str) -> Response:
    """Keep that a warning was seen, and why it may stand; it goes on being shown."""
    desk = await desk_for(request)
    form, why = form_of(request), why_of(request)
    mark = str(form.get("warning", ""))[:64]
    answer = await _warnings(desk, household)
    food = {one.warning: one.food for one in answer.warnings}.get(mark)
    if food is None:
        return await _page(desk, household, problem="warnings-gone", status=409, answer=answer)
    if not why:
        typed = str(form.get("why", ""))
        form_id = "unread" if form.get("among") == "unread" else mark
        return await _page(
            desk, household, answer=answer, at_fault=form_id, mark=mark, why=typed, status=422
        )

    def note(writing: Writing) -> str:
        id_ = HouseholdId(household)
        return acknowledge(writing, id_, warning=mark, food=FoodId(food), why=why).warning

    key = str(form.get("key", ""))[:60]
    try:
        await desk.write_once(note, key=key, said=f"{household} {mark} {why}")
    except KeyUsed:
        return await _page(desk, household, problem="fault-sent-before", status=409, answer=answer)
    address = store_address(desk.store.id, "households", household, "warnings")
    return go_to(f"{address}?done=noted")


async def _warnings(desk: Desk, household: str) -> WarningsAnswer:
    """Ask for a household's warnings, once it is logged that they are read. Raises NotThere."""
    id_ = HouseholdId(household)
    await desk.disclose("warnings", household=id_)
    ask = partial(desk.service.suitability.warnings, desk.reader, id_, as_of=None, at=desk.at)
    return await run(desk.service.reckoners, ask)


async def _page(
    desk: Desk,
    household: str,
    *,
    answer: WarningsAnswer | None = None,
    is_noted: bool = False,
    problem: str = "",
    at_fault: str = "",
    mark: str = "",
    why: str = "",
    status: int = HTTPStatus.OK,
) -> Response:
    told = answer or await _warnings(desk, household)
    home = await desk.read(partial(read_household, household=HouseholdId(household)))
    return desk.show(
        "warnings.html",
        status=status,
        home=home,
        answer=told,
        groups=warning_groups(told, home=home, settings=desk.store.settings),
        noted=count_noted(told),
        is_noted=is_noted,
        problem=desk.words.say(problem) if problem else "",
        at_fault=at_fault,
        mark=mark,
        why=why,
        key=new_key(),
        most_places=MOST_PLACES,
    )
