"""Answer what is refused with a page in plain words, never with anything internal."""

from collections.abc import Awaitable, Callable
from http import HTTPStatus
from inspect import isawaitable
from typing import Final

from fastapi import FastAPI, Request
from starlette.exceptions import HTTPException
from starlette.responses import Response

from daysworth.answers.faults_in_words import calm
from daysworth.api.problems import kind_of, methods_at, retry_after_s
from daysworth.domain.errors import DaysworthError, PlanningStopped
from daysworth.pages.frame import page
from daysworth.wording.catalogue import LANGUAGE, catalogue

Handler = Callable[[Request, Exception], Response | Awaitable[Response]]

RETRY_AFTER_S: Final = 5
WAIT_AFTER_MISSES_S: Final = 900

_KNOWN: Final = frozenset({400, 401, 403, 404, 405, 409, 412, 413, 422, 429, 500, 503})
_RETRY: Final = {503: RETRY_AFTER_S, 429: WAIT_AFTER_MISSES_S}


def answer_page_errors(app: FastAPI) -> None:
    """Have an application answer with a page where a browser asks for one that is not there."""
    handlers = {kind: app.exception_handlers[kind] for kind in (HTTPException, Exception)}

    async def http(request: Request, error: Exception) -> Response:
        assert isinstance(error, HTTPException)
        if _wants_page(request):
            answer = refusal_page(HTTPStatus(error.status_code), "")
            if error.status_code == HTTPStatus.METHOD_NOT_ALLOWED:
                answer.headers["Allow"] = ", ".join(methods_at(request))
            return answer
        return await _asked(handlers[HTTPException], request, error=error)

    async def unforeseen(request: Request, error: Exception) -> Response:
        # The API's handler writes it to the log.
        answer = await _asked(handlers[Exception], request, error=error)
        if _wants_page(request):
            return refusal_page(HTTPStatus.INTERNAL_SERVER_ERROR, "")
        return answer

    app.add_exception_handler(HTTPException, http)
    app.add_exception_handler(Exception, unforeseen)


def _wants_page(request: Request) -> bool:
    return not request.scope["path"].startswith("/v1") and "text/html" in request.headers.get(
        "Accept", ""
    )


async def _asked(handler: Handler, request: Request, *, error: Exception) -> Response:
    answer = handler(request, error)
    return await answer if isawaitable(answer) else answer


def page_about(refused: DaysworthError) -> Response:
    """Say with a page what an error says."""
    return refusal_page(HTTPStatus(kind_of(type(refused)).status), str(refused), about=refused)


def refusal_page(
    status: HTTPStatus, detail: str, *, about: DaysworthError | None = None
) -> Response:
    """Say that something was refused, and why; `detail` is in words, or empty."""
    words = catalogue(LANGUAGE)
    known = status if status in _KNOWN else HTTPStatus.BAD_REQUEST
    said = calm(detail, most_characters=600)
    sentence = said[:1].upper() + said[1:]
    is_stopped = isinstance(about, PlanningStopped)
    headers = {}
    if known in _RETRY and not is_stopped:
        headers["Retry-After"] = str(retry_after_s(about, usual_s=_RETRY[known]))
    return page(
        "refused.html",
        words,
        status=known,
        headers=headers,
        title=words.say("refused-stopped" if is_stopped else f"refused-{int(known)}"),
        is_unforeseen=known == HTTPStatus.INTERNAL_SERVER_ERROR,
        detail=sentence + ("." if sentence and not sentence.endswith(".") else ""),
    )
