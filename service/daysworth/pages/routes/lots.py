"""Put one lot right: its name, its date, units to throw out, what becomes of one set aside."""

from functools import partial

from fastapi import Request, Response

from daysworth.db.ledger.custody import Correction, correct, release
from daysworth.db.ledger.handling import redate
from daysworth.db.ledger.held import Held
from daysworth.db.ledger.taking import discard
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.barcodes import PackFacts
from daysworth.domain.identifiers import LotId
from daysworth.domain.intake import MOST_UNITS
from daysworth.pages.box_review import Choice, choose_food
from daysworth.pages.desk import desk_for
from daysworth.pages.doors import Door, behind, form_of, pages_router
from daysworth.pages.lot_deeds import DEEDS, do_deed, seen_revision, show_lot, why_of
from daysworth.pages.typed_box import NOT_IN_LIST, Faults, TypedBox, read_date, whole_number

router = pages_router(under="/stores/{store}/lots/{lot}")


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def lot_page(request: Request, lot: str) -> Response:
    """Show a lot, what happened to it, and what can be put right."""
    desk = await desk_for(request)
    done = request.query_params.get("done", "")
    return await show_lot(desk, lot, done=done if done in DEEDS else "")


@router.post("/name", openapi_extra=behind(Door.COORDINATOR))
async def name_lot(request: Request, lot: str) -> Response:
    """Say what a lot is that was logged in words."""
    desk = await desk_for(request)
    typed = TypedBox.of(form_of(request))
    if not typed.what:
        return await show_lot(desk, lot, typed=typed, faults={"what": "fault-what-missing"})

    def choose(reading: Reading) -> Choice:
        chosen = "" if typed.food_choice == NOT_IN_LIST else typed.food_choice
        return choose_food(reading, typed.what, chosen=chosen, pack=PackFacts())

    choice = await desk.read(choose)
    if choice.food is None:
        faults = {} if choice.foods else {"what": "fault-no-such-food"}
        return await show_lot(desk, lot, typed=typed, choice=choice, faults=faults)
    correction = Correction(food=choice.food.food.id)

    def work(writing: Writing) -> Held:
        return correct(
            writing,
            LotId(lot),
            correction=correction,
            why=desk.words.say("why-named"),
            if_revision=seen_revision(request),
        )

    return await do_deed(desk, lot, work=work, deed="name", said=choice.food.food.id)


@router.post("/date", openapi_extra=behind(Door.COORDINATOR))
async def date_lot(request: Request, lot: str) -> Response:
    """Put right the date on a lot's label; a date in figures that reads two ways is asked about."""
    desk = await desk_for(request)
    typed = TypedBox.of(form_of(request))
    faults: Faults = {}
    year = desk.today.year
    kind, date = read_date(typed, faults, order=desk.words.date_order, read_in_year=year)
    if faults:
        return await show_lot(desk, lot, typed=typed, faults=faults)
    if date is not None and date.others:
        return await show_lot(desk, lot, typed=typed, readings=[date.printed, *date.others])
    printed = None if date is None else date.printed

    def work(writing: Writing) -> Held:
        return redate(
            writing,
            LotId(lot),
            label_kind=kind,
            printed=printed,
            if_revision=seen_revision(request),
            why=desk.words.say("why-dated"),
        )

    return await do_deed(desk, lot, work=work, deed="date", said=f"{kind} {printed}")


@router.post("/throw-out", openapi_extra=behind(Door.COORDINATOR))
async def throw_out(request: Request, lot: str) -> Response:
    """Throw out units of a lot, and say why."""
    desk = await desk_for(request)
    form = form_of(request)
    typed = TypedBox.of(form)
    units, why = whole_number(typed.units), why_of(request)
    faults: Faults = {}
    if units is None or not 1 <= units <= MOST_UNITS:
        faults["units"] = "fault-units"
    if not why:
        faults["why"] = "fault-why"
    if faults or units is None:
        return await show_lot(desk, lot, typed=typed, faults=faults)
    work = partial(discard, lot=LotId(lot), units=units, why=why)
    return await do_deed(desk, lot, work=work, deed="throw-out", said=f"{units} {why}")


@router.post("/release", openapi_extra=behind(Door.COORDINATOR))
async def release_lot(request: Request, lot: str) -> Response:
    """Let a lot that was set aside count again, and say why."""
    desk = await desk_for(request)
    why = why_of(request)
    if not why:
        return await show_lot(desk, lot, faults={"release": "fault-why"})
    work = partial(release, lot=LotId(lot), why=why)
    return await do_deed(desk, lot, work=work, deed="release", said=why)
