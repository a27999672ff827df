"""Say how weekly notices go out, and how their postings are begun and reported."""

from dataclasses import dataclass, fields
from typing import Annotated

from pydantic import Field, StringConstraints

from daysworth.answers.notice import NoticeAnswer
from daysworth.api.schemas.plain import Input, Output, Words
from daysworth.db.notices import Posting, PostingState
from daysworth.printing.notice import notice_html, notice_subject, notice_text

CHANNEL_PATTERN = "^[0-9a-f]{64}$"


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeOut(NoticeAnswer):
    """A week's notice: its figures, and as a message in plain text and in HTML."""

    subject: str
    text: str
    html: str


class PostingIn(Input):
    """What a channel is called in lists: no address and no secret."""

    label: Words


class OutcomeIn(Input):
    """How a posting ended: the claim it was begun under, and whether it was posted."""

    claim: Annotated[str, StringConstraints(min_length=1, max_length=64)]
    is_posted: bool


class PostingOut(Output):
    """Where the posting of a week's notice to one channel stands.

    `begun`: it is yours, under `claim`, and `notice` is what to post. `under_way`: another began it
    less than ten minutes ago. `posted`: it was, at `posted_at`. `undone`: it can be begun again.
    """

    week: str
    channel: str
    state: PostingState
    claim: str | None = Field(description="Given to whoever just began the posting.")
    posted_at: str | None
    notice: NoticeOut | None


def notice_out(answer: NoticeAnswer) -> NoticeOut:
    """Tell of a notice, with its message."""
    figures = {field.name: getattr(answer, field.name) for field in fields(NoticeAnswer)}
    return NoticeOut(
        **figures,
        subject=notice_subject(answer),
        text=notice_text(answer),
        html=notice_html(answer),
    )


def posting_out(
    posting: Posting, *, week: str, channel: str, notice: NoticeAnswer | None = None
) -> PostingOut:
    """Tell where a posting stands; the notice goes to whoever just began it."""
    return PostingOut(
        week=week,
        channel=channel,
        state=posting.state,
        claim=posting.claim,
        posted_at=posting.posted_at,
        notice=None if notice is None else notice_out(notice),
    )
