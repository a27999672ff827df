"""The weekly notice says what must be done, then the days, the same as text and as a mail page."""

from dataclasses import replace
from datetime import date

import pytest

from daysworth.answers.coverage import RoundAnswer
from daysworth.answers.notice import BelowFloorAnswer, LastNoticeAnswer, NoticeAnswer
from daysworth.printing.notice import notice_html, notice_subject, notice_text
from tests.printing.read_pages import Page
from tests.printing.written_notices import BUSY, QUIET, bands, lot, lots

BUSY_TEXT = """\
Elm Row: weekly notice
Week of 23 November 2026 to 29 November 2026 (2026-W48)

Past its last good day: take it off the shelf
  - 30 October 2026: 4 × White sugar (Hall, basement shelves)

Eat first: last good day within 7 days
  - 30 November 2026: 36 × Tuna in water, tinned (A1)

Promised to Lantern Kitchen: Tuesday, 8 December 2026, 09:00 to 11:00
  7 units, 5.10 kg net, 15,400 kcal.
  - 6 × Black beans, tinned (Cellar)
  - 1 × White rice (A1)

Days of food
  Everyone is fed for 7.1 days.
  That is below the floor of 14 days.
  Shared fairly, there are 1,234 person-days of food in all.
  The last notice, for the week of 9 November 2026, said 8.0 days for
  everyone and 1,300 person-days.

Households with fewer days than the floor of 14 days
  - H05: 7.1 days
  - H02: 13.9 days

Coming up: last good day 8 to 30 days from now
  - 7 December 2026: 1 × Rolled oats (A1)

Coming up: last good day 31 to 56 days from now
  - 3 January 2027: 2 × Tortilla chips (A1)

Before the next round
  39 units in 2 lots pass their last good day before the next round, on
  1 March 2027.

Other visits that food can be promised for
  - Friday, 27 November 2026, 09:00 to 10:30: Night shelter
  - Tuesday, 1 December 2026, 09:00 to 10:30: Lantern Kitchen. Promise
    by 29 November 2026.

Stored water to see to
  120 litres are past their date or have none.
  Replaced or made safe, it adds 0.6 days of water.

Undated: in no plan until somebody dates it
  - 2 × Lentils, dry (A1)

Damaged: discard it unopened
  - 2 × Peaches in syrup, tinned (A1)

Set aside until somebody decides
  - 2 × Sardines (A1)

Waiting for a coordinator to say what it is
  - 2 × two tins without a label (A1)

About this notice
  Computed by Daysworth 0.1.0 from version 1234 of the store, as of 25
  November 2026.
  This is a preview: it has not been kept, and may still change.

Cautions
  - When in doubt, throw it out.
"""

QUIET_TEXT = """\
Elm Row: weekly notice
Week of 23 November 2026 to 29 November 2026 (2026-W48)

This week
  Nothing on the shelves needs seeing to this week.

Days of food
  Everyone is fed for 20.9 days.
  That meets the floor of 14 days.
  Shared fairly, there are 1,234 person-days of food in all.
  There is no earlier notice to compare with.

About this notice
  Computed by Daysworth 0.1.0 from version 1234 of the store, as of 25
  November 2026.

Cautions
  - When in doubt, throw it out.
"""

BOTH = pytest.mark.parametrize("answer", [BUSY, QUIET], ids=["busy", "quiet"])


def flat(text: str) -> str:
    """Give a text without its line breaks and indents."""
    return " ".join(text.split())


def days_of(answer: NoticeAnswer) -> list[str]:
    """Give the lines of a notice's part on days."""
    part = notice_text(answer).partition("Days of food\n")[2].partition("\n\n")[0]
    return [line.strip() for line in part.split("\n")]


def test_a_busy_week_is_said_in_full_what_must_be_done_first() -> None:
    assert notice_text(BUSY) == BUSY_TEXT


def test_a_quiet_week_says_so_calmly_and_leaves_out_what_is_empty() -> None:
    assert notice_text(QUIET) == QUIET_TEXT


