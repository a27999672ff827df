"""Record what a lot's label says, and settle which readings of it hold."""

from functools import partial

from fastapi import Request, Response

from daysworth.db.ledger.labels import record, settle
from daysworth.db.readings_kept import reading_text
from daysworth.domain.identifiers import LotId
from daysworth.domain.lots import MOST_READINGS
from daysworth.pages.desk import desk_for
from daysworth.pages.doors import MOST_LABEL_BYTES, Door, behind, form_of, pages_router
from daysworth.pages.lot_deeds import (
    MOST_WHY,
    TypedSettling,
    do_deed,
    seen_revision,
    show_lot,
    why_of,
)
from daysworth.pages.typed_box import CHECKED, Faults
from daysworth.pages.typed_label import TypedLabel, read_label

router = pages_router(under="/stores/{store}/lots/{lot}/label")


@router.post("", openapi_extra=behind(Door.COORDINATOR, most_bytes=MOST_LABEL_BYTES))
async def record_lots_label(request: Request, lot: str) -> Response:
    """Keep a reading beside those that stand, or show what is wrong with it."""
    desk = await desk_for(request)
    typed, reading, faults = read_label(TypedLabel.of(form_of(request)), today=desk.today)
    if reading is None:
        return await show_lot(desk, lot, label=typed, faults=faults)
    work = partial(record, lot=LotId(lot), reading=reading)
    said = reading_text(reading)
    return await do_deed(desk, lot, work=work, deed="label", said=said, label=typed)


@router.post("/settle", openapi_extra=behind(Door.COORDINATOR))
async def settle_lots_label(request: Request, lot: str) -> Response:
    """Let those readings hold that were chosen, and say why; the others stay in the ledger."""
    desk = await desk_for(request)
    form, why = form_of(request), why_of(request)
    keep = [
        number for number in range(1, MOST_READINGS + 1) if form.get(f"keep_{number}") == CHECKED
    ]
    faults: Faults = {}
    if not keep:
        faults["keep"] = "fault-keep"
    if not why:
        faults["settle"] = "fault-why"
    if faults:
        typed = TypedSettling(keep=frozenset(keep), why=str(form.get("why", ""))[:MOST_WHY])
        return await show_lot(desk, lot, settling=typed, faults=faults)
    work = partial(settle, lot=LotId(lot), keep=keep, why=why, if_revision=seen_revision(request))
    return await do_deed(desk, lot, work=work, deed="settle", said=f"{keep} {why}")
