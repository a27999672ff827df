"""Say how an acknowledgement comes in and goes out."""

from typing import Annotated

from pydantic import Field

from daysworth.api.schemas.plain import Input, Output, Why
from daysworth.db.acknowledgements import Acknowledged
from daysworth.planners.warnings import MARK_CHARACTERS


class AcknowledgementIn(Input):
    """Which warning, as the list names it, and why it may stand."""

    warning: Annotated[str, Field(min_length=MARK_CHARACTERS, max_length=MARK_CHARACTERS)]
    why: Why


class AcknowledgedOut(Output):
    """Who took note of a warning, when and why. The first note stands."""

    warning: str
    food: str | None
    why: str
    by: str
    at: str


def acknowledged_out(kept: Acknowledged) -> AcknowledgedOut:
    """Tell of an acknowledgement."""
    return AcknowledgedOut(
        warning=kept.warning, food=kept.food, why=kept.why, by=kept.by, at=kept.at
    )