@BOTH
def test_the_page_says_what_the_text_says_in_the_same_order(answer: NoticeAnswer) -> None:
    text, page = flat(notice_text(answer)), Page(notice_html(answer))
    at = 0
    for said in page.all("h1", "h2", "p", "li"):
        assert said in text[at:]
        at = text.index(said, at) + len(said)
    assert at == len(text)


@BOTH
def test_the_page_has_every_heading_and_no_other(answer: NoticeAnswer) -> None:
    headings = [part.split("\n")[0] for part in notice_text(answer).split("\n\n")]
    assert Page(notice_html(answer)).all("h1", "h2") == headings


def test_a_lot_is_a_row_of_its_food_its_units_its_place_and_its_day() -> None:
    answer = replace(BUSY, below_floor=[], bands=bands(), promised_visits=[])
    page = Page(notice_html(answer))
    cells = page.all("th", "td")
    assert cells[:4] == ["Food", "Units", "Where", "Last good day"]
    assert cells[4:8] == ["White sugar", "4", "Hall, basement shelves", "30 October 2026"]
    assert cells[8:14] == ["Food", "Units", "Where", "Lentils, dry", "2", "A1"]


def test_a_household_is_a_row_of_its_id_and_its_days_alone() -> None:
    page = Page(notice_html(replace(QUIET, below_floor=BUSY.below_floor)))
    assert page.all("th", "td") == ["Household", "Days", "H05", "7.1 days", "H02", "13.9 days"]


def test_every_head_of_a_table_says_what_it_heads() -> None:
    heads = [attrs for tag, attrs in Page(notice_html(BUSY)).elements if tag == "th"]
    assert heads
    assert {attrs.get("scope") for attrs in heads} == {"col", "row"}


@BOTH
def test_the_page_loads_nothing_and_runs_nothing(answer: NoticeAnswer) -> None:
    html = notice_html(answer)
    page = Page(html)
    tags = {tag for tag, _ in page.elements}
    assert tags <= {
        *("html", "head", "meta", "title", "style", "body", "h1", "h2", "p"),
        *("table", "thead", "tbody", "tr", "th", "td", "ul", "li"),
    }
    attributes = {name for _, attrs in page.elements for name in attrs}
    assert attributes <= {"lang", "charset", "name", "content", "scope", "dir"}
    assert [word for word in ("url(", "@import", "://") if word in html] == []


@pytest.mark.parametrize(
    ("locale", "language"), [("en-US", "en-US"), ("en-GB", "en-GB"), ("es-MX", "en"), ("ja", "en")]
)
def test_the_page_says_the_language_of_its_sentences(locale: str, language: str) -> None:
    page = Page(notice_html(replace(QUIET, locale=locale)))
    assert page.elements[0] == ("html", {"lang": language})


@pytest.mark.parametrize("locale", ["en-US", "en-GB", "fr-FR", "ja", "xx"])
def test_one_lot_is_one_lot_wherever_the_store_is(locale: str) -> None:
    answer = replace(QUIET, locale=locale, past=lots(21))
    assert "\n  and 1 more lot\n" in notice_text(answer)
    assert "1 lot to see to," in notice_subject(replace(answer, past=lots(1)))


def test_the_subject_says_what_is_to_do_and_the_days() -> None:
    assert notice_subject(BUSY) == (
        "Elm Row: 6 lots to see to, 7.1 days for everyone (week of 23 November 2026)"
    )
    assert notice_subject(QUIET) == (
        "Elm Row: nothing to see to, 20.9 days for everyone (week of 23 November 2026)"
    )


def test_the_subject_of_a_week_with_one_lot_or_with_water_alone_says_that() -> None:
    assert "Elm Row: 1 lot to see to, " in notice_subject(replace(QUIET, undated=lots(1)))
    assert "Elm Row: water to see to, " in notice_subject(replace(QUIET, overdue_water_l=1.0))


