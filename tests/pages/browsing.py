"""Use the pages as a person with a browser does: read a form, fill it in, press its button.

There is no browser and no socket: pages are read with the standard library, and a form sends what
a browser would send of it. Cookies are kept from one page to the next, and redirects followed.
"""

import asyncio
from collections.abc import Awaitable, Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import timedelta
from functools import partial
from html.parser import HTMLParser
from typing import Final, TypeVar
from urllib.parse import urlencode, urljoin, urlsplit

import httpx
from fastapi import FastAPI
from sqlalchemy import Engine

from daysworth.api.service import Service
from daysworth.db.links import LinkAsked, make_link
from daysworth.db.transactions import write_beside
from daysworth.domain.identifiers import PlaceId
from tests.api.clients import Clock
from tests.grounds import NOON, SHELF, STORE_ID, someone

ORIGIN: Final = "http://store.test"
URLENCODED: Final = "application/x-www-form-urlencoded"

_EMPTY: Final = frozenset({"meta", "link", "input", "img", "br", "hr", "option"})
"""Elements without an end. A list of names has options without one; an option's own words, where it
has them, are read as its list's."""
_MOST_REDIRECTS: Final = 5

Result = TypeVar("Result")

Fields = list[tuple[str, str]]
"""What a form sends: names and values, in the order of the page."""


@dataclass(slots=True)
class Element:
    """One element of a page: its tag, its attributes (`marks`) and what is inside it."""

    tag: str
    marks: dict[str, str]
    inside: list["Element | str"] = field(default_factory=list)

    def each(self, *tags: str, **marks: str) -> Iterator["Element"]:
        """Give every element inside, of these tags and with these attributes, in order."""
        for one in self.inside:
            if isinstance(one, str):
                continue
            fits = not tags or one.tag in tags
            if fits and all(one.marks.get(name) == value for name, value in marks.items()):
                yield one
            yield from one.each(*tags, **marks)

    def the(self, *tags: str, **marks: str) -> "Element":
        """Give the one element of that kind; there must be just one."""
        (found,) = self.each(*tags, **marks)
        return found

    @property
    def text(self) -> str:
        """Give the text inside, with single spaces."""
        return " ".join("".join(self._texts()).split())

    def _texts(self) -> Iterator[str]:
        for one in self.inside:
            if isinstance(one, str):
                yield one
            else:
                yield from one._texts()


