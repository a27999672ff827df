"""Log a donation: the page that a link opens, to one place, without an account.

The secret in the address is all there is to it: no cookie, so that it works in any browser and can
be handed over. A box that leaves nothing open is saved at once; otherwise the same form comes back
with what to look at. Sent twice, a form saves its box once.
"""

from dataclasses import replace
from functools import partial
from http import HTTPStatus
from typing import Final
from urllib.parse import urlencode

from fastapi import Request, Response

from daysworth.api.service import run
from daysworth.db import transactions
from daysworth.db.ledger.intake import receive
from daysworth.db.ledger.just_logged import take_back
from daysworth.db.replays import is_used
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.cautions import Topic, cautions_on
from daysworth.domain.errors import DateRefused, FieldsRefused, KeyUsed, StoreRefused
from daysworth.domain.identifiers import LotId, PlaceId
from daysworth.domain.intake import IntakeLine
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.typed_dates import read_typed_date
from daysworth.pages.box_review import SAME, Review, Where, review, scanned
from daysworth.pages.desk import Desk, desk_for, form_key, new_key
from daysworth.pages.doors import Door, behind, form_of, pages_router
from daysworth.pages.frame import go_to
from daysworth.pages.label_part import MOST_IN_SIGHT
from daysworth.pages.label_question import ANOTHER, NOT_COMPARED
from daysworth.pages.log_page import ShownBox, load_log
from daysworth.pages.typed_box import NOT_IN_LIST, Faults, ReadBox, TypedBox, read_box

router = pages_router(under="/log/{secret}")

_KEPT_BY_BACK: Final = {"Cache-Control": "private, no-cache"}
"""A browser that goes back finds the form as it was typed, not a new one."""


@router.get("", openapi_extra=behind(Door.LINK))
async def logging_page(request: Request, secret: str) -> Response:
    """Show the form, what was just logged, and what stays the same for the next box."""
    desk = await desk_for(request)
    order = request.query_params.get("order", "")[:3]
    return await _page(desk, secret, typed=TypedBox(order=order))


@router.post("", openapi_extra=behind(Door.LINK))
async def log_box(request: Request, secret: str) -> Response:
    """Save a box, or show what is to be looked at first."""
    desk = await desk_for(request)
    today = desk.today
    faults: Faults = {}
    typed = TypedBox.of(form_of(request))
    typed, pack = scanned(typed, faults, read_in_year=today.year)
    box, more = read_box(typed, order=desk.words.date_order, read_in_year=today.year)
    faults = {**more, **faults}
    if faults:
        return await _page(desk, secret, typed=typed, faults=faults)
    where = Where(place=_place(desk), link=desk.reader.id, settings=desk.store.settings, at=desk.at)

    def look(reading: Reading) -> Review:
        # A form that was saved already is answered as it was then, and not asked about itself.
        sent_before = is_used(reading, form_key(typed.key))
        seen = f"{typed.seen} {SAME}" if sent_before else typed.seen
        return review(reading, replace(typed, seen=seen), box=box, pack=pack, where=where)

    found = await desk.read(look)
    if found.is_open or found.line is None:
        return await _page(desk, secret, typed=typed, found=found)
    save = partial(_save, line=found.line)
    try:
        lot = await desk.write_once(save, key=typed.key, said=repr(found.line))
    except KeyUsed:
        return await _page(desk, secret, typed=typed, faults={"form": "fault-sent-before"})
    except FieldsRefused as refused:
        # Something it refers to has gone since this form was looked over.
        return await _page(desk, secret, typed=typed, faults={"form": str(refused)})
    order = typed.order or _order_confirmed(desk, typed, box=box)
    return go_to(onward(secret, after=lot, order=order))


@router.post("/take-back", openapi_extra=behind(Door.LINK))
async def take_box_back(request: Request, secret: str) -> Response:
    """Take back a box that was logged with this link."""
    desk = await desk_for(request)
    form = form_of(request)
    lot = LotId(str(form.get("lot", ""))[:64])
    order = str(form.get("order", ""))[:3]
    taken = partial(
        transactions.write,
        desk.service.engine,
        partial(take_back, lot=lot),
        store=desk.store.id,
        by=desk.reader,
        at=desk.at,
    )
    try:
        await run(desk.service.writers, taken)
    except StoreRefused:
        # Sent twice it is taken back already; what somebody has moved on since is left alone.
        return go_to(onward(secret, no=lot, order=order))
    return go_to(onward(secret, back=lot, order=order))


