"""Put one lot right: its name, its date, units to throw out, what becomes of one set aside."""

from collections.abc import Callable
from functools import partial
from http import HTTPStatus
from typing import Final

from fastapi import Request, Response

from daysworth.db.ledger.custody import Correction, correct, release
from daysworth.db.ledger.handling import redate
from daysworth.db.ledger.held import Held
from daysworth.db.ledger.taking import discard
from daysworth.db.transactions import Reading, Writing, day_there
from daysworth.domain.barcodes import PackFacts
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.errors import FieldsRefused, KeyUsed, NotAsItWas, StockRefused
from daysworth.domain.identifiers import LotId, is_plain
from daysworth.domain.intake import MOST_UNITS
from daysworth.domain.label_dates import LabelKind
from daysworth.pages.box_review import Choice, choose_food
from daysworth.pages.desk import Desk, desk_for, new_key
from daysworth.pages.doors import Door, behind, form_of, pages_router, store_address
from daysworth.pages.frame import go_to
from daysworth.pages.lot_page import load_lot
from daysworth.pages.typed_box import NOT_IN_LIST, Faults, TypedBox, read_date, whole_number

router = pages_router(under="/stores/{store}/lots/{lot}")

MOST_WHY: Final = 400
Deed = Callable[[Writing], Held]


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def lot_page(request: Request, lot: str) -> Response:
    """Show a lot, what happened to it, and what can be put right."""
    desk = await desk_for(request)
    done = request.query_params.get("done", "")
    return await _page(desk, lot, done=done if done in _DEEDS else "")


@router.post("/name", openapi_extra=behind(Door.COORDINATOR))
async def name_lot(request: Request, lot: str) -> Response:
    """Say what a lot is that was logged in words."""
    desk = await desk_for(request)
    typed = TypedBox.of(form_of(request))
    if not typed.what:
        return await _page(desk, lot, typed=typed, faults={"what": "fault-what-missing"})

    def choose(reading: Reading) -> Choice:
        chosen = "" if typed.food_choice == NOT_IN_LIST else typed.food_choice
        return choose_food(reading, typed.what, chosen=chosen, pack=PackFacts())

    choice = await desk.read(choose)
    if choice.food is None:
        faults = {} if choice.foods else {"what": "fault-no-such-food"}
        return await _page(desk, lot, typed=typed, choice=choice, faults=faults)
    correction = Correction(food=choice.food.food.id)

    def work(writing: Writing) -> Held:
        return correct(
            writing,
            LotId(lot),
            correction=correction,
            why=desk.words.say("why-named"),
            if_revision=_revision(request),
        )

    return await _done(desk, lot, work=work, deed="name", said=choice.food.food.id)


@router.post("/date", openapi_extra=behind(Door.COORDINATOR))
async def date_lot(request: Request, lot: str) -> Response:
    """Put right the date on a lot's label; a date in figures that reads two ways is asked about."""
    desk = await desk_for(request)
    typed = TypedBox.of(form_of(request))
    faults: Faults = {}
    year = day_there(desk.store.settings, at=desk.at).year
    kind, date = read_date(typed, faults, order=desk.words.date_order, read_in_year=year)
    if faults:
        return await _page(desk, lot, typed=typed, faults=faults)
    if date is not None and date.others:
        return await _page(desk, lot, typed=typed, readings=[date.printed, *date.others])
    printed = None if date is None else date.printed

    def work(writing: Writing) -> Held:
        return redate(
            writing,
            LotId(lot),
            label_kind=kind,
            printed=printed,
            if_revision=_revision(request),
            why=desk.words.say("why-dated"),
        )

    return await _done(desk, lot, work=work, deed="date", said=f"{kind} {printed}")


@router.post("/throw-out", openapi_extra=behind(Door.COORDINATOR))
async def throw_out(request: Request, lot: str) -> Response:
    """Throw out units of a lot, and say why."""
    desk = await desk_for(request)
    form = form_of(request)
    typed = TypedBox.of(form)
    units, why = whole_number(typed.units), _why(request)
    faults: Faults = {}
    if units is None or not 1 <= units <= MOST_UNITS:
        faults["units"] = "fault-units"
    if not why:
        faults["why"] = "fault-why"
    if faults or units is None:
        return await _page(desk, lot, typed=typed, faults=faults)
    work = partial(discard, lot=LotId(lot), units=units, why=why)
    return await _done(desk, lot, work=work, deed="throw-out", said=f"{units} {why}")


@router.post("/release", openapi_extra=behind(Door.COORDINATOR))
async def release_lot(request: Request, lot: str) -> Response:
    """Let a lot that was set aside count again, and say why."""
    desk = await desk_for(request)
    why = _why(request)
    if not why:
        return await _page(desk, lot, faults={"release": "fault-why"})
    work = partial(release, lot=LotId(lot), why=why)
    return await _done(desk, lot, work=work, deed="release", said=why)


async def _done(desk: Desk, lot: str, *, work: Deed, deed: str, said: str) -> Response:
    """Do a deed once for the form's key, and show the lot; or show what stood against it."""
    key = str(form_of(desk.request).get("key", ""))[:60]
    try:
        await desk.write_once(work, key=key, said=f"{lot} {deed} {said}")
    except KeyUsed:
        return await _page(desk, lot, problem=desk.words.say("fault-sent-before"), status=409)
    except NotAsItWas:
        return await _page(desk, lot, problem=desk.words.say("fault-changed-since"), status=412)
    except (StockRefused, FieldsRefused) as refused:
        return await _page(desk, lot, problem=_sentence(str(refused)), status=409)
    return go_to(store_address(desk.store.id, "lots", lot) + f"?done={deed}")


async def _page(
    desk: Desk,
    lot: str,
    *,
    typed: TypedBox | None = None,
    faults: Faults | None = None,
    choice: Choice | None = None,
    readings: list[str] | None = None,
    problem: str = "",
    done: str = "",
    status: int = HTTPStatus.OK,
) -> Response:
    shown = await desk.read(partial(load_lot, lot=LotId(lot), store=desk.store))
    said = {
        field: desk.words.say(fault) if fault.startswith("fault-") else _sentence(fault)
        for field, fault in (faults or {}).items()
    }
    return desk.show(
        "lot.html",
        status=HTTPStatus.UNPROCESSABLE_ENTITY if said else status,
        shown=shown,
        typed=typed or TypedBox(),
        faults=said,
        choice=choice,
        readings=readings or [],
        problem=problem,
        done=done,
        key=new_key(),
        kinds=[str(kind) for kind in LabelKind],
        cautions=cautions_on({Topic.FOOD}),
    )


_DEEDS: Final = frozenset({"name", "date", "throw-out", "release"})


def _revision(request: Request) -> int:
    """Give the revision that the form was made from; none that is there, where it is not told."""
    return whole_number(str(form_of(request).get("revision", ""))) or 0


def _why(request: Request) -> str:
    why = str(form_of(request).get("why", "")).strip()
    return why if is_plain(why) and len(why) <= MOST_WHY else ""


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if text.endswith(".") else ".")
