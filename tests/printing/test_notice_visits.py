"""The weekly notice says what to bring to whom and when, and who else receives."""

from dataclasses import replace
from datetime import date

import pytest

from daysworth.answers.coming_visits import BringAnswer
from daysworth.answers.notice import NoticeAnswer
from daysworth.printing.notice import notice_subject, notice_text
from tests.printing.written_notices import BUSY, QUIET, other, promised


def flat(text: str) -> str:
    """Give a text without its line breaks and indents."""
    return " ".join(text.split())


def said_of(answer: NoticeAnswer) -> list[str]:
    """Give the lines of a notice's first part on a promised visit."""
    part = notice_text(answer).partition("Promised to ")[2].partition("\n\n")[0]
    return [line.strip() for line in part.split("\n")]


def test_a_promised_visit_of_one_unit_says_so() -> None:
    beans = BringAnswer(food="Beans", units=1, place="A1")
    visit = promised("Night shelter", beans, mass_g=4.0, energy_kcal=0.0)
    assert said_of(replace(QUIET, promised_visits=[visit]))[1:] == [
        "1 unit, 0.00 kg net, 0 kcal.",
        "- 1 × Beans (A1)",
    ]


@pytest.mark.parametrize(("units", "said"), [(1, "1 unit of it"), (3, "3 units of it")])
def test_what_may_not_go_any_more_is_told_with_the_visit(units: int, said: str) -> None:
    visit = replace(BUSY.promised_visits[0], units_not_to_go=units)
    text = flat(notice_text(replace(QUIET, promised_visits=[visit])))
    assert f"kcal. {said} may not go any more: the delivery note says which, and why." in text


def test_a_visit_whose_day_is_past_asks_what_became_of_it() -> None:
    today, past = (
        replace(BUSY.promised_visits[0], visit_on=date(2026, 11, day), opens_at=f"2026-11-{day}")
        for day in (25, 24)
    )
    asked = "Its day is past: record what was handed off, or let the promise lapse."
    assert asked not in flat(notice_text(replace(QUIET, promised_visits=[today])))
    assert asked in flat(notice_text(replace(QUIET, promised_visits=[past])))


def test_a_visit_that_lasts_over_midnight_says_on_which_day_it_ends() -> None:
    visit = replace(BUSY.promised_visits[0], opens_at="2026-12-31T20:00", minutes=330)
    text = flat(notice_text(replace(QUIET, promised_visits=[visit])))
    assert "Thursday, 31 December 2026, 20:00 to 01:30 on Friday, 1 January 2027 7 units" in text


def test_a_visits_day_and_time_are_written_as_the_store_writes_them() -> None:
    text = flat(notice_text(replace(BUSY, locale="en-US")))
    assert "Promised to Lantern Kitchen: Tuesday, December 8, 2026, 9:00 AM to 11:00 AM 7" in text


def test_many_visits_and_much_for_one_are_cut_at_twenty() -> None:
    foods = [BringAnswer(food=f"food {number}", units=1, place="A1") for number in range(22)]
    visits = [promised(f"Shelter {number}", *foods) for number in range(21)]
    others = [other(f"Shelter {number}", date(2026, 12, 1)) for number in range(20)]
    answer = replace(QUIET, promised_visits=visits, other_visits=others, more_other_visits=2)
    text = notice_text(answer)
    assert text.count("Promised to Shelter") == text.count("and 2 more foods") == 20
    assert "\nPromised to partners besides\n  and 1 more visit\n" in text
    assert text.count("09:00 to 10:30: Shelter") == 20
    assert "Shelter 19\n  and 2 more visits\n" in text


def test_the_subject_of_a_week_with_visits_alone_counts_them() -> None:
    visit = BUSY.promised_visits[0]
    one, two = (replace(QUIET, promised_visits=[visit] * count) for count in (1, 2))
    assert "Elm Row: 1 visit to bring food to, " in notice_subject(one)
    assert "Elm Row: 2 visits to bring food to, " in notice_subject(two)
