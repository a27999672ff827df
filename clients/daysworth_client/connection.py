"""Ask one store over HTTP, and take only answers that are what they should be."""

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from http import HTTPStatus
from typing import NoReturn, Self, TypeVar
from urllib.parse import quote

import httpx

from daysworth_client.addresses import StoreAddress, takes_proxies
from daysworth_client.comparison_answers import ComparisonAnswer
from daysworth_client.deliveries import ChannelId
from daysworth_client.errors import Fault, NotUnderstood, Refused, SettingRefused, Unreachable
from daysworth_client.figures import one_line
from daysworth_client.kit_answers import KitInListPart, KitPagePart
from daysworth_client.partner_answers import (
    PartnerPart,
    PartnersPagePart,
    PromiseInListPart,
    PromisesPagePart,
)
from daysworth_client.questions import AS_THE_STORE_STANDS, SummaryAsked
from daysworth_client.round_answers import RoundsAnswer
from daysworth_client.shapes import read_as
from daysworth_client.store_answers import NoticePart, PostingPart, ProblemPart, StoreSummary
from daysworth_client.suitability_answers import WarningsAnswer
from daysworth_client.unanswered import timeouts, why_unanswered
from daysworth_client.weeks import Week, read_week

_Part = TypeVar("_Part")


@dataclass(frozen=True, slots=True)
class Begun:
    """A posting that is the asker's own: to be delivered now, and reported with its claim."""

    week: Week
    claim: str = field(repr=False)
    notice: NoticePart = field(repr=False)


@dataclass(frozen=True, slots=True)
class UnderWay:
    """A posting that another run began, less than ten minutes ago."""


@dataclass(frozen=True, slots=True)
class Posted:
    """A posting that was done before, at an instant."""

    at: datetime


Posting = Begun | UnderWay | Posted


class Connection:
    """Ask the store at an address, with a token.

    Every method raises AskFailed, as the kind it is: Unreachable, Refused or NotUnderstood.
    No redirect is followed, so that the token goes nowhere else.
    """

    def __init__(
        self, address: StoreAddress, token: str, *, transport: httpx.BaseTransport | None = None
    ) -> None:
        """Prepare to ask; nothing is sent yet. Raises SettingRefused for what is no token."""
        # Checked here: what the HTTP library says of a header it cannot send shows the header.
        if not (token.isascii() and token.isprintable()) or not token or " " in token:
            raise SettingRefused("a token is letters, digits and signs on one line, and no spaces")
        self.address = address
        self._client = httpx.Client(
            base_url=address.url,
            headers={"Authorization": f"Bearer {token}", "Accept": "application/json"},
            timeout=timeouts(),
            follow_redirects=False,
            trust_env=takes_proxies(address.url),
            transport=transport,
        )

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *fault: object) -> None:
        self._client.close()

    def summary(self, asked: SummaryAsked = AS_THE_STORE_STANDS) -> StoreSummary:
        """Ask for how many days all can eat, and what waits for a coordinator."""
        return self._read(StoreSummary, self._ask("GET", "summary", asked=asked.parameters()))

    def comparison(self, week: Week, asked: SummaryAsked = AS_THE_STORE_STANDS) -> ComparisonAnswer:
        """Ask what changed from a kept week to now, both in one scenario."""
        path = f"kept-weeks/{week}/comparison"
        return self._read(ComparisonAnswer, self._ask("GET", path, asked=asked.parameters()))

    def warnings(self, household: str) -> WarningsAnswer:
        """Ask what a household must not have, and what nobody knows of yet."""
        path = f"households/{quote(household, safe='')}/warnings"
        return self._read(WarningsAnswer, self._ask("GET", path))

    def rounds(self) -> RoundsAnswer:
        """Ask for the rounds to come, and for what became of what was due at each there was."""
        return self._read(RoundsAnswer, self._ask("GET", "rounds"))

    def kits(self, *, due_before: date | None = None) -> list[KitInListPart]:
        """Ask for every closed kit, or for those that are to be pulled before a day."""
        asked = [] if due_before is None else [("due_before", due_before.isoformat())]
        found: list[KitInListPart] = []
        for page in self._pages(KitPagePart, "kits", asked=asked, next_of=lambda one: one["next"]):
            found += page["items"]
        return found

    def partners(self) -> list[PartnerPart]:
        """Ask for every partner, with its windows in words and the next visits of each."""
        found: list[PartnerPart] = []
        for page in self._pages(PartnersPagePart, "partners", next_of=lambda one: one["next"]):
            found += page["items"]
        return found

    def promises(self, *, state: str | None = None) -> list[PromiseInListPart]:
        """Ask for every promise by the time of its visit, or for those in a state."""
        asked = [] if state is None else [("state", state)]
        found: list[PromiseInListPart] = []
        for page in self._pages(
            PromisesPagePart, "promises", asked=asked, next_of=lambda one: one["next"]
        ):
            found += page["items"]
        return found

    def notice(self, week: Week) -> NoticePart:
        """Ask for a week's notice; one that was not kept yet is a preview."""
        return self._read(NoticePart, self._ask("GET", f"notices/{week}"))

    def begin_posting(self, week: Week, *, channel: ChannelId, label: str) -> Posting:
        """Begin to post a week's notice to a channel, unless that was done or is being done."""
        path = f"notices/{week}/postings/{channel}"
        part = self._read(PostingPart, self._ask("PUT", path, body={"label": label}))
        try:
            return _posting(part)
        except ValueError:
            self._misread("a posting is begun, under way or posted, with what belongs to it")

    def end_posting(self, begun: Begun, *, channel: ChannelId, is_posted: bool) -> None:
        """Report that a posting was delivered, or free it for another try."""
        # The week is the posting's own: "current" may have become another meanwhile.
        path = f"notices/{begun.week}/postings/{channel}/outcome"
        body = {"claim": begun.claim, "is_posted": is_posted}
        part = self._read(PostingPart, self._ask("PUT", path, body=body))
        if is_posted and part["state"] != "posted":
            self._misread("what was reported as posted is not")

    def _pages(
        self,
        part: type[_Part],
        path: str,
        *,
        next_of: Callable[[_Part], str | None],
        asked: Sequence[tuple[str, str]] = (),
    ) -> Iterator[_Part]:
        cursors: list[str] = []
        while True:
            more = [("cursor", one) for one in cursors[-1:]]
            page = self._read(part, self._ask("GET", path, asked=[*asked, *more]))
            yield page
            next_page = next_of(page)
            if next_page is None:
                return
            cursor = _cursor(next_page)
            if cursor is None or cursor in cursors:
                self._misread("a list leads on to no further page")
            cursors.append(cursor)

    def _read(self, part: type[_Part], value: object) -> _Part:
        try:
            return read_as(part, value)
        except ValueError as fault:
            self._misread(str(fault))

    def _ask(
        self,
        method: str,
        path: str,
        *,
        asked: Sequence[tuple[str, str]] = (),
        body: Mapping[str, object] | None = None,
    ) -> object:
        try:
            answer = self._client.request(method, path, params=list(asked), json=body)
        except httpx.DecodingError:
            self._misread("it is not encoded as it says")
        except httpx.RequestError as fault:
            raise Unreachable(f"{self.address.origin}: {why_unanswered(fault)}") from fault
        if not answer.is_success:
            raise _refusal(answer)
        try:
            return _json(answer.content)
        except ValueError:
            self._misread("it is not JSON")

    def _misread(self, why: str) -> NoReturn:
        # Raised while a fault that shows what came may be at hand: it is not chained.
        raise NotUnderstood(
            f"{self.address.origin} gave an answer that is not understood ({why});"
            " is this the address of a store, and is this client of its release?"
        ) from None


