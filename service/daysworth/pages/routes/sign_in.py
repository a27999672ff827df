"""Sign in to a store and out again; and the way in from the front."""

from functools import partial
from http import HTTPStatus
from typing import Final
from urllib.parse import unquote, urlsplit

from fastapi import Request, Response

from daysworth.api.service import Service, run, service_of
from daysworth.db.coordinators import Found, SignIn, find_coordinator, fits, note_miss
from daysworth.db.secret_hashes import new_secret
from daysworth.db.sessions import LASTS, begin_session, end_session
from daysworth.db.stores import read_store
from daysworth.db.transactions import Reading, read, write_beside
from daysworth.domain.entries import Credential
from daysworth.domain.errors import NotThere, SignInsTooMany
from daysworth.domain.identifiers import StoreId, is_addressable, is_plain
from daysworth.pages.doors import (
    FORM_COOKIE,
    SESSION_COOKIE,
    Door,
    behind,
    form_of,
    form_proof,
    pages_router,
    reader_of_page,
    store_address,
)
from daysworth.pages.frame import go_to, page
from daysworth.pages.refusals import WAIT_AFTER_MISSES_S
from daysworth.wording.catalogue import LANGUAGE, catalogue

router = pages_router()

_FORM_LASTS_S: Final = 3_600


@router.get("/", openapi_extra=behind(Door.ANYONE))
async def front(request: Request) -> Response:
    """Ask for the store, and lead to its sign-in."""
    store = request.query_params.get("store", "").strip()
    if _is_store(store):
        return go_to(store_address(store, "sign-in"))
    return page("front.html", catalogue(LANGUAGE), store=store[:64])


@router.get("/stores/{store}/sign-in", openapi_extra=behind(Door.ANYONE))
async def sign_in_form(request: Request, store: str) -> Response:
    """Show the form by which a coordinator signs in."""
    _check_store(store)
    then = request.query_params.get("then", "")
    return _form_page(request, store, then=then)


@router.post("/stores/{store}/sign-in", openapi_extra=behind(Door.ANYONE))
async def sign_in(request: Request, store: str) -> Response:
    """Sign a coordinator in, or say that name and password do not belong together."""
    _check_store(store)
    form = form_of(request)
    then = str(form.get("then", ""))
    asked = SignIn(
        store=StoreId(store),
        name=str(form.get("name", ""))[:400],
        password=str(form.get("password", ""))[:400],
        address="" if request.client is None else request.client.host,
    )
    service = service_of(request)
    try:
        # In few threads, each attempt whole: a flood of them guesses no faster, in no more room.
        who = await run(service.hashers, partial(_attempt, service, asked))
    except SignInsTooMany:
        return _form_page(
            request, store, then=then, name=asked.name, problem="sign-in-too-many", status=429
        )
    if who is None:
        return _form_page(
            request, store, then=then, name=asked.name, problem="sign-in-refused", status=401
        )
    before = request.cookies.get(SESSION_COOKIE, "")
    begin = partial(begin_session, who=who, instead_of=before, at=service.clock())
    written = partial(write_beside, service.engine, begin, store=who.store)
    secret = await run(service.writers, written)
    answer = go_to(_onward(store, then))
    _set_cookie(
        request, answer, name=SESSION_COOKIE, value=secret, lasts_s=int(LASTS.total_seconds())
    )
    return answer


@router.post("/stores/{store}/sign-out", openapi_extra=behind(Door.COORDINATOR))
async def sign_out(request: Request, store: str) -> Response:
    """Sign a coordinator out: the session is over, whoever has its cookie."""
    service = service_of(request)
    secret = request.cookies.get(SESSION_COOKIE, "")
    reader = reader_of_page(request)
    end = partial(end_session, secret=secret, store=reader.store, at=service.clock())
    await run(service.writers, partial(write_beside, service.engine, end, store=reader.store))
    answer = go_to(store_address(store, "sign-in"))
    answer.delete_cookie(SESSION_COOKIE, path="/")
    return answer


def _attempt(service: Service, asked: SignIn) -> Credential | None:
    """Tell who signs in, None for nobody. Raises SignInsTooMany."""
    if not is_plain(asked.name):
        return None

    def find(reading: Reading) -> Found:
        read_store(reading)
        return find_coordinator(reading.connection, asked, at=service.clock())

    try:
        found = read(service.engine, find, store=asked.store)
    except NotThere:
        # Which stores there are is no secret; a hash for one that is not keeps others waiting.
        return None
    if fits(found, asked.password):
        return found.who
    note = partial(note_miss, asked=asked, at=service.clock())
    write_beside(service.engine, note, store=asked.store)
    return None


def _form_page(
    request: Request,
    store: str,
    *,
    then: str,
    name: str = "",
    problem: str = "",
    status: int = HTTPStatus.OK,
) -> Response:
    secret = request.cookies.get(FORM_COOKIE, "") or new_secret()
    words = catalogue(LANGUAGE)
    answer = page(
        "sign_in.html",
        words,
        status=status,
        headers={"Retry-After": str(WAIT_AFTER_MISSES_S)} if status == 429 else {},
        store=store,
        action=store_address(store, "sign-in"),
        proof=form_proof(secret),
        then=then if then == _onward(store, then) else "",
        name=name,
        problem=words.say(problem) if problem else "",
    )
    _set_cookie(request, answer, name=FORM_COOKIE, value=secret, lasts_s=_FORM_LASTS_S)
    return answer


def _onward(store: str, then: str) -> str:
    """Give the page to go on to: one of this store's, and nowhere else."""
    is_plain_text = then.isascii() and then.isprintable() and then.startswith("/")
    parts = urlsplit(then if is_plain_text else "")
    inside = not parts.scheme and not parts.netloc and "\\" not in unquote(then)
    if inside and parts.path.startswith(store_address(store) + "/"):
        steps = unquote(parts.path).split("/")[1:]
        if not {"", ".", ".."}.intersection(steps):
            return parts.path + (f"?{parts.query}" if parts.query else "")
    return store_address(store, "summary")


def _is_store(store: str) -> bool:
    return 1 <= len(store) <= 64 and is_addressable(store)


def _check_store(store: str) -> None:
    if not _is_store(store):
        raise NotThere("there is no store of that name")


def _set_cookie(request: Request, answer: Response, *, name: str, value: str, lasts_s: int) -> None:
    answer.set_cookie(
        name,
        value,
        max_age=lasts_s,
        path="/",
        httponly=True,
        samesite="lax",
        # A laptop in a closet serves plain HTTP; behind a proxy with TLS the cookie keeps to it.
        secure=request.url.scheme == "https",
    )
