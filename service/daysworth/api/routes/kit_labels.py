"""Labels of kits, as a PDF file: one for each kit, on sheets of the usual sizes."""

from functools import partial
from typing import Annotated

from fastapi import Query, Request, Response

from daysworth.answers.kit import KitAnswer
from daysworth.api.access import roles
from daysworth.api.edge import PRIVATE, AtEdge, Edge
from daysworth.api.problems import problems
from daysworth.api.routes import store_router
from daysworth.api.routes.paths import KitPath
from daysworth.api.service import run, site_of
from daysworth.db.stores import read_store
from daysworth.domain.entries import Role
from daysworth.domain.errors import Fault, FieldsRefused, StockRefused, StoreUnsound
from daysworth.domain.identifiers import KitId, PlaceId
from daysworth.printing.kit_label_facts import label_of
from daysworth.printing.kit_labels import MOST_LABELS, kit_labels_pdf
from daysworth.printing.label_sheets import LabelSheet

router = store_router(under="/kits")

STAFF = (Role.COORDINATOR, Role.VOLUNTEER)
PDF = "application/pdf"

Sheet = Annotated[LabelSheet, Query(description="The paper, and how many labels stand on it.")]
Position = Annotated[
    int, Query(ge=1, le=100, description="The first label of the sheet that is free.")
]
Kits = Annotated[list[Annotated[str, Query(max_length=64)]], Query(max_length=MOST_LABELS)]

_IS_PDF: dict[int | str, dict[str, object]] = {
    200: {
        "description": "The labels",
        "content": {PDF: {"schema": {"type": "string", "format": "binary"}}},
    }
}


@router.get(
    "/labels",
    response_class=Response,
    responses={**problems(StockRefused, StoreUnsound), **_IS_PDF},
    openapi_extra=roles(*STAFF),
)
async def print_labels(
    request: Request,
    edge: AtEdge,
    *,
    sheet: Sheet = LabelSheet.LETTER_4,
    kit: Annotated[Kits, Query(description="A kit; repeatable.")] = (),  # type: ignore[assignment]
    place: Annotated[
        str | None, Query(max_length=64, description="Every closed kit there.")
    ] = None,
    first_position: Position = 1,
) -> Response:
    """Print the labels of closed kits: those that are named, or all in a place, by their ids."""
    if bool(kit) == (place is not None):
        raise FieldsRefused((Fault("kit", "name kits or a place, one of them"),))
    office, at = edge.service.kits, edge.service.clock()
    work = partial(
        office.bags,
        edge.reader,
        kits=[KitId(one) for one in dict.fromkeys(kit)],
        place=None if place is None else PlaceId(place),
        at=at,
    )
    bags = await run(edge.service.reckoners, work)
    return await _printed(request, edge, bags=bags, sheet=sheet, first_position=first_position)


@router.get(
    "/{kit}/label",
    response_class=Response,
    responses={**problems(StockRefused, StoreUnsound), **_IS_PDF},
    openapi_extra=roles(*STAFF),
)
async def print_one_label(
    request: Request,
    kit: KitPath,
    *,
    edge: AtEdge,
    sheet: Sheet = LabelSheet.LETTER_1,
    first_position: Position = 1,
) -> Response:
    """Print the label of a closed kit."""
    office, at = edge.service.kits, edge.service.clock()
    work = partial(office.bags, edge.reader, kits=[KitId(kit)], place=None, at=at)
    bags = await run(edge.service.reckoners, work)
    return await _printed(request, edge, bags=bags, sheet=sheet, first_position=first_position)


async def _printed(
    request: Request,
    edge: Edge,
    *,
    bags: list[KitAnswer],
    sheet: LabelSheet,
    first_position: int,
) -> Response:
    site = site_of(request)
    settings = (await edge.read(read_store)).settings

    def work() -> bytes:
        labels = [label_of(one, site=site) for one in bags]
        return kit_labels_pdf(
            labels, sheet=sheet, locale=settings.locale, first_position=first_position
        )

    printed = await run(edge.service.reckoners, work)
    headers = {
        "Cache-Control": PRIVATE,
        "Content-Disposition": 'inline; filename="kit-labels.pdf"',
    }
    return Response(printed, media_type=PDF, headers=headers)