def _cursor(next_page: str) -> str | None:
    """Give where the next page of a list begins; None: its address does not say."""
    try:
        cursor: str | None = httpx.URL(next_page).params.get("cursor")
    except httpx.InvalidURL:
        return None
    return cursor


def _posting(part: PostingPart) -> Posting:
    match part:
        case {"state": "begun", "claim": str(claim), "notice": notice} if notice is not None:
            return Begun(read_week(part["week"]), claim, notice)
        case {"state": "under_way"}:
            return UnderWay()
        case {"state": "posted", "posted_at": str(at)}:
            return Posted(datetime.fromisoformat(at))
    raise ValueError(part["state"])


def _refusal(answer: httpx.Response) -> Refused:
    status = answer.status_code
    if answer.is_redirect:
        return Refused(status, title=f"it points to another address ({status}), not followed")
    try:
        problem = read_as(ProblemPart, _json(answer.content))
    except ValueError:
        return Refused(status, title=f"it answered {status} {_phrase(status)}".rstrip())
    faults = [
        Fault(one_line(one["where"]), one_line(one["what"])) for one in problem.get("faults", ())
    ]
    return Refused(
        status,
        title=one_line(problem["title"]),
        detail=one_line(problem.get("detail", "")),
        faults=faults,
    )


def _phrase(status: int) -> str:
    return HTTPStatus(status).phrase if status in HTTPStatus._value2member_map_ else ""


def _json(content: bytes) -> object:
    """Read JSON that can be shown. Raises ValueError where it is none."""
    try:
        value: object = json.loads(content, parse_constant=_no_number)
        # Half of a letter's pair can be written in JSON, and then nowhere else.
        json.dumps(value, ensure_ascii=False).encode()
    except RecursionError:
        raise ValueError("it is nested too deep") from None
    return value


def _no_number(written: str) -> NoReturn:
    raise ValueError(f"{written} is no number of JSON")
