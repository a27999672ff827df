"""Notices written by hand: a quiet week, a week in which everything happens, and names."""

from dataclasses import replace
from datetime import date
from typing import Final

from daysworth.answers.coverage import LotAnswer, RoundAnswer
from daysworth.answers.notice import BandAnswer, BelowFloorAnswer, LastNoticeAnswer, NoticeAnswer
from daysworth.answers.waiting import WaitingAnswer
from daysworth.reference.cautions import CautionRow

AS_OF: Final = date(2026, 11, 25)
CAUTION: Final = CautionRow("when_in_doubt", "food", "When in doubt, throw it out.", "invented")


def lot(food: str, last_on: date | None = None, *, units: int = 2, place: str = "A1") -> LotAnswer:
    """Give a lot on a list."""
    return LotAnswer(f"lot of {food}", food, units, place, last_on)


def lots(count: int) -> list[LotAnswer]:
    """Give so many lots, each of a food of its own."""
    return [lot(f"food {number}", AS_OF) for number in range(1, count + 1)]


def bands(*listed: list[LotAnswer]) -> list[BandAnswer]:
    """Give the usual three bands, the later ones empty unless given."""
    filled = [*listed, [], [], []]
    return [BandAnswer(days, filled[number]) for number, days in enumerate((7, 30, 56))]


QUIET: Final = NoticeAnswer(
    id="elm-row-2026-W48",
    week="2026-W48",
    from_day=date(2026, 11, 23),
    to_day=date(2026, 11, 29),
    release="0.1.0",
    store="elm-row",
    store_name="Elm Row",
    version=1234,
    as_of=AS_OF,
    locale="en-GB",
    made_at="2026-11-25T06:00:00+00:00",
    everyone_fed_days=20.96,
    everyone_fed_at_least=False,
    horizon_days=180,
    person_days=1234.9,
    floor_days=14,
    last_notice=None,
    below_floor=[],
    past=[],
    bands=bands(),
    before_next_round=RoundAnswer(date(2027, 3, 1), 0, 0.0, []),
    undated=[],
    damaged=[],
    quarantined=[],
    waiting=[],
    overdue_water_l=0.0,
    overdue_water_days=0.0,
    cautions=[CAUTION],
)
"""A week in which nothing needs doing."""

BUSY: Final = replace(
    QUIET,
    made_at=None,
    everyone_fed_days=7.19,
    last_notice=LastNoticeAnswer("2026-W46", 8.0, 1300.4),
    below_floor=[BelowFloorAnswer("H05", 3, 7.19), BelowFloorAnswer("H02", 1, 13.999)],
    past=[lot("White sugar", date(2026, 10, 30), units=4, place="Hall, basement shelves")],
    bands=bands(
        [lot("Tuna in water, tinned", date(2026, 11, 30), units=36)],
        [lot("Rolled oats", date(2026, 12, 7), units=1)],
        [lot("Tortilla chips", date(2027, 1, 3))],
    ),
    before_next_round=RoundAnswer(
        date(2027, 3, 1), 39, 9999.0, [lot("Rolled oats", AS_OF), lot("Tuna", AS_OF)]
    ),
    undated=[lot("Lentils, dry")],
    damaged=[lot("Peaches in syrup, tinned", date(2027, 8, 1))],
    quarantined=[lot("Sardines", date(2027, 9, 1))],
    waiting=[WaitingAnswer("lot-9", "two tins without a label", 2, "A1")],
    overdue_water_l=120.7,
    overdue_water_days=0.68,
)
"""A week in which every part of a notice has something to say."""


def named(name: str) -> NoticeAnswer:
    """Give a notice in which everything that people name has one name."""
    one = lot(name, AS_OF, place=name)
    return replace(
        BUSY,
        store_name=name,
        below_floor=[BelowFloorAnswer(name, 1, 2.0)],
        past=[one],
        bands=bands([one], [one]),
        undated=[one],
        waiting=[WaitingAnswer("lot-9", name, 1, name)],
    )
