"""Find a visit, one opening of a window, by the time on the clock at the partner's."""

from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta

from daysworth.domain.identifiers import PartnerId, WindowId
from daysworth.domain.partners import Partner, Window

VisitKey = tuple[PartnerId, WindowId, datetime]
"""What names a visit: the partner, the window, and when it opens by the clock there."""


def opening(window: Window, opens_at: datetime) -> datetime | None:
    """Give the instant of the visit of a wall-clock time; None: the window does not open then."""
    # A clock that is put forward at midnight shows the next day.
    found = window.opens(from_on=opens_at.date() - timedelta(days=1), to_on=opens_at.date())
    return next((at for at in found if at.replace(tzinfo=None, fold=0) == opens_at), None)


def is_over(window: Window, opens_at: datetime, *, at: datetime, since_days: int = 0) -> bool:
    """Tell whether a visit has been over for so many days at an instant with an offset.

    One at which the window does not open counts by the clock in UTC.
    """
    begins = opening(window, opens_at) or opens_at.replace(tzinfo=UTC)
    ends = begins.astimezone(UTC) + timedelta(minutes=window.minutes)
    return ends + timedelta(days=since_days) <= at


def visits_over(partners: Iterable[Partner], *, on: date, at: datetime) -> frozenset[VisitKey]:
    """Give the visits of a day that are over at an instant with an offset."""
    return frozenset(
        (partner.id, window.id, opens_at.replace(tzinfo=None, fold=0))
        for partner in partners
        for window in partner.windows
        for opens_at in window.opens(from_on=on, to_on=on)
        if opens_at.astimezone(UTC) + timedelta(minutes=window.minutes) <= at
    )
