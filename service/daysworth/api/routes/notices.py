"""Weekly notices: read, and posted once to each channel."""

from functools import partial
from typing import Annotated

from fastapi import Path, Response
from pydantic import TypeAdapter

from daysworth.api.access import roles
from daysworth.api.edge import JSON, PRIVATE, AtEdge
from daysworth.api.problems import PLANNED, problems
from daysworth.api.routes import store_router
from daysworth.api.schemas.notices import (
    CHANNEL_PATTERN,
    NoticeOut,
    OutcomeIn,
    PostingIn,
    PostingOut,
    notice_out,
    posting_out,
)
from daysworth.api.service import run
from daysworth.db.notices import PostingState, begin_posting, end_posting
from daysworth.db.transactions import write_beside
from daysworth.domain.entries import Role
from daysworth.domain.errors import NotAsItWas, StoreUnsound
from daysworth.domain.iso_weeks import Week

router = store_router(under="/notices/{week}")

WeekPath = Annotated[
    str, Path(max_length=8, examples=["2026-W48"], description="An ISO 8601 week, or `current`.")
]
ChannelPath = Annotated[
    str,
    Path(
        pattern=CHANNEL_PATTERN,
        description="The SHA-256 of the channel, in hexadecimal: its address stays with whoever"
        " posts.",
        examples=["0" * 64],
    ),
]


@router.get(
    "",
    response_model=NoticeOut,
    responses=problems(*PLANNED, StoreUnsound),
    openapi_extra=roles(Role.COORDINATOR, Role.SCRIPT),
)
async def read_one_notice(week: WeekPath, edge: AtEdge) -> Response:
    """Read a week's notice: as it was first posted, or for the current week as it would be now."""
    service = edge.service
    asked = partial(service.notices.notice, edge.store, week, at=service.clock())
    told = notice_out(await edge.plan(asked))
    body = TypeAdapter(NoticeOut).dump_json(told)
    return Response(body, media_type=JSON, headers={"Cache-Control": PRIVATE})


@router.put(
    "/postings/{channel}",
    response_model=PostingOut,
    responses=problems(*PLANNED, StoreUnsound),
    openapi_extra=roles(Role.COORDINATOR, Role.SCRIPT),
)
async def begin_one_posting(
    week: WeekPath, channel: ChannelPath, *, asked: PostingIn, edge: AtEdge
) -> Response:
    """Begin to post a week's notice to a channel, unless it was posted or another is at it.

    The first posting in a week keeps the notice as it is: every channel gets the same.
    """
    service = edge.service
    notice = await edge.plan(partial(service.notices.keeping, edge.store, week, at=service.clock()))
    begin = partial(
        begin_posting,
        store=edge.store,
        week=Week.read(notice.week),
        channel=channel,
        label=asked.label,
        at=service.clock(),
    )
    written = partial(write_beside, service.engine, begin, store=edge.store)
    posting = await run(service.writers, written)
    began = notice if posting.state is PostingState.BEGUN else None
    return await edge.show(posting_out(posting, week=notice.week, channel=channel, notice=began))


@router.put(
    "/postings/{channel}/outcome",
    response_model=PostingOut,
    responses=problems(NotAsItWas),
    openapi_extra=roles(Role.COORDINATOR, Role.SCRIPT),
)
async def report_one_posting(
    week: WeekPath, channel: ChannelPath, *, asked: OutcomeIn, edge: AtEdge
) -> Response:
    """Report that a posting was done, or undone so that it can be begun again."""
    service = edge.service
    end = partial(
        end_posting,
        store=edge.store,
        week=Week.read(week),
        channel=channel,
        claim=asked.claim,
        is_posted=asked.is_posted,
        at=service.clock(),
    )
    ended = partial(write_beside, service.engine, end, store=edge.store)
    posting = await run(service.writers, ended)
    return await edge.show(posting_out(posting, week=week, channel=channel))
