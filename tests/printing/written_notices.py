"""Notices written by hand: a quiet week, a week in which everything happens, and names."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Final

from daysworth.answers.coming_visits import BringAnswer, OtherVisitAnswer, PromisedVisitAnswer
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


def promised(partner_name: str, *contents: BringAnswer, **changed: object) -> PromisedVisitAnswer:
    """Give a visit on 8 December, nine to eleven, with what is promised for it."""
    said: dict[str, object] = {
        "partner_name": partner_name,
        "opens_at": "2026-12-08T09:00",
        "minutes": 120,
        "visit_on": date(2026, 12, 8),
        "words": "",
        "units": sum(one.units for one in contents),
        "units_not_to_go": 0,
        "mass_g": 5_096.0,
        "energy_kcal": 15_400.9,
        "contents": list(contents),
        **changed,
    }
    return PromisedVisitAnswer(**said)  # type: ignore[arg-type]


def other(partner_name: str, on: date, *, notice_days: int = 0) -> OtherVisitAnswer:
    """Give a visit that nothing is promised for, nine to half past ten."""
    return OtherVisitAnswer(
        partner_name=partner_name,
        opens_at=f"{on}T09:00",
        minutes=90,
        visit_on=on,
        words="",
        promise_by_day=on - timedelta(days=notice_days),
    )


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
    promised_visits=[
        promised(
            "Lantern Kitchen",
            BringAnswer(food="Black beans, tinned", units=6, place="Cellar"),
            BringAnswer(food="White rice", units=1, place="A1"),
        )
    ],
    other_visits=[
        other("Night shelter", date(2026, 11, 27)),
        other("Lantern Kitchen", date(2026, 12, 1), notice_days=2),
    ],
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
        promised_visits=[promised(name, BringAnswer(food=name, units=1, place=name))],
        other_visits=[other(name, AS_OF, notice_days=1), other(name, AS_OF)],
    )
