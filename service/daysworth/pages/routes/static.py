"""Give the style of the pages: the one file that they load."""

from functools import cache
from hashlib import sha256
from importlib.resources import files

from fastapi import Request, Response

from daysworth.pages.doors import Door, behind, pages_router
from daysworth.pages.frame import HEADERS

router = pages_router(under="/static")

STYLE = "daysworth.css"
_LASTS = "public, max-age=86400"


@router.get(f"/{STYLE}", openapi_extra=behind(Door.ANYONE))
async def style(request: Request) -> Response:
    """Give the style sheet, or 304 to a browser that has it."""
    text, tag = _style()
    headers = {**HEADERS, "Cache-Control": _LASTS, "ETag": tag}
    if tag in request.headers.get("If-None-Match", ""):
        return Response(status_code=304, headers=headers)
    return Response(text, media_type="text/css; charset=utf-8", headers=headers)


@cache
def _style() -> tuple[bytes, str]:
    text = (files("daysworth.pages") / "static" / STYLE).read_bytes()
    return text, f'"{sha256(text).hexdigest()[:16]}"'
