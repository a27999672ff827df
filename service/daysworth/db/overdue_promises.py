"""Find the promises whose visit has been over for so long that they lapse by themselves."""

from datetime import datetime

from daysworth.db.partners import partners_of
from daysworth.db.promises import open_promises
from daysworth.db.transactions import Reading, Writing
from daysworth.domain.identifiers import PromiseId
from daysworth.domain.promises import LAPSES_AFTER_DAYS
from daysworth.domain.visits import is_over


def overdue_promises(reading: Reading | Writing, *, at: datetime) -> list[PromiseId]:
    """Give the open promises that lapse at an instant, by id."""
    windows = {
        (partner.id, window.id): window
        for partner in partners_of(reading.connection, reading.store)
        for window in partner.windows
    }
    return [
        one.id
        for one in open_promises(reading.connection, reading.store)
        if is_over(
            windows[one.partner, one.window], one.opens_at, at=at, since_days=LAPSES_AFTER_DAYS
        )
    ]
