"""Show the kits that are put up, by date or in the order to take along; print their labels."""

from functools import partial
from http import HTTPStatus
from typing import Final

from fastapi import Request, Response

from daysworth.answers.kit import KitAnswer
from daysworth.answers.take_along import TakeAlongAnswer
from daysworth.api.service import run
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.errors import InputRefused, NotThere, StockRefused
from daysworth.domain.identifiers import HouseholdId, KitId, PlaceId
from daysworth.pages.desk import Desk, desk_for
from daysworth.pages.doors import Door, behind, pages_router
from daysworth.pages.frame import HEADERS
from daysworth.pages.kit_page import show_kit
from daysworth.pages.kits_around import (
    all_closed,
    around,
    in_words,
    next_round,
    sheets,
    to_look_at,
    usual_sheet,
)
from daysworth.pages.kits_page import (
    TypedLabels,
    TypedTake,
    kits_shown,
    name_of,
    totals_shown,
)
from daysworth.pages.lot_deeds import sentence
from daysworth.pages.typed_box import Faults
from daysworth.printing.kit_label_facts import label_of
from daysworth.printing.kit_labels import kit_labels_pdf
from daysworth.printing.label_sheets import LabelSheet

router = pages_router(under="/stores/{store}/kits")

TAKE_ALONG: Final = "take-along"


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def kits_page(request: Request) -> Response:
    """List the closed kits by date, or in the order in which to take them along."""
    desk = await desk_for(request)
    if request.query_params.get("order") == TAKE_ALONG:
        return await _show_take_along(desk, TypedTake.of(request.query_params))
    return await _show_kits(desk, after=request.query_params.get("after", "")[:64])


@router.get("/labels", openapi_extra=behind(Door.COORDINATOR))
async def print_labels(request: Request) -> Response:
    """Print labels as a PDF file: of one kit, of all in a place, or of every closed kit."""
    desk = await desk_for(request)
    typed = TypedLabels.of(request.query_params)
    faults: Faults = {}
    sheet = typed.sheet_asked(faults)
    position = typed.position(faults, sheet=sheet)
    if faults or sheet is None:
        return await _show_at_fault(desk, typed, faults=faults)
    try:
        bags = await _bags(desk, typed)
        printed = await _printed(desk, bags, sheet=sheet, position=position)
    except (InputRefused, StockRefused, NotThere) as refused:
        return await _show_at_fault(desk, typed, problem=sentence(str(refused)))
    # The file is shown by the browser itself, which may need a style of its own to do so.
    headers = {name: said for name, said in HEADERS.items() if name != "Content-Security-Policy"}
    headers["Content-Disposition"] = 'inline; filename="kit-labels.pdf"'
    return Response(printed, media_type="application/pdf", headers=headers)


async def _bags(desk: Desk, typed: TypedLabels) -> list[KitAnswer]:
    """Find what is in the kits that were asked for. Raises NotThere, StockRefused."""
    if not typed.is_sound:
        raise NotThere(desk.words.say("kits-labels-of-none"))
    kits = [KitId(typed.kit)] if typed.kit else []
    if not typed.kit and not typed.place:
        kits = [KitId(one.id) for one in (await all_closed(desk)).items]
    work = partial(
        desk.service.kits.bags,
        desk.reader,
        kits=kits,
        place=None if typed.kit or not typed.place else PlaceId(typed.place),
        at=desk.at,
    )
    return await run(desk.service.reckoners, work)


async def _printed(desk: Desk, bags: list[KitAnswer], *, sheet: LabelSheet, position: int) -> bytes:
    """Print the labels. Raises InputRefused, StockRefused."""
    site, locale = desk.site(), desk.store.settings.locale

    def work() -> bytes:
        labels = [label_of(one, site=site) for one in bags]
        return kit_labels_pdf(labels, sheet=sheet, locale=locale, first_position=position)

    return await run(desk.service.reckoners, work)


async def _show_at_fault(
    desk: Desk, typed: TypedLabels, *, faults: Faults | None = None, problem: str = ""
) -> Response:
    """Show the page whose form asked for the labels again, and why there are none."""
    if typed.kit and typed.is_sound:
        status = HTTPStatus.CONFLICT if problem else HTTPStatus.OK
        return await show_kit(
            desk, typed.kit, labels=typed, faults=faults, problem=problem, status=status
        )
    return await _show_kits(desk, labels=typed, faults=faults, problem=problem)


async def _show_kits(
    desk: Desk,
    *,
    after: str = "",
    labels: TypedLabels | None = None,
    faults: Faults | None = None,
    problem: str = "",
) -> Response:
    found = await all_closed(desk, after=after)
    beside, next_on = await around(desk), await next_round(desk)
    kits = kits_shown(found.items, names=beside.names, today_day=desk.today, next_round_on=next_on)
    status = HTTPStatus.CONFLICT if problem else HTTPStatus.OK
    return desk.show(
        "kits.html",
        status=HTTPStatus.UNPROCESSABLE_ENTITY if faults else status,
        kits=kits,
        totals=totals_shown(kits),
        next_after=found.next_after,
        next_round_on=next_on,
        places=beside.places,
        sheets=sheets(desk),
        labels=labels or TypedLabels(sheet=usual_sheet(desk)),
        faults=in_words(faults, desk=desk),
        problem=problem,
        cautions=cautions_on({Topic.FOOD, Topic.ALLERGY}),
    )


async def _show_take_along(desk: Desk, typed: TypedTake) -> Response:
    beside = await around(desk)
    faults: Faults = {}
    if typed.household and typed.household not in beside.names:
        faults["household"] = "fault-kits-household"
    most_kg = typed.kilograms(faults)
    answer = None if faults else await _take_along(desk, typed, most_kg=most_kg)
    taken = [] if answer is None else answer.kits
    return desk.show(
        "kits_taken.html",
        status=HTTPStatus.UNPROCESSABLE_ENTITY if faults else HTTPStatus.OK,
        answer=answer,
        taken=[(kit, name_of(kit.household, beside.names)) for kit in taken],
        to_look_at=await to_look_at(desk),
        whose=name_of(typed.household or None, beside.names),
        names=beside.names,
        typed=typed,
        faults=in_words(faults, desk=desk),
        cautions=answer.cautions if answer else cautions_on({Topic.FOOD, Topic.ALLERGY}),
    )


async def _take_along(desk: Desk, typed: TypedTake, *, most_kg: float | None) -> TakeAlongAnswer:
    household = HouseholdId(typed.household) if typed.household else None
    if household is not None:
        # What is left behind, and why, tells what they must not eat.
        await desk.disclose("kits to take", household=household)
    work = partial(
        desk.service.kits.take_along,
        desk.reader,
        household=household,
        most_kg=most_kg,
        at=desk.at,
    )
    return await run(desk.service.reckoners, work)
