"""Partners: who takes what the store can spare, when, and what they take."""

from functools import partial

from fastapi import Response

from daysworth.answers.partners import (
    OpeningAnswer,
    PartnerAnswer,
    opening_answer,
    partner_answer,
)
from daysworth.api.access import roles
from daysworth.api.edge import TAKES_KEY, TAKES_REVISION, AtEdge, Edge, Made
from daysworth.api.paging import ListOut, PageAsked
from daysworth.api.problems import KeyMissing, RevisionMissing, problems
from daysworth.api.routes import store_router
from daysworth.api.routes.paths import PartnerPath
from daysworth.api.schemas.partners import NewPartnerIn, OpeningIn, PartnerIn
from daysworth.api.service import run
from daysworth.db.pages_of_rows import page_of
from daysworth.db.partners import (
    KeptPartner,
    add_partner,
    change_partner,
    list_partners,
    read_partner,
    remove_partner,
)
from daysworth.db.transactions import Writing
from daysworth.domain.entries import Role
from daysworth.domain.errors import Fault, FieldsRefused, NotAsItWas, StoreRefused
from daysworth.domain.identifiers import PartnerId

router = store_router()

READERS = (Role.COORDINATOR, Role.VOLUNTEER)


@router.get(
    "/partners",
    response_model=ListOut[PartnerAnswer],
    responses=problems(),
    openapi_extra=roles(*READERS),
)
async def list_all_partners(edge: AtEdge, page: PageAsked) -> Response:
    """List partners by id, with their windows in words and the next five visits of each."""
    kept = await edge.read(list_partners)
    some = sorted(
        (one for one in kept if one.partner.id > page.after), key=lambda one: one.partner.id
    )[: page.limit + 1]
    listed = page_of(some, keys=[one.partner.id for one in some], limit=page.limit)
    tell = partial(partner_answer, at=edge.service.clock())
    told = await run(edge.service.reckoners, lambda: [tell(one) for one in listed.items])
    answers = dict(zip((one.partner.id for one in listed.items), told, strict=True))
    return await edge.show_page(listed, told=lambda one: answers[one.partner.id], paging=page)


@router.post(
    "/partners",
    status_code=201,
    response_model=PartnerAnswer,
    responses=problems(KeyMissing, StoreRefused),
    dependencies=[TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR),
)
async def add_one_partner(asked: NewPartnerIn, edge: AtEdge) -> Response:
    """Add a partner with its windows, each by a plain choice or by a rule, and what it takes."""
    wanted = await run(edge.service.reckoners, partial(asked.partner, PartnerId(asked.id)))
    return await edge.create(lambda writing: _made(add_partner(writing, wanted), edge=edge))


@router.get(
    "/partners/{partner}",
    response_model=PartnerAnswer,
    responses=problems(),
    openapi_extra=roles(*READERS),
)
async def read_one_partner(partner: PartnerPath, edge: AtEdge) -> Response:
    """Read a partner, with its windows in words and the next five visits of each."""
    kept = await edge.read(lambda reading: read_partner(reading, PartnerId(partner)))
    tell = partial(partner_answer, kept, at=edge.service.clock())
    told = await run(edge.service.reckoners, tell)
    # No 304: which visits are the next ones changes with the days and without its revision.
    answer = edge.told(told, of=PartnerAnswer)
    answer.headers["ETag"] = told.etag
    return answer


@router.put(
    "/partners/{partner}",
    response_model=PartnerAnswer,
    responses=problems(NotAsItWas, RevisionMissing, StoreRefused),
    dependencies=[TAKES_REVISION, TAKES_KEY],
    openapi_extra=roles(Role.COORDINATOR),
)
async def change_one_partner(partner: PartnerPath, *, asked: PartnerIn, edge: AtEdge) -> Response:
    """Change a partner, given whole. A window that an open promise is for must go on opening."""
    id_ = PartnerId(partner)
    wanted = await run(edge.service.reckoners, partial(asked.partner, id_))

    def change(writing: Writing) -> Made:
        kept = change_partner(writing, id_, partner=wanted, if_revision=edge.if_revision())
        return _made(kept, edge=edge)

    return await edge.change(change)


@router.delete(
    "/partners/{partner}",
    status_code=204,
    responses=problems(NotAsItWas, RevisionMissing, StoreRefused),
    dependencies=[TAKES_REVISION],
    openapi_extra=roles(Role.COORDINATOR),
)
async def remove_one_partner(partner: PartnerPath, edge: AtEdge) -> Response:
    """Remove a partner that nothing is promised to. What went there stays on record."""

    def remove(writing: Writing) -> Made:
        remove_partner(writing, PartnerId(partner), if_revision=edge.if_revision())
        return Made(told=None)

    return await edge.change(remove, status=204)


@router.post(
    "/window-preview",
    response_model=OpeningAnswer,
    responses=problems(),
    openapi_extra=roles(Role.COORDINATOR),
)
async def preview_window(asked: OpeningIn, edge: AtEdge) -> Response:
    """Say in words when a window would open, its rule and its next five visits.

    It changes nothing.
    """

    def preview() -> OpeningAnswer:
        try:
            window = asked.window()
        except ValueError as fault:
            raise FieldsRefused((Fault("", str(fault)),)) from fault
        return opening_answer(window, at=edge.service.clock())

    return edge.told(await run(edge.service.reckoners, preview), of=OpeningAnswer)


def _made(kept: KeptPartner, *, edge: Edge) -> Made:
    return Made(
        told=partner_answer(kept, at=edge.service.clock()),
        at=edge.address("partners", kept.partner.id),
        revision=kept.revision,
    )