async def _page(
    desk: Desk,
    secret: str,
    *,
    typed: TypedBox,
    faults: Faults | None = None,
    found: Review | None = None,
) -> Response:
    """Show the form, with all that was typed and what is wrong or to be looked at.

    The address tells which box was just saved (`after`), is logged once more (`again`), was taken
    back (`back`), or could not be (`no`), or had its label read (`read`); and whether `older` boxes
    are shown.
    """
    asked = desk.request.query_params
    load = partial(
        load_log,
        place=_place(desk),
        link=desk.reader,
        store=desk.store,
        at=desk.at,
        with_older=asked.get("older") == "yes",
    )
    shown, faults = await desk.read(load), faults or {}
    saved, like, taken_back, refused, label_read = (
        shown.find(asked.get(name)) for name in ("after", "again", "back", "no", "read")
    )
    typed = _with_what_stays(typed, saved or taken_back or label_read)
    if saved is not None and saved.is_taken_back:
        # An old form was sent again after its box was taken back: the box is not there.
        saved, like = None, saved
    if like is not None:
        typed = replace(like.typed_again(typed), seen=SAME)
    return desk.show(
        "log.html",
        status=HTTPStatus.UNPROCESSABLE_ENTITY if faults else HTTPStatus.OK,
        headers=_KEPT_BY_BACK,
        action=f"/log/{secret}",
        typed=replace(typed, key=new_key()),
        shown=shown,
        faults={
            field: _said(desk, faults[field]) for field in ("form", *_FIELDS) if field in faults
        },
        focus="" if found is not None else _first_at_fault(faults) or "what",
        found=found,
        saved=saved,
        taken_back=taken_back,
        was_taken_back=like is not None and like.is_taken_back,
        refused=refused,
        has_refused="no" in asked,
        label_read=label_read,
        has_unread="unread" in asked,
        **_ALWAYS,
        cautions=cautions_on({Topic.FOOD}),
    )


_ALWAYS: Final[dict[str, object]] = {
    "kinds": [str(kind) for kind in LabelKind],
    "not_in_list": NOT_IN_LIST,
    "most_in_sight": MOST_IN_SIGHT,
    "another": ANOTHER,
    "not_compared": NOT_COMPARED,
}
"""What the page shows whatever is asked."""


def _with_what_stays(typed: TypedBox, before: ShownBox | None) -> TypedBox:
    """Keep for the next box what stays the same; that one had no date says nothing of the next."""
    if before is None:
        return typed
    kind = "" if before.kind == LabelKind.UNLABELLED else before.kind
    return replace(typed, kind=kind, giver=before.giver or "")


def _save(writing: Writing, line: IntakeLine) -> str:
    (received,) = receive(writing, [line])
    return received.lot.id


def _place(desk: Desk) -> PlaceId:
    place = desk.reader.place
    assert place is not None, "a link logs to a place"
    return place


def _order_confirmed(desk: Desk, typed: TypedBox, *, box: ReadBox) -> str:
    """Tell whether a volunteer has just confirmed that figures read in the store's order."""
    if not typed.date_choice or box.date is None:
        return ""
    year = desk.today.year
    try:
        usual = read_typed_date(typed.date, order=desk.words.date_order, read_in_year=year)
    except DateRefused:
        return ""
    return "yes" if usual.printed == box.date.printed else ""


def onward(secret: str, **asked: str) -> str:
    """Give the address of a logging page that tells what was just done."""
    # An address with a fragment would keep the first field from being ready to type in.
    query = urlencode({name: value for name, value in asked.items() if value})
    return f"/log/{secret}" + (f"?{query}" if query else "")


def _first_at_fault(faults: Faults) -> str:
    """Give the field to be put right first, in the form's order."""
    return next((field for field in _FIELDS if field in faults), "")


_FIELDS: Final = ("what", "units", "cases", "units_per_case", "kind", "date", "giver")


def _said(desk: Desk, fault: str) -> str:
    """Say a fault: a message of the catalogue by its key, or a sentence as it is."""
    return (
        desk.words.say(fault) if fault.startswith("fault-") else f"{fault[:1].upper()}{fault[1:]}."
    )
