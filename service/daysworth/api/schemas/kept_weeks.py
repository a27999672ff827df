"""Say how kept weeks are listed."""

from datetime import date

from pydantic import Field

from daysworth.api.schemas.plain import Output
from daysworth.db.kept_exports import KeptWeek


class KeptWeekOut(Output):
    """A week that was kept, when its notice was first posted.

    It is the store at `version`, as of the day `taken_on`.
    """

    week: str = Field(examples=["2026-W48"])
    version: int
    taken_on: date
    kept_at: str
    rewritten_at: str | None = Field(
        description="When a household that was erased was last taken out of it; null: none was."
    )


def kept_week_out(kept: KeptWeek) -> KeptWeekOut:
    """Tell of a kept week."""
    return KeptWeekOut(
        week=kept.week,
        version=kept.version,
        taken_on=kept.taken_on,
        kept_at=kept.kept_at,
        rewritten_at=kept.rewritten_at,
    )
