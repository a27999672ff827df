"""Record the label of a box that was just logged: the page that a link opens for one of its boxes.

Only a box of this link can be reached, as only it can be taken back, and only for a day.
"""

from dataclasses import dataclass, replace
from functools import partial
from http import HTTPStatus

from fastapi import Request, Response

from daysworth.db.foods import read_food
from daysworth.db.ledger.just_logged import just_logged
from daysworth.db.ledger.labels import record
from daysworth.db.readings_kept import reading_text, readings_from
from daysworth.db.transactions import Reading
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.errors import FieldsRefused, KeyUsed, StockRefused
from daysworth.domain.identifiers import FoodId, LotId
from daysworth.domain.labels import Regime
from daysworth.pages.desk import Desk, desk_for, new_key
from daysworth.pages.doors import MOST_LABEL_BYTES, Door, behind, form_of, pages_router
from daysworth.pages.frame import go_to
from daysworth.pages.log_page import MOST_OF_A_DAY
from daysworth.pages.lot_deeds import sentence
from daysworth.pages.routes.log import onward
from daysworth.pages.typed_box import Faults
from daysworth.pages.typed_label import (
    ALLERGENS,
    LANGUAGES,
    TypedLabel,
    first_at_fault,
    read_label,
)

router = pages_router(under="/log/{secret}/labels/{lot}")


@router.get("", openapi_extra=behind(Door.LINK))
async def label_page(request: Request, secret: str, *, lot: str) -> Response:
    """Show the form for what a label says."""
    return await _page(await desk_for(request), secret, lot=lot, typed=TypedLabel())


@router.post("", openapi_extra=behind(Door.LINK, most_bytes=MOST_LABEL_BYTES))
async def record_box_label(request: Request, secret: str, *, lot: str) -> Response:
    """Keep what was read, and go back to logging; or show what is wrong with it."""
    desk = await desk_for(request)
    typed, reading, faults = read_label(TypedLabel.of(form_of(request)), today=desk.today)
    if reading is None:
        return await _page(desk, secret, lot=lot, typed=typed, faults=faults)
    box = await desk.read(partial(_find, desk=desk, lot=lot))
    if box is None:
        return go_to(onward(secret, unread="yes", order=_order(desk)))
    keep = partial(record, lot=LotId(lot), reading=reading)
    said = f"{lot} label {reading_text(reading)}"
    try:
        await desk.write_once(lambda writing: keep(writing).id, key=typed.key, said=said)
    except KeyUsed:
        return await _page(
            desk, secret, lot=lot, typed=typed, problem=desk.words.say("fault-sent-before")
        )
    except (StockRefused, FieldsRefused) as refused:
        return await _page(desk, secret, lot=lot, typed=typed, problem=sentence(str(refused)))
    return go_to(onward(secret, read=lot, order=_order(desk)))


async def _page(
    desk: Desk,
    secret: str,
    *,
    lot: str,
    typed: TypedLabel,
    faults: Faults | None = None,
    problem: str = "",
) -> Response:
    box = await desk.read(partial(_find, desk=desk, lot=lot))
    if box is None:
        return go_to(onward(secret, unread="yes", order=_order(desk)))
    said = {field: desk.words.say(fault) for field, fault in (faults or {}).items()}
    status = HTTPStatus.CONFLICT if problem else HTTPStatus.OK
    return desk.show(
        "log_label.html",
        status=HTTPStatus.UNPROCESSABLE_ENTITY if said else status,
        action=f"/log/{secret}",
        box=box,
        order=_order(desk),
        label=replace(typed, key=new_key()),
        faults=said,
        problem=problem,
        focus=first_at_fault(said),
        allergens=ALLERGENS,
        laws=[str(law) for law in Regime],
        languages=LANGUAGES,
        last_day=desk.today.isoformat(),
        cautions=cautions_on({Topic.FOOD, Topic.ALLERGY}),
    )


@dataclass(frozen=True, slots=True)
class _Box:
    """A box of this link: its lot, what it is called, its units, and how often it was read."""

    lot: str
    name: str
    units: int
    readings: int


def _find(reading: Reading, *, desk: Desk, lot: str) -> _Box | None:
    """Find a box that this link logged within a day and that stands; None: there is none."""
    every = just_logged(reading, desk.reader.id, at=desk.at, most=MOST_OF_A_DAY)
    found = next((one for one in every if one.lot.id == lot and not one.is_taken_back), None)
    if found is None:
        return None
    held = found.lot
    name = held.words or ""
    if held.food is not None:
        name = read_food(reading, FoodId(held.food)).food.name
    return _Box(held.id, name, found.units, len(readings_from(held.reading)))


def _order(desk: Desk) -> str:
    """Give the order of dates that was confirmed in this sitting, which goes along with it."""
    is_sent = desk.request.method == "POST"
    asked = form_of(desk.request) if is_sent else desk.request.query_params
    return str(asked.get("order", ""))[:3]
