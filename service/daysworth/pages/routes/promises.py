"""Show what is promised to partners, record what really went, and let promises lapse."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from functools import partial
from http import HTTPStatus
from typing import Final

from fastapi import Request, Response

from daysworth.answers.delivery_note import delivery_note
from daysworth.answers.promises import PromiseAnswer, PromisesTold, PromiseSummary
from daysworth.api.service import run
from daysworth.db.ledger import promises as deeds
from daysworth.db.pages_of_rows import Page
from daysworth.db.promises import KeptPromise, list_promises, read_promise
from daysworth.db.transactions import Reading, Writing, day_there
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.errors import FieldsRefused, KeyUsed, NotAsItWas, StockRefused
from daysworth.domain.identifiers import PromiseId, is_plain
from daysworth.domain.promises import PromiseState
from daysworth.domain.typed_dates import DateOrder
from daysworth.pages.desk import Desk, desk_for, new_key
from daysworth.pages.doors import Door, behind, form_of, pages_router, store_address
from daysworth.pages.frame import HEADERS, go_to
from daysworth.pages.kits_around import in_words
from daysworth.pages.lot_deeds import seen_revision, why_of
from daysworth.pages.promise_page import (
    MOST_LINES,
    TypedHandOff,
    is_any_overdue,
    places_shown,
    problems_of,
    promises_shown,
    revision_of,
)
from daysworth.pages.typed_box import Faults
from daysworth.printing.delivery_note import delivery_note_pdf
from daysworth.printing.delivery_note_layout import Paper

router = pages_router(under="/stores/{store}/promises")

MOST_PROMISES: Final = 200
_DONE: Final = frozenset({"promise", "lapse-overdue"})
_DONE_TO_ONE: Final = frozenset({"hand-off", "lapse"})
_NOTE_OF: Final = frozenset({PromiseState.OPEN, PromiseState.KEPT, PromiseState.KEPT_IN_PART})


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def promises_page(request: Request) -> Response:
    """List promises by the time of their visits: those that wait, or those that ended one way."""
    desk = await desk_for(request)
    query = request.query_params
    done, state = query.get("done", ""), query.get("state", "")
    chosen = PromiseState(state) if state in set(PromiseState) else PromiseState.OPEN
    return await _show_list(
        desk, chosen, after=query.get("after", ""), done=done if done in _DONE else ""
    )


@router.post("/lapse-overdue", openapi_extra=behind(Door.COORDINATOR))
async def lapse_overdue(request: Request) -> Response:
    """Let every promise lapse whose visit has been over for more than two days."""
    desk = await desk_for(request)
    key = str(form_of(request).get("key", ""))[:60]

    def lapse(writing: Writing) -> str:
        return str(len(deeds.lapse_overdue(writing)))

    try:
        await desk.write_once(lapse, key=key, said="lapse overdue")
    except KeyUsed:
        problems = [desk.words.say("fault-sent-before")]
        return await _show_list(desk, PromiseState.OPEN, problems=problems)
    return go_to(store_address(desk.store.id, "promises") + "?done=lapse-overdue")


@router.get("/{promise}", openapi_extra=behind(Door.COORDINATOR))
async def promise_page(request: Request, promise: str) -> Response:
    """Show a promise: what goes, place by place, and what became of it."""
    desk = await desk_for(request)
    done = request.query_params.get("done", "")
    return await _show_one(desk, promise, done=done if done in _DONE_TO_ONE else "")


@router.get("/{promise}/delivery-note", openapi_extra=behind(Door.COORDINATOR))
async def print_delivery_note(request: Request, promise: str) -> Response:
    """Print the note of a promise as a PDF file, checked again as it is printed."""
    desk = await desk_for(request)
    try:
        look = partial(delivery_note, promise=PromiseId(promise), at=desk.at)
        note = await desk.read(look)
    except StockRefused as refused:
        return await _show_one(desk, promise, problems=problems_of(refused), status=409)
    # Where dates are written with the month first, paper is of US Letter size (common practice).
    paper = Paper.LETTER if desk.words.date_order is DateOrder.MONTH else Paper.A4
    work = partial(delivery_note_pdf, note, paper=paper)
    printed = await run(desk.service.reckoners, work)
    # The file is shown by the browser itself, which may need a style of its own to do so.
    headers = {name: said for name, said in HEADERS.items() if name != "Content-Security-Policy"}
    headers["Content-Disposition"] = 'inline; filename="delivery-note.pdf"'
    return Response(printed, media_type="application/pdf", headers=headers)


@router.post("/{promise}/hand-off", openapi_extra=behind(Door.COORDINATOR))
async def hand_off_promise(request: Request, promise: str) -> Response:
    """Record what really went, lot by lot; what did not go is free again."""
    desk = await desk_for(request)
    typed = TypedHandOff.of(form_of(request))
    kept = await desk.read(partial(_told, promise=PromiseId(promise)))
    faults: Faults = {}
    read = typed.read(kept, faults)
    if faults and kept.summary.state == PromiseState.OPEN:
        return await _show_one(desk, promise, typed=typed, faults=faults)
    deed = partial(
        deeds.hand_off,
        promise=PromiseId(promise),
        went=read.went,
        whys=read.whys,
        why=read.why,
        handed_on=read.handed_on,
        if_revision=seen_revision(request),
    )
    return await _do(desk, promise, deed=deed, name="hand-off", typed=typed)


@router.post("/{promise}/lapse", openapi_extra=behind(Door.COORDINATOR))
async def lapse_promise(request: Request, promise: str) -> Response:
    """Let a promise lapse, with a reason: all of it is free again."""
    desk = await desk_for(request)
    why = why_of(request)
    if not why:
        typed_why = str(form_of(request).get("why", "")).strip()
        fault = "fault-why" if is_plain(typed_why) else "fault-words"
        return await _show_one(desk, promise, faults={"lapse-why": fault}, lapse_why=typed_why)
    deed = partial(
        deeds.lapse, promise=PromiseId(promise), why=why, if_revision=seen_revision(request)
    )
    return await _do(desk, promise, deed=deed, name="lapse", lapse_why=why)


async def _do(
    desk: Desk,
    promise: str,
    *,
    deed: Callable[[Writing], KeptPromise],
    name: str,
    typed: TypedHandOff | None = None,
    lapse_why: str = "",
) -> Response:
    """Do a deed once for the form's key, and show the promise; or show what stood against it."""
    key = str(form_of(desk.request).get("key", ""))[:60]
    show = partial(_show_one, desk, promise, typed=typed, lapse_why=lapse_why)
    said = f"promise {promise} {name} {typed or ''} {lapse_why}"
    try:
        await desk.write_once(lambda writing: deed(writing).id, key=key, said=said)
    except KeyUsed:
        return await show(problems=[desk.words.say("fault-sent-before")], status=409)
    except NotAsItWas:
        return await show(problems=[desk.words.say("fault-changed-since")], status=412)
    except (StockRefused, FieldsRefused) as refused:
        return await show(problems=problems_of(refused), status=409)
    return go_to(store_address(desk.store.id, "promises", promise) + f"?done={name}")


