"""Say what a calendar's address is called, and how it is told."""

from pydantic import Field

from daysworth.api.schemas.plain import Input, Output, Words
from daysworth.db.calendar_links import KeptCalendarLink, NewCalendarLink


class CalendarLinkIn(Input):
    """A calendar's address that is to be made, by what will read it."""

    label: Words = Field(description='What will read it, such as "my telephone".')


class CalendarLinkOut(Output):
    """A calendar's address as it is listed, without the secret in it."""

    id: str
    label: str
    made_by: str
    created_at: str
    revoked_at: str | None


class CalendarLinkMadeOut(CalendarLinkOut):
    """A calendar's address that was just made."""

    address: str = Field(description="Shown this once: whoever has it may read the calendar.")


def calendar_link_out(link: KeptCalendarLink) -> CalendarLinkOut:
    """Tell an address without its secret."""
    return CalendarLinkOut(
        id=link.id,
        label=link.label,
        made_by=link.made_by,
        created_at=link.created_at,
        revoked_at=link.revoked_at,
    )


def calendar_link_made_out(made: NewCalendarLink, *, site: str) -> CalendarLinkMadeOut:
    """Tell an address with its secret; `site` is where the service is reached."""
    link = made.link
    return CalendarLinkMadeOut(
        address=f"{site}/calendar/{made.secret}.ics",
        id=link.id,
        label=link.label,
        made_by=link.made_by,
        created_at=link.created_at,
        revoked_at=link.revoked_at,
    )
