"""Delivery notes, as a PDF file: what goes with what is handed off to a partner."""

from functools import partial
from typing import Annotated

from fastapi import Query, Response

from daysworth.answers.delivery_note import delivery_note
from daysworth.api.access import roles
from daysworth.api.edge import PRIVATE, AtEdge
from daysworth.api.problems import problems
from daysworth.api.routes import store_router
from daysworth.api.routes.paths import PromisePath
from daysworth.api.service import run
from daysworth.domain.entries import Role
from daysworth.domain.errors import StockRefused
from daysworth.domain.identifiers import PromiseId
from daysworth.printing.delivery_note import delivery_note_pdf
from daysworth.printing.delivery_note_layout import Paper

router = store_router(under="/promises")

STAFF = (Role.COORDINATOR, Role.VOLUNTEER)
PDF = "application/pdf"

_IS_PDF: dict[int | str, dict[str, object]] = {
    200: {
        "description": "The delivery note",
        "content": {PDF: {"schema": {"type": "string", "format": "binary"}}},
    }
}


@router.get(
    "/{promise}/delivery-note",
    response_class=Response,
    responses={**problems(StockRefused), **_IS_PDF},
    openapi_extra=roles(*STAFF),
)
async def print_delivery_note(
    promise: PromisePath,
    *,
    edge: AtEdge,
    paper: Annotated[Paper, Query(description="The paper, printed upright.")] = Paper.LETTER,
) -> Response:
    """Print the note of a promise, checked again; what may not go any more is struck from it."""
    at = edge.service.clock()
    note = await edge.read(partial(delivery_note, promise=PromiseId(promise), at=at))
    printed = await run(edge.service.reckoners, partial(delivery_note_pdf, note, paper=paper))
    headers = {
        "Cache-Control": PRIVATE,
        "Content-Disposition": 'inline; filename="delivery-note.pdf"',
    }
    return Response(printed, media_type=PDF, headers=headers)