async def _show_list(
    desk: Desk,
    state: PromiseState,
    *,
    after: str = "",
    done: str = "",
    problems: list[str] | None = None,
) -> Response:
    def look(reading: Reading) -> Page[PromiseSummary]:
        found = list_promises(reading, state=state, after=after, limit=MOST_PROMISES)
        told = PromisesTold(reading, found.items)
        return Page([told.summary(one) for one in found.items], found.next_after)

    found = await desk.read(look)
    return desk.show(
        "promises.html",
        status=HTTPStatus.CONFLICT if problems else HTTPStatus.OK,
        promises=promises_shown(found.items, today_day=desk.today),
        next_after=found.next_after,
        is_any_overdue=is_any_overdue(found.items, today_day=desk.today),
        state=state,
        states=[str(one) for one in PromiseState],
        done=done,
        problems=problems or [],
        key=new_key(),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Beside:
    """What a page says of a promise beside the answer itself."""

    revision: int
    made_on: date
    ended_on: date | None
    is_open: bool
    has_note: bool


async def _show_one(
    desk: Desk,
    promise: str,
    *,
    typed: TypedHandOff | None = None,
    lapse_why: str = "",
    faults: Faults | None = None,
    problems: list[str] | None = None,
    done: str = "",
    status: int = HTTPStatus.OK,
) -> Response:
    """Show a promise, with what was typed and what is wrong with it. Raises NotThere."""
    kept = await desk.read(partial(_told, promise=PromiseId(promise)))
    beside = _beside(desk, kept)
    if not beside.is_open and (faults or problems) and status != HTTPStatus.PRECONDITION_FAILED:
        faults, problems = None, problems or [desk.words.say("promise-ended-already")]
        status = HTTPStatus.CONFLICT
    words = in_words(faults, desk=desk)
    return desk.show(
        "promise.html",
        status=HTTPStatus.UNPROCESSABLE_ENTITY if words else status,
        promise=kept,
        summary=kept.summary,
        shown=beside,
        places=places_shown(kept, typed or TypedHandOff()),
        most_lines=MOST_LINES,
        typed=typed or TypedHandOff(day=desk.today.isoformat()),
        lapse_why=lapse_why,
        today=desk.today,
        faults=words,
        problems=problems or [],
        done=done,
        key=new_key(),
        cautions=cautions_on({Topic.FOOD}),
    )


def _told(reading: Reading, promise: PromiseId) -> PromiseAnswer:
    kept = read_promise(reading, promise)
    return PromisesTold(reading, [kept]).answer(kept)


def _beside(desk: Desk, kept: PromiseAnswer) -> _Beside:
    def day_of(instant: str) -> date:
        return day_there(desk.store.settings, at=datetime.fromisoformat(instant))

    state = PromiseState(kept.summary.state)
    return _Beside(
        revision=revision_of(kept.summary.etag),
        made_on=day_of(kept.made_at),
        ended_on=None if kept.ended_at is None else day_of(kept.ended_at),
        is_open=state is PromiseState.OPEN,
        has_note=state in _NOTE_OF,
    )
