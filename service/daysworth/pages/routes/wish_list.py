"""Work out what to bring, publish it for anyone to read, and withdraw it."""

from functools import partial
from http import HTTPStatus

from fastapi import Request, Response

from daysworth.answers.wish_list import WishListAnswer
from daysworth.api.scenario_asked import ScenarioAsked
from daysworth.api.service import plan
from daysworth.api.wish_asked import WishAsked
from daysworth.db.bring_lists import (
    BringList,
    BringListAsked,
    find_list,
    publish_list,
    withdraw_list,
)
from daysworth.db.foods import read_food
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.errors import FieldsRefused, NotThere
from daysworth.domain.identifiers import FoodId
from daysworth.pages.desk import Desk, desk_for, new_key
from daysworth.pages.doors import Door, behind, form_of, pages_router, store_address
from daysworth.pages.frame import go_to
from daysworth.pages.wish_page import (
    UNITS,
    TypedList,
    from_answer,
    from_form,
    read_list,
    size_of,
)
from daysworth.planners.scenario import Scenario
from daysworth.planners.wish_candidates import Wish
from daysworth.printing.figures import tenths

router = pages_router(under="/stores/{store}/wish-list")


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def wish_list_page(request: Request, scenario: ScenarioAsked, *, wish: WishAsked) -> Response:
    """Ask what to bring, and where it is asked, answer; show what is published."""
    desk = await desk_for(request)
    if "target_days" not in request.query_params:
        return await _page(desk, scenario, wish=wish)
    await desk.disclose("wish list")
    ask = partial(desk.service.wishes.wish_list, desk.reader, scenario, wish=wish, at=desk.at)
    answer = await plan(request, ask)
    title = desk.words.say("bring-usual-title", store=desk.store.name)
    return await _page(
        desk, scenario, wish=wish, answer=answer, typed=from_answer(answer, title=title)
    )


@router.post("/publish", openapi_extra=behind(Door.COORDINATOR))
async def publish_one_list(request: Request) -> Response:
    """Publish what the form says, as it was read by whoever sends it."""
    desk = await desk_for(request)
    form = {key: str(value) for key, value in form_of(request).items()}
    foods = [key.removeprefix(UNITS) for key in form if key.startswith(UNITS)]
    names = await desk.read(partial(_names, foods=foods))
    typed = from_form(form, names=names)
    read = read_list(typed)
    faults = {field: desk.words.say(fault) for field, fault in read.faults.items()}
    if read.asked is not None:
        try:
            await _publish(desk, read.asked, key=form.get("key", ""))
        except FieldsRefused as refused:
            faults["lines"] = "; ".join(fault.what for fault in refused.faults)
    if faults:
        return await _page(desk, Scenario(), wish=Wish(), typed=typed, faults=faults)
    return go_to(store_address(desk.store.id, "wish-list") + "#published-title")


@router.post("/withdraw", openapi_extra=behind(Door.COORDINATOR))
async def withdraw_one_list(request: Request) -> Response:
    """Withdraw the list that is published; done twice it stays withdrawn."""
    desk = await desk_for(request)
    key = str(form_of(request).get("key", ""))

    def withdraw(writing: Writing) -> str:
        try:
            withdraw_list(writing)
        except NotThere:
            return "none"
        return "withdrawn"

    await desk.write_once(withdraw, key=key, said="withdraw what to bring")
    return go_to(store_address(desk.store.id, "wish-list"))


async def _publish(desk: Desk, asked: BringListAsked, *, key: str) -> None:
    await desk.write_once(
        lambda writing: publish_list(writing, asked).code, key=key, said=repr(asked)
    )


def _names(reading: Reading, *, foods: list[str]) -> dict[str, str]:
    found = {}
    for food in foods:
        try:
            found[food] = read_food(reading, FoodId(food)).food.name
        except NotThere:
            continue
    return found


async def _page(
    desk: Desk,
    scenario: Scenario,
    *,
    wish: Wish,
    answer: WishListAnswer | None = None,
    typed: TypedList | None = None,
    faults: dict[str, str] | None = None,
) -> Response:
    published: BringList | None = await desk.read(find_list)
    path = None if published is None else f"/bring/{desk.store.id}/{published.code}"
    return desk.show(
        "wish_list.html",
        status=HTTPStatus.UNPROCESSABLE_ENTITY if faults else HTTPStatus.OK,
        scenario=scenario,
        wish=wish,
        answer=answer,
        typed=typed if typed is not None and (typed.lines or faults) else None,
        faults=faults or {},
        published=published,
        published_path=path,
        published_address=None if path is None else f"{desk.site()}{path}",
        key=new_key(),
        tenths=tenths,
        size_of=size_of,
        cautions=answer.cautions if answer else cautions_on({Topic.FOOD}),
    )
