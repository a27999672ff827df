"""Let each page be opened by whom it is for: anyone, whoever has a link, or a coordinator.

A page that does not say is a mistake that stops the program from starting. Whatever is refused is
answered with a page, in words.
"""

import hashlib
import hmac
from collections.abc import Callable, Coroutine
from enum import StrEnum
from functools import partial
from http import HTTPStatus
from typing import Final
from urllib.parse import quote

from fastapi import APIRouter, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.routing import APIRoute
from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect

from daysworth.answers.faults_in_words import what_in_words, where_in_words
from daysworth.api.access import check_letters, check_size, counted_body
from daysworth.api.service import run, service_of
from daysworth.db.links import follow_link
from daysworth.db.sessions import recognise_session
from daysworth.domain.entries import Credential
from daysworth.domain.errors import AccessRefused, DaysworthError, InputRefused, NotAllowed
from daysworth.pages.frame import go_to
from daysworth.pages.refusals import page_about, refusal_page
from daysworth.wording.catalogue import LANGUAGE, catalogue

DOOR: Final = "x-door"
_LIMIT: Final = "x-most-bytes"
SESSION_COOKIE: Final = "daysworth_session"
FORM_COOKIE: Final = "daysworth_form"
FORM_FIELD: Final = "form"
MOST_BYTES: Final = 64 * 1024
MOST_LABEL_BYTES: Final = 512 * 1024
"""A label's text has 20,000 characters at most, and a form writes one of them in up to twelve."""
MOST_FIELDS: Final = 400

Handler = Callable[[Request], Coroutine[object, object, Response]]


class Door(StrEnum):
    """Whom a page is for."""

    ANYONE = "anyone"
    LINK = "link"
    COORDINATOR = "coordinator"


class FormRefused(InputRefused):
    """Say that a form was not sent from a page of ours, or from one that is too old."""


def pages_router(*, under: str = "") -> APIRouter:
    """Make a router for pages, each behind its door and none in the API's description."""
    return APIRouter(prefix=under, route_class=PageRoute, include_in_schema=False)


def behind(door: Door, *, most_bytes: int = MOST_BYTES) -> dict[str, object]:
    """Say, as part of a route, whom the page is for, and how long a form it takes."""
    return {DOOR: str(door), _LIMIT: most_bytes}


class PageRoute(APIRoute):
    """A page that recognises who opens it, reads what a form sent, and answers in pages alone."""

    def get_route_handler(self) -> Handler:
        """Put the door before the page. Raises ValueError for a page that names none."""
        handle = super().get_route_handler()
        if self.methods is not None and "GET" in self.methods:
            self.methods.add("HEAD")
        if DOOR not in (self.openapi_extra or {}):
            raise ValueError(f"{self.path} does not say whom it is for")
        door = Door(str((self.openapi_extra or {})[DOOR]))
        most_bytes = int(str((self.openapi_extra or {}).get(_LIMIT, MOST_BYTES)))

        async def opened(request: Request) -> Response:
            try:
                check_letters(request)
                check_size(request, most_bytes)
                receive = counted_body(request.receive, most_bytes)
                counted = Request(request.scope, receive)
                if door is not Door.ANYONE:
                    counted.state.reader = await _recognised(counted, door)
                if counted.method == "POST":
                    counted.state.form = await _form(counted, door)
                return await handle(counted)
            except DaysworthError as refused:
                return _answered(request, refused, door=door)
            except RequestValidationError as refused:
                return refusal_page(HTTPStatus.UNPROCESSABLE_ENTITY, _first_fault(refused))
            except ClientDisconnect:
                # Nobody is there any more to be told; nothing was changed.
                return refusal_page(HTTPStatus.BAD_REQUEST, "")
            except HTTPException as refused:
                return refusal_page(HTTPStatus(refused.status_code), "")

        return opened


def reader_of_page(request: Request) -> Credential:
    """Give who opened a page, as its door recognised them."""
    reader = request.state.reader
    assert isinstance(reader, Credential)
    return reader


def form_of(request: Request) -> FormData:
    """Give what a form sent."""
    form = request.state.form
    assert isinstance(form, FormData)
    return form


def form_proof(secret: str) -> str:
    """Give what a form carries to show that it came from a page made for this secret's holder."""
    return hmac.new(secret.encode(), b"daysworth form", hashlib.sha256).hexdigest()


def store_address(store: str, *parts: str) -> str:
    """Give the address of a store's page."""
    return "/".join(["/stores", *(quote(part, safe="") for part in (store, *parts))])


def here_of(request: Request) -> str:
    """Give the path of a page as it stands in addresses."""
    return quote(request.scope["path"], safe="/")


async def _recognised(request: Request, door: Door) -> Credential:
    service = service_of(request)
    if door is Door.LINK:
        secret = str(request.path_params["secret"])
        return await run(
            service.readers, partial(follow_link, service.engine, secret, at=service.clock())
        )
    secret = request.cookies.get(SESSION_COOKIE, "")
    if not secret:
        raise AccessRefused("sign in first")
    recognise = partial(recognise_session, service.engine, secret, at=service.clock())
    reader = await run(service.readers, recognise)
    if reader.store != request.path_params["store"]:
        raise NotAllowed("you are signed in to another store")
    return reader


async def _form(request: Request, door: Door) -> FormData:
    kind = request.headers.get("Content-Type", "")
    if not kind.startswith("application/x-www-form-urlencoded"):
        raise FormRefused("this page takes what its own form sends, and nothing else")
    # A page of somebody else's that sends a form here is told of by the browser.
    if request.headers.get("Sec-Fetch-Site", "same-origin") not in ("same-origin", "none"):
        raise FormRefused("this form came from another site: nothing was changed")
    form = await request.form(max_files=0, max_fields=MOST_FIELDS)
    if len(form.multi_items()) > len(form):
        raise FormRefused("a field came twice, as no form of ours sends it: nothing was changed")
    if door is Door.LINK:
        # The address itself is the secret: who does not know it can send no form to it.
        return form
    cookie = SESSION_COOKIE if door is Door.COORDINATOR else FORM_COOKIE
    secret = request.cookies.get(cookie, "")
    proof = str(form.get(FORM_FIELD, ""))
    if not secret or not hmac.compare_digest(form_proof(secret).encode(), proof.encode()):
        raise FormRefused("this page was open too long: go back, load it again, and send it again")
    return form


def _answered(request: Request, refused: DaysworthError, *, door: Door) -> Response:
    is_away = isinstance(refused, AccessRefused) and not isinstance(refused, NotAllowed)
    if door is Door.COORDINATOR and is_away:
        store = str(request.path_params["store"])
        then = ""
        if request.method == "GET":
            asked = request.scope["query_string"].decode("latin-1")
            then = here_of(request) + (f"?{asked}" if asked else "")
        query = f"?then={quote(then, safe='')}" if then else ""
        return go_to(store_address(store, "sign-in") + query)
    return page_about(refused)


def _first_fault(refused: RequestValidationError) -> str:
    fault = refused.errors()[0]
    where = where_in_words(fault["loc"][1:])
    what = what_in_words(fault, of="this page")
    return catalogue(LANGUAGE).say("fault-question", where=where.replace("_", " "), what=what)