def test_the_subject_has_the_days_as_the_notice_has_them() -> None:
    far = replace(QUIET, everyone_fed_days=180.0, everyone_fed_at_least=True)
    assert ", at least 180 days for everyone (" in notice_subject(far)
    nobody = replace(QUIET, everyone_fed_days=None)
    assert ", nobody has a need to meet (" in notice_subject(nobody)


@pytest.mark.parametrize(
    "answer",
    [
        replace(QUIET, undated=lots(1)),
        replace(QUIET, damaged=lots(1)),
        replace(QUIET, quarantined=lots(1)),
        replace(QUIET, waiting=BUSY.waiting),
        replace(QUIET, overdue_water_l=3.0),
        replace(QUIET, promised_visits=BUSY.promised_visits),
    ],
    ids=["undated", "damaged", "set aside", "waiting", "water", "a visit"],
)
def test_a_week_with_something_else_to_see_to_is_not_called_quiet(answer: NoticeAnswer) -> None:
    text = flat(notice_text(answer))
    assert "needs seeing to this week." not in text
    assert (
        "This week Nothing on the shelves is past its last good day or within 7 days of it."
        " What else needs seeing to is listed below." in text
    )


def test_what_is_due_later_or_below_the_floor_leaves_the_shelves_quiet() -> None:
    answer = replace(QUIET, bands=bands([], lots(1)), below_floor=BUSY.below_floor)
    assert "Nothing on the shelves needs seeing to this week." in notice_text(answer)


def test_a_store_with_bands_of_its_own_reads_its_own_days() -> None:
    first, second, third = BUSY.bands
    narrow = [
        replace(first, within_days=1),
        replace(second, within_days=2),
        replace(third, within_days=9),
    ]
    text = notice_text(replace(BUSY, bands=narrow))
    assert "\nEat first: last good day within 1 day\n" in text
    assert "\nComing up: last good day 3 to 9 days from now\n" in text


def test_without_bands_only_what_is_past_is_spoken_of() -> None:
    answer = replace(QUIET, bands=[], damaged=lots(1))
    assert (
        "This week Nothing on the shelves is past its last good day. What else needs seeing to"
        " is listed below." in flat(notice_text(answer))
    )


@pytest.mark.parametrize(
    ("days", "said"), [(7.19, "7.1"), (7.2, "7.2"), (2.9, "2.9"), (0.04, "0.0"), (1.0, "1.0")]
)
def test_days_are_rounded_down_to_tenths(days: float, said: str) -> None:
    answer = replace(QUIET, everyone_fed_days=days)
    assert days_of(answer)[0] == f"Everyone is fed for {said} days."


def test_days_at_the_horizon_are_at_least_those() -> None:
    answer = replace(QUIET, everyone_fed_days=180.0, everyone_fed_at_least=True)
    assert days_of(answer)[0] == "Everyone is fed for at least 180 days."


def test_where_nobody_has_a_need_no_days_are_counted() -> None:
    answer = replace(QUIET, everyone_fed_days=None, person_days=0.0)
    assert days_of(answer) == [
        "Nobody has a need to meet, so there are no days to count.",
        "There is no earlier notice to compare with.",
    ]


@pytest.mark.parametrize(
    ("days", "said"),
    [(14.0, "meets the floor of 14"), (13.999998, "is below the floor of 14")],
)
def test_a_floor_is_met_at_its_very_day(days: float, said: str) -> None:
    assert days_of(replace(QUIET, everyone_fed_days=days))[1] == f"That {said} days."


def test_a_floor_of_no_days_is_not_spoken_of() -> None:
    assert "floor" not in notice_text(replace(QUIET, floor_days=0))


def test_a_floor_beyond_the_horizon_is_not_said_to_be_met_or_missed() -> None:
    far = replace(QUIET, everyone_fed_days=180.0, everyone_fed_at_least=True, floor_days=365)
    assert days_of(far)[1] == "The floor is 365 days; days are counted no further than 180."


def test_the_last_notice_is_named_by_its_own_week_in_whatever_year() -> None:
    last = LastNoticeAnswer("2020-W53", 180.0, 1.9)
    assert flat(" ".join(days_of(replace(QUIET, last_notice=last))[3:])) == (
        "The last notice, for the week of 28 December 2020, said at least 180 days for everyone"
        " and 1 person-day."
    )


