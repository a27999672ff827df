"""Show a coordinator the week's notice, as it was posted or as it would be posted now."""

from functools import partial

from fastapi import Request, Response

from daysworth.answers.store_notices import CURRENT
from daysworth.api.service import plan
from daysworth.pages.desk import desk_for
from daysworth.pages.doors import Door, behind, pages_router
from daysworth.printing.notice import notice_subject
from daysworth.printing.notice_parts import sections

router = pages_router(under="/stores/{store}/notice")


@router.get("", openapi_extra=behind(Door.COORDINATOR))
async def notice_page(request: Request) -> Response:
    """Show this week's notice."""
    desk = await desk_for(request)
    ask = partial(desk.service.notices.notice, desk.store.id, CURRENT, at=desk.at)
    notice = await plan(desk.request, ask)
    return desk.show(
        "notice.html",
        notice=notice,
        subject=notice_subject(notice),
        sections=sections(notice, desk.words),
    )