class _Reader(HTMLParser):
    """Build the tree of a page; an end without its start, or a start without its end, is wrong."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = Element("page", {})
        self._open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attrs]
        assert len(names) == len(set(names)), f"an attribute stands twice: <{tag} {names}>"
        element = Element(tag, {name: value or "" for name, value in attrs})
        self._open[-1].inside.append(element)
        if tag not in _EMPTY:
            self._open.append(element)

    def handle_endtag(self, tag: str) -> None:
        if tag in _EMPTY:
            return
        ended = self._open.pop()
        assert ended.tag == tag, f"<{ended.tag}> ends as </{tag}>"

    def handle_data(self, data: str) -> None:
        self._open[-1].inside.append(data)

    def close(self) -> None:
        super().close()
        assert self._open == [self.root], f"<{self._open[-1].tag}> has no end"


def read_html(html: str) -> Element:
    """Read a page into its elements. Fails for one whose elements do not nest."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return reader.root


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """A form as it stands on a page; filling it in gives another one."""

    browser: "Browser" = field(repr=False)
    element: Element = field(repr=False)
    method: str
    address: str
    fields: Fields

    def __getitem__(self, name: str) -> str:
        """Give the value a field would send. Raises KeyError for one that would send nothing."""
        found = [value for sent, value in self.fields if sent == name]
        if not found:
            raise KeyError(name)
        return found[0]

    def filled(self, **values: str | bool) -> "Form":
        """Type into fields, choose, or tick (True) and untick (False); each must be there."""
        fields = self.fields
        for name, value in values.items():
            controls = [one for one in _controls(self.element) if one.marks.get("name") == name]
            assert controls, f"there is no field {name!r} to fill in"
            kinds = {control.marks.get("type", control.tag) for control in controls}
            assert "hidden" not in kinds, f"nobody can type into the hidden field {name!r}"
            fields = _with(fields, name, value=_as_sent(controls, value))
        return replace(self, fields=_in_order(self.element, fields))

    def forged(self, **values: str | None) -> "Form":
        """Send any value in any field, hidden or not there at all; None leaves the field out."""
        fields = self.fields
        for name, value in values.items():
            fields = _with(fields, name, value=value)
        return replace(self, fields=fields)

    def submit(self, *, headers: Mapping[str, str] | None = None) -> "Page":
        """Press the form's button, and give the page that it leads to."""
        return self.browser.run(lambda client: self._sent(client, headers or {}))

    def _sent(self, client: httpx.AsyncClient, headers: Mapping[str, str]) -> Awaitable["Page"]:
        query = urlencode(self.fields)
        if self.method == "GET":
            return self.browser.ask(
                client, "GET", address=f"{self.address}?{query}", headers=headers
            )
        sent = {"Content-Type": URLENCODED, "Sec-Fetch-Site": "same-origin", **headers}
        return self.browser.ask(
            client, "POST", address=self.address, headers=sent, content=query.encode("ascii")
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """An answer as a browser shows it, after redirects."""

    browser: "Browser" = field(repr=False)
    answer: httpx.Response
    root: Element = field(repr=False)

    @property
    def status(self) -> int:
        """Give the status of the answer."""
        return self.answer.status_code

    @property
    def html(self) -> str:
        """Give the page as it was sent."""
        return self.answer.text

    @property
    def headers(self) -> httpx.Headers:
        """Give the headers of the answer."""
        return self.answer.headers

    @property
    def address(self) -> str:
        """Give the path and the query at which the page stands."""
        return self.answer.request.url.raw_path.decode("ascii")

    @property
    def text(self) -> str:
        """Give everything the page says, with single spaces."""
        return self.root.text

    @property
    def forms(self) -> list[Form]:
        """Give the forms of the page, in order."""
        return [self._form(element) for element in self.root.each("form")]

    def form(self, name: str) -> Form:
        """Give the one form with that id, or whose action ends so."""
        found = [one for one in self.forms if one.element.marks.get("id") == name]
        found = found or [one for one in self.forms if one.address.endswith(name)]
        assert len(found) == 1, f"{len(found)} forms are called {name!r}: {self.text}"
        return found[0]

    def link(self, text: str) -> str:
        """Give where the first link leads whose words contain these."""
        found = next(one for one in self.root.each("a") if text in one.text)
        return self._whole(found.marks["href"])

    def by_id(self, id_: str) -> Element:
        """Give the one element with an id."""
        return self.root.the(id=id_)

    def _form(self, element: Element) -> Form:
        return Form(
            browser=self.browser,
            element=element,
            method=element.marks.get("method", "get").upper(),
            address=self._whole(element.marks.get("action", self.address)),
            fields=[pair for control in _controls(element) for pair in _sent_by(control)],
        )

    def _whole(self, address: str) -> str:
        parts = urlsplit(urljoin(self.address, address))
        return parts.path + (f"?{parts.query}" if parts.query else "")


class Browser:
    """One person's browser: its cookies, and where it stands.

    `address` is that of the machine it runs on, `origin` the scheme and name it opens.
    """

    def __init__(self, app: FastAPI, *, origin: str = ORIGIN, address: str = "127.0.0.1") -> None:
        self.cookies = httpx.Cookies()
        self._app = app
        self._origin = origin
        self._address = address

    def open(self, address: str, *, headers: Mapping[str, str] | None = None) -> Page:
        """Open an address of the service, and follow where it leads."""
        return self.send("GET", address, headers=headers)

    def send(
        self,
        method: str,
        address: str,
        *,
        content: bytes = b"",
        headers: Mapping[str, str] | None = None,
        is_followed: bool = True,
    ) -> Page:
        """Send anything at all; what is not said is not sent along, but for the cookies."""
        return self.run(
            lambda client: self.ask(
                client,
                method,
                address=address,
                headers=headers or {},
                content=content,
                is_followed=is_followed,
            )
        )

    def submit_together(self, forms: list[Form]) -> list[Page]:
        """Press the buttons of several forms at the same moment; the pages come in their order."""

        async def all_of(client: httpx.AsyncClient) -> list[Page]:
            return await asyncio.gather(*(form._sent(client, {}) for form in forms))

        return self.run(all_of)

    def run(self, work: Callable[[httpx.AsyncClient], Awaitable[Result]]) -> Result:
        """Do one thing with the service, and keep the cookies that it set."""
        return asyncio.run(self._with_client(work))

    async def ask(
        self,
        client: httpx.AsyncClient,
        method: str,
        *,
        address: str,
        headers: Mapping[str, str],
        content: bytes = b"",
        is_followed: bool = True,
    ) -> Page:
        """Send one request and follow its redirects by GET, as a browser follows a 303."""
        accept = {"Accept": "text/html,application/xhtml+xml,*/*;q=0.8"}
        answer = await client.request(
            method, address, headers={**accept, **headers}, content=content
        )
        for _ in range(_MOST_REDIRECTS if is_followed else 0):
            if answer.status_code != httpx.codes.SEE_OTHER:
                break
            answer = await client.get(answer.headers["Location"], headers=accept)
        return Page(browser=self, answer=answer, root=_root(answer))

    async def _with_client(self, work: Callable[[httpx.AsyncClient], Awaitable[Result]]) -> Result:
        transport = httpx.ASGITransport(
            self._app, raise_app_exceptions=False, client=(self._address, 50_000)
        )
        async with httpx.AsyncClient(
            transport=transport, base_url=self._origin, cookies=self.cookies
        ) as client:
            done = await work(client)
            self.cookies = client.cookies
            return done


def _root(answer: httpx.Response) -> Element:
    is_page = answer.headers.get("Content-Type", "").startswith("text/html")
    return read_html(answer.text if is_page else "")


def _controls(form: Element) -> list[Element]:
    return [one for one in form.each("input", "select", "textarea") if "name" in one.marks]


def _sent_by(control: Element) -> Fields:
    """Give what a control sends: nothing where it is not ticked."""
    name = control.marks["name"]
    if control.tag == "select":
        options = list(control.each("option"))
        chosen = [one for one in options if "selected" in one.marks] or options[:1]
        return [(name, one.marks["value"]) for one in chosen]
    if control.tag == "textarea":
        return [(name, control.text)]
    kind = control.marks.get("type", "text")
    if kind in ("radio", "checkbox") and "checked" not in control.marks:
        return []
    if kind in ("submit", "button", "image", "reset"):
        return []
    return [(name, control.marks.get("value", "on" if kind == "checkbox" else ""))]


def _as_sent(controls: list[Element], value: str | bool) -> str | None:
    """Turn what a person does to a field into what it sends, None for nothing."""
    first = controls[0]
    kind = first.marks.get("type", first.tag)
    if isinstance(value, bool):
        assert kind == "checkbox", f"{first.marks['name']!r} is not for ticking"
        return first.marks.get("value", "on") if value else None
    offered = [one.marks.get("value", "on") for one in controls]
    if first.tag == "select":
        offered = [one.marks["value"] for one in first.each("option")]
    if kind in ("radio", "checkbox", "select"):
        assert value in offered, f"{value!r} is not among {offered}"
    return value


def _with(fields: Fields, name: str, *, value: str | None) -> Fields:
    """Put one value into a field, where it stood or at the end; None takes it out."""
    others = [pair for pair in fields if pair[0] != name]
    if value is None:
        return others
    places = [number for number, pair in enumerate(fields) if pair[0] == name]
    where = places[0] if places else len(others)
    return [*others[:where], (name, value), *others[where:]]


def _in_order(form: Element, fields: Fields) -> Fields:
    names = [control.marks["name"] for control in _controls(form)]
    known = {name: names.index(name) for name in names}
    return sorted(fields, key=lambda pair: known.get(pair[0], len(names)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """One running service: its application, its database, and a clock that stands still."""

    app: FastAPI
    service: Service
    engine: Engine
    clock: Clock

    def browser(self, *, origin: str = ORIGIN, address: str = "127.0.0.1") -> Browser:
        """Give somebody's browser, without a cookie."""
        return Browser(self.app, origin=origin, address=address)

    def new_link(
        self, *, place: PlaceId = SHELF, label: str = "Wednesday table", days: int = 30
    ) -> str:
        """Make a link that opens for some days from noon, and give the address of its page."""
        expires_at = NOON + timedelta(days=days)
        asked = LinkAsked(store=STORE_ID, place=place, label=label, expires_at=expires_at)
        made = partial(make_link, asked=asked, by=someone(), at=NOON)
        return f"/log/{write_beside(self.engine, made, store=STORE_ID)}"

    def log(self, address: str, **typed: str | bool) -> Page:
        """Open a logging page, fill in a box of salmon but for what is told, and press Save."""
        box = {"what": "Pink salmon, tinned", "units": "12", "kind": "best_by", "date": "2029-04"}
        return self.browser().open(address).form("box").filled(**{**box, **typed}).submit()