def test_a_last_notice_without_a_need_says_so() -> None:
    last = LastNoticeAnswer("2026-W47", None, 0.0)
    assert flat(" ".join(days_of(replace(QUIET, last_notice=last))[3:])) == (
        "In the last notice, for the week of 16 November 2026, nobody had a need to meet."
    )


@pytest.mark.parametrize(("count", "more"), [(20, None), (21, "1 more lot"), (25, "5 more lots")])
def test_a_long_list_of_lots_is_cut_at_twenty(count: int, more: str | None) -> None:
    for answer in (replace(QUIET, past=lots(count)), replace(QUIET, undated=lots(count))):
        text, page = notice_text(answer), Page(notice_html(answer))
        assert text.count("× food") == 20
        assert len([food for food in page.all("th") if food.startswith("food")]) == 20
        assert "× food 20 (" in text
        assert ([f"and {more}"] if more else []) == [
            said for said in page.all("p") if said.startswith("and ")
        ]
        assert (f"\n  and {more}\n" in text) == (more is not None)


def test_a_long_list_of_households_is_cut_at_twenty() -> None:
    homes = [BelowFloorAnswer(f"H{number:02}", 1, 3.0) for number in range(1, 23)]
    text = notice_text(replace(QUIET, below_floor=homes))
    assert text.count(": 3.0 days") == 20
    assert "\n  - H20: 3.0 days\n  and 2 more households\n" in text


@pytest.mark.parametrize(
    ("due", "said"),
    [
        (RoundAnswer(date(2027, 3, 1), 1, 9.0, lots(1)), "1 unit in 1 lot passes its"),
        (RoundAnswer(date(2027, 3, 1), 2000, 9.0, lots(3)), "2,000 units in 3 lots pass their"),
    ],
)
def test_what_is_due_at_the_next_round_is_counted(due: RoundAnswer, said: str) -> None:
    text = flat(notice_text(replace(QUIET, before_next_round=due)))
    assert f"{said} last good day before the next round, on 1 March 2027." in text


def test_where_no_round_comes_nothing_is_said_of_it() -> None:
    answer = replace(QUIET, before_next_round=RoundAnswer(None, 0, 0.0, []))
    assert notice_text(answer) == QUIET_TEXT


@pytest.mark.parametrize(
    ("litres", "said"),
    [(0.4, "Less than 1 litre is"), (1.9, "1 litre is"), (1234.5, "1,234 litres are")],
)
def test_water_past_its_date_is_rounded_down(litres: float, said: str) -> None:
    assert f"\n  {said} past " in notice_text(replace(QUIET, overdue_water_l=litres))


def test_water_that_nobody_needs_adds_no_days() -> None:
    answer = replace(QUIET, overdue_water_l=5.0, overdue_water_days=None)
    assert "Stored water to see to\n  5 litres are past their date or have none.\n\n" in (
        notice_text(answer)
    )


def test_a_lot_listed_by_day_without_one_says_so() -> None:
    assert "  - no date: 2 × Salt (A1)\n" in notice_text(replace(QUIET, past=[lot("Salt")]))


def test_dates_are_written_as_the_store_writes_them() -> None:
    text = notice_text(replace(BUSY, locale="en-US"))
    assert "Week of November 23, 2026 to November 29, 2026 (2026-W48)" in text
    assert "October 30, 2026: 4 × White sugar" in text


def test_the_cautions_come_last() -> None:
    assert notice_text(BUSY).endswith("\n\nCautions\n  - When in doubt, throw it out.\n")
    assert Page(notice_html(BUSY)).texts[-1] == ("li", "When in doubt, throw it out.")


def test_the_same_notice_gives_the_same_text_and_the_same_page() -> None:
    again = replace(BUSY, past=list(BUSY.past))
    assert notice_text(again) == notice_text(BUSY)
    assert notice_html(again) == notice_html(BUSY)
