"""Open each route to the roles that it names, and to nobody else.

A route without roles is a mistake that stops the program from starting. Who asks is recognised,
and the size of what they send is checked, before anything of it is read.
"""

from collections.abc import Callable, Coroutine
from functools import partial
from http import HTTPStatus
from typing import Final

from fastapi import Request, Response
from fastapi.routing import APIRoute
from starlette.exceptions import HTTPException
from starlette.types import Message, Receive

from daysworth.api.problems import TooLarge
from daysworth.api.service import run, service_of
from daysworth.db.credentials import recognise
from daysworth.domain.entries import Credential, Role
from daysworth.domain.errors import AccessRefused, InputRefused, NotAllowed

ROLES: Final = "x-roles"
MOST_BYTES: Final = "x-most-bytes"
USUAL_BYTES: Final = 1024 * 1024
ANYONE: Final = "anyone"

Handler = Callable[[Request], Coroutine[object, object, Response]]


def roles(*allowed: Role, most_bytes: int = USUAL_BYTES) -> dict[str, object]:
    """Say, as part of a route, which roles it is open to and how large a body it takes."""
    return {ROLES: [str(role) for role in allowed], MOST_BYTES: most_bytes}


def open_to_anyone() -> dict[str, object]:
    """Say, as part of a route, that it is open to anyone, credential or not."""
    return {ROLES: [ANYONE], MOST_BYTES: USUAL_BYTES, "security": []}


class GuardedRoute(APIRoute):
    """A route that recognises who asks before it reads what they send."""

    def get_route_handler(self) -> Handler:
        """Put the guard before the route. Raises ValueError for a route that names no roles."""
        handle = super().get_route_handler()
        said = self.openapi_extra or {}
        if not said.get(ROLES):
            raise ValueError(f"{self.path} does not say whom it is open to")
        allowed, most_bytes = frozenset(said[ROLES]), int(said[MOST_BYTES])

        async def guarded(request: Request) -> Response:
            check_letters(request)
            check_size(request, most_bytes)
            if ANYONE not in allowed:
                request.state.reader = await _recognised(request, allowed)
            return await handle(Request(request.scope, counted_body(request.receive, most_bytes)))

        return guarded


def reader_of(request: Request) -> Credential:
    """Give who asks, as recognised by the route's guard."""
    reader = request.state.reader
    assert isinstance(reader, Credential)
    return reader


async def _recognised(request: Request, allowed: frozenset[str]) -> Credential:
    scheme, _, token = request.headers.get("Authorization", "").partition(" ")
    if scheme.lower() != "bearer" or not token:
        raise AccessRefused("send the credential you were given: Authorization: Bearer …")
    service = service_of(request)
    asked = partial(recognise, service.engine, token.strip(), at=service.clock())
    reader = await run(service.readers, asked)
    store = request.path_params.get("store", reader.store)
    household = request.path_params.get("household", reader.household)
    if store != reader.store:
        raise NotAllowed("this credential is for another store")
    if reader.role not in allowed:
        raise NotAllowed(f"a {reader.role}'s credential may not do this")
    if reader.role is Role.HOUSEHOLD and household != reader.household:
        raise NotAllowed("this credential is for another household")
    return reader


def check_size(request: Request, most_bytes: int) -> None:
    """Raise TooLarge where a request says that it is longer than fits."""
    said = request.headers.get("Content-Length", "0")
    if said.isdecimal() and int(said[:20]) > most_bytes:
        raise TooLarge(f"at most {most_bytes // 1024} kB fit here, and nothing was read")


def counted_body(receive: Receive, most_bytes: int) -> Receive:
    """Read no more of a body than fits, whatever its sender says of its length, or does not."""
    read_bytes = 0

    async def counted() -> Message:
        nonlocal read_bytes
        message = await receive()
        read_bytes += len(message.get("body", b""))
        if read_bytes > most_bytes:
            # The one exception that the framework lets through while it reads a body.
            raise HTTPException(HTTPStatus.REQUEST_ENTITY_TOO_LARGE)
        return message

    return counted


def check_letters(request: Request) -> None:
    """Refuse a NUL in an address: no name has one, and a database may choke on it."""
    asked = request.scope["path"] + "?" + request.scope["query_string"].decode("latin-1")
    if "\x00" in asked or "%00" in asked:
        raise InputRefused("an address has no NUL in it")
