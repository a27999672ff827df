"""Name the parts of what a store tells beyond coverage: its summary, its notices, its problems."""

from typing import NotRequired, TypedDict

from daysworth_client.answers import CoverageAnswer


class WaitingPart(TypedDict):
    """A lot that nobody has yet said what it is: its giver's words, and its place's name."""

    lot: str
    words: str
    units: int
    place: str


class StoreSummary(TypedDict):
    """How many days all can eat, and the lots that wait for a coordinator."""

    coverage: CoverageAnswer
    waiting: list[WaitingPart]


class NoticePart(TypedDict):
    """A week's notice, ready to be sent: its words, and figures that are kept unread.

    `from_day` to `to_day` is the week. `made_at` None: a preview, which is not kept.
    """

    id: str
    week: str
    from_day: str
    to_day: str
    store: str
    store_name: str
    version: int
    as_of: str
    made_at: str | None
    subject: str
    text: str
    html: str


class PostingPart(TypedDict):
    """How it stands with one week's notice and one channel."""

    week: str
    channel: str
    state: str
    claim: str | None
    posted_at: str | None
    notice: NoticePart | None


class FaultPart(TypedDict):
    """One thing wrong in what was asked."""

    where: str
    what: str


class ProblemPart(TypedDict):
    """A problem document (RFC 9457)."""

    title: str
    detail: NotRequired[str]
    faults: NotRequired[list[FaultPart]]
