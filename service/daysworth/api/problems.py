"""Answer every error with a problem document (RFC 9457), from one table of what each class means.

`type` is a stable address under this API; `detail` is written for a volunteer. Health facts and
anything internal are never in one. A class that is not in the table has its parent's line.
"""

import json
import logging
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from http import HTTPStatus
from math import ceil, floor
from typing import Final

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.routing import APIRoute
from pydantic import BaseModel, Field
from starlette.exceptions import HTTPException
from starlette.responses import Response
from starlette.routing import BaseRoute

from daysworth.answers.faults_in_words import calm, what_in_words, where_in_words
from daysworth.domain import errors
from daysworth.domain.errors import DaysworthError, Fault, FieldsRefused

MEDIA_TYPE: Final = "application/problem+json"
TYPES: Final = "/v1/problems"
MOST_FAULTS: Final = 12
RETRY_AFTER_S: Final = 2

_log: Final = logging.getLogger(__name__)


class KeyMissing(DaysworthError):
    """Say that what makes something needs an Idempotency-Key."""


class RevisionMissing(DaysworthError):
    """Say that what changes something needs the revision that the asker saw."""


class TooLarge(DaysworthError):
    """Say that a request's body is larger than any that is meant for this address."""


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of problem: its status, the end of its address, and its title."""

    status: int
    slug: str
    title: str
    is_worth_asking_again: bool = True
    """Whether a status that says "not now" may be another before long."""


KINDS: Final[dict[type[DaysworthError], Kind]] = {
    errors.AccessRefused: Kind(401, "credential-refused", "This credential is not known here"),
    errors.NotAllowed: Kind(403, "not-allowed", "This credential may not do that"),
    errors.SignInsTooMany: Kind(429, "too-many-sign-ins", "Too many sign-ins failed"),
    errors.NotThere: Kind(404, "not-there", "There is no such thing in this store"),
    errors.StockRefused: Kind(409, "stock-does-not-allow", "The stock does not allow it"),
    errors.StoreOccupied: Kind(409, "store-occupied", "The store holds something already"),
    errors.StoreUnsound: Kind(409, "store-unsound", "No plan can be made of this store"),
    errors.StoreRefused: Kind(409, "store-does-not-allow", "The store does not allow it"),
    errors.NotAsItWas: Kind(412, "not-as-it-was", "It was changed since you looked"),
    TooLarge: Kind(413, "too-large", "That is larger than anything meant for this address"),
    errors.KeyUsed: Kind(422, "key-used", "This Idempotency-Key was used for another request"),
    errors.InputRefused: Kind(422, "cannot-be-used", "Something here cannot be used"),
    KeyMissing: Kind(400, "key-missing", "What makes something needs an Idempotency-Key"),
    RevisionMissing: Kind(428, "revision-missing", "What changes something needs If-Match"),
    errors.StoreBusy: Kind(503, "busy", "The store is busy"),
    errors.PlannersBusy: Kind(503, "planners-busy", "Many questions are being worked out"),
    errors.PlanningStopped: Kind(
        503, "plan-stopped", "The plan took too long", is_worth_asking_again=False
    ),
    errors.PlanningFailed: Kind(503, "not-planned", "No answer was proved"),
    errors.SchemaBehind: Kind(503, "not-migrated", "The database waits for its migration"),
}

_NOT_HERE: Final = Kind(404, "no-such-address", "There is nothing at this address")
_RETRY_AFTER: Final = {
    "description": "Seconds; where asking again may help.",
    "schema": {"type": "integer", "minimum": 1},
}
_OTHER: Final = {
    400: Kind(400, "not-readable", "The request cannot be read"),
    404: _NOT_HERE,
    405: Kind(405, "no-such-method", "This address does not take that method"),
    413: KINDS[TooLarge],
    500: Kind(500, "our-fault", "Something went wrong here, and it is not your fault"),
}
ALL_KINDS: Final = {kind.slug: kind for kind in (*KINDS.values(), *_OTHER.values())}


class FaultOut(BaseModel):
    """One thing wrong: where it stands, as a person counts, and what it should be."""

    where: str = Field(examples=["lines number 2 > units"])
    what: str = Field(examples=["must be 1 or more"])


class ProblemOut(BaseModel):
    """A problem document (RFC 9457). Nothing was changed."""

    type: str = Field(examples=[f"{TYPES}/cannot-be-used"])
    title: str
    status: int = Field(examples=[422])
    detail: str
    faults: list[FaultOut] = Field(description="Each thing wrong; empty where the detail says all.")


class StoppedOut(ProblemOut):
    """The problem of a plan that was stopped at its limit, with what was proved until then."""

    everyone_fed_days_at_least: float | None = Field(
        description="Everyone can be fed for at least these days; null where nothing is proved."
    )
    everyone_fed_days_at_most: float | None = Field(
        description="Everyone can be fed for at most these days; null where nothing is proved."
    )


PLANNED: Final = (errors.PlanningFailed, errors.PlanningStopped, errors.PlannersBusy)
"""What may keep a question about days from being answered."""


def kind_of(error: type[DaysworthError]) -> Kind:
    """Give the table's line for a class, its own or its nearest parent's."""
    for parent in error.__mro__:
        if issubclass(parent, DaysworthError) and parent in KINDS:
            return KINDS[parent]
    return _OTHER[500]


def problems(*classes: type[DaysworthError]) -> dict[int | str, dict[str, object]]:
    """Document the problems of an operation, beside those that every operation has."""
    always: tuple[type[DaysworthError], ...] = (
        errors.AccessRefused,
        errors.NotAllowed,
        errors.NotThere,
        errors.InputRefused,
        errors.StoreBusy,
    )
    every = [kind_of(one) for one in (*always, *classes)]
    found: dict[int | str, dict[str, object]] = {}
    for kind in (*every, _OTHER[400], _OTHER[413]):
        found[kind.status] = {"description": kind.title, "model": ProblemOut}
    if errors.PlanningStopped in classes:
        found[HTTPStatus.SERVICE_UNAVAILABLE.value] = {
            "description": "Busy, or the plan took too long: then with what was proved",
            "model": StoppedOut | ProblemOut,
            "headers": {"Retry-After": _RETRY_AFTER},
        }
    return found


def problem(
    kind: Kind,
    detail: str,
    *,
    faults: Sequence[Fault] = (),
    about: DaysworthError | None = None,
) -> Response:
    """Write a problem document; `about` is the error, where it tells more than words."""
    shown = [FaultOut(where=calm(one.where), what=calm(one.what)) for one in faults[:MOST_FAULTS]]
    if len(faults) > MOST_FAULTS:
        shown.append(FaultOut(where="", what=f"and {len(faults) - MOST_FAULTS} more"))
    written = ProblemOut(
        type=f"{TYPES}/{kind.slug}",
        title=kind.title,
        status=kind.status,
        detail=calm(detail, most_characters=600),
        faults=shown,
    )
    headers = {"Cache-Control": "no-store"}
    if kind.status == HTTPStatus.UNAUTHORIZED:
        headers["WWW-Authenticate"] = 'Bearer realm="daysworth"'
    if kind.status == HTTPStatus.SERVICE_UNAVAILABLE and kind.is_worth_asking_again:
        headers["Retry-After"] = str(retry_after_s(about, usual_s=RETRY_AFTER_S))
    if isinstance(about, errors.PlanningStopped):
        written = _with_proved(written, about)
    return Response(
        json.dumps(written.model_dump(), ensure_ascii=False),
        status_code=kind.status,
        media_type=MEDIA_TYPE,
        headers=headers,
    )


def retry_after_s(error: DaysworthError | None, *, usual_s: int) -> int:
    """Give in how many seconds to ask again, where an error does not know better the usual."""
    return error.retry_after_s if isinstance(error, errors.PlannersBusy) else usual_s


def _with_proved(written: ProblemOut, stopped: errors.PlanningStopped) -> StoppedOut:
    """Add what was proved, to a millionth of a day; no rounding makes a bound say more."""
    least, most = stopped.at_least, stopped.at_most
    return StoppedOut(
        **written.model_dump(),
        everyone_fed_days_at_least=None if least is None else floor(least * 1e6) / 1e6,
        everyone_fed_days_at_most=None if most is None else ceil(most * 1e6) / 1e6,
    )


def answer_errors(app: FastAPI) -> None:
    """Have an application answer every error, foreseen or not, with a problem document."""
    app.add_exception_handler(DaysworthError, _refused)
    app.add_exception_handler(RequestValidationError, _invalid)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(Exception, _unforeseen)


async def _refused(_request: Request, error: Exception) -> Response:
    assert isinstance(error, DaysworthError)
    faults = error.faults if isinstance(error, FieldsRefused) else ()
    detail = "nothing was changed" if faults else str(error)
    return problem(kind_of(type(error)), _sentence(detail), faults=faults, about=error)


async def _invalid(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    faults = [
        Fault("" if one["type"] == "json_invalid" else where_in_words(one["loc"][1:]), _what(one))
        for one in error.errors()
    ]
    kind = request.headers.get("Content-Type", "")
    if "json" not in kind and request.method in ("POST", "PUT"):
        faults = [Fault("Content-Type", "must be application/json, with one JSON object in it")]
    return problem(KINDS[errors.InputRefused], "Nothing was changed.", faults=faults)


def _what(one: dict[str, object]) -> str:
    return what_in_words(one, of="this request")  # type: ignore[arg-type]


async def _http(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    kind = _OTHER.get(error.status_code, _OTHER[400])
    answer = problem(kind, _HINTS.get(kind.status, f"{kind.title}."))
    if kind.status == HTTPStatus.METHOD_NOT_ALLOWED:
        answer.headers["Allow"] = ", ".join(methods_at(request))
    return answer


_HINTS: Final = {400: "Send one JSON document, in UTF-8, that is not nested deeply."}


def methods_at(request: Request) -> list[str]:
    """Give every method that an address takes; the framework knows the first route's alone."""
    path = request.scope["path"]
    fitting = [one for one in _each(request.app.routes) if one.path_regex.fullmatch(path)]
    return sorted({method for one in fitting for method in one.methods or ()})


def _each(routes: Iterable[BaseRoute]) -> Iterator[APIRoute]:
    """Give every route, also those of routers that the framework keeps whole."""
    for route in routes:
        inside = getattr(route, "original_router", None)
        if inside is not None:
            yield from _each(inside.routes)
        elif isinstance(route, APIRoute):
            yield route


async def _unforeseen(request: Request, error: Exception) -> Response:
    # The log has the place, and no request's words: they may tell of a person.
    _log.error("unforeseen at %s", place_of(request), exc_info=error)
    return problem(_OTHER[500], "It was noted. Nothing was changed that you were not told of.")


def place_of(request: Request) -> str:
    """Name the route of a request for the log: an address may have a secret in it."""
    return str(getattr(request.scope.get("route"), "path", "no route"))


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if text.endswith(".") else ".")
