"""Render pages: one frame around all of them, every sentence from the catalogue, and no script.

The content policy lets a page load its own style and pictures and nothing else; nothing may frame
it, and its forms go nowhere but here.
"""

from collections.abc import Mapping
from functools import cache
from typing import Final

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.responses import Response

from daysworth.pages.evidence_shown import told_once
from daysworth.pages.harmless import harmless
from daysworth.wording.catalogue import Catalogue

POLICY: Final = (
    "default-src 'none'; style-src 'self'; img-src 'self' data:; form-action 'self'; "
    "frame-ancestors 'none'; base-uri 'none'"
)
HEADERS: Final = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    # The address of a logging page is a secret; without an origin its own forms would be refused.
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
    "Cache-Control": "no-store",
    "X-Robots-Tag": "noindex, nofollow",
}


def page(
    template: str,
    words: Catalogue,
    *,
    status: int = 200,
    headers: Mapping[str, str] | None = None,
    **values: object,
) -> Response:
    """Render a page in the words of a catalogue."""
    written = _templates().get_template(template).render(words=words, say=words.say, **values)
    return Response(
        written,
        status_code=status,
        media_type="text/html; charset=utf-8",
        headers={**HEADERS, **(headers or {})},
    )


def go_to(address: str) -> Response:
    """Send a browser on to another page, which it then gets (303)."""
    return Response(status_code=303, headers={**HEADERS, "Location": address})


@cache
def _templates() -> Environment:
    templates = Environment(
        loader=PackageLoader("daysworth.pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    templates.filters["harmless"] = harmless
    templates.filters["told_once"] = told_once
    return templates
