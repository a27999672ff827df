"""A label's date is read as volunteers type it, and what else it may mean is kept beside it."""

from datetime import date
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from daysworth.domain.errors import DateRefused
from daysworth.domain.label_dates import gs1_day, printed_day
from daysworth.domain.typed_dates import MOST_CHARACTERS, DateOrder, TypedDate, read_typed_date

DAY, MONTH, YEAR = DateOrder.DAY, DateOrder.MONTH, DateOrder.YEAR
FORMS: Final = "write it as 2027-04, 04/2027 or 4 Apr 2027"
NAMES: Final = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)

LABEL_DAYS = st.dates(min_value=date(2000, 1, 1), max_value=date(2099, 12, 31))
NEAR_DAYS = st.dates(min_value=date(2000, 1, 1), max_value=date(2076, 12, 31))
"""Days whose year may be written in two figures in 2026."""
ORDERS = st.sampled_from(DateOrder)
PIECES = st.sampled_from(
    [
        *("0", "4", "00", "04", "12", "20", "27", "31", "32", "99", "2027", "1999"),
        *("270431", "20270431", "apr", "FEB", "ma", "JN", "no", "bb", "BB/MA", "exp"),
        *("th", "of", "L", "é", "٣", "\x00", "/", "-", ".", ",", " ", ":", "'", "–"),
    ]
)


def read(typed: str, *, order: DateOrder = MONTH, read_in_year: int = 2026) -> TypedDate:
    return read_typed_date(typed, order=order, read_in_year=read_in_year)


def refusal(typed: str, *, order: DateOrder = MONTH) -> str:
    with pytest.raises(DateRefused) as refused:
        read(typed, order=order)
    return str(refused.value)


def read_or_refusal(typed: str, *, order: DateOrder) -> TypedDate | str:
    try:
        return read(typed, order=order)
    except DateRefused as refused:
        return str(refused)


@pytest.mark.parametrize("order", DateOrder)
@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("2027", "2027"),
        ("2027-04", "2027-04"),
        ("2027/4", "2027-04"),
        ("04/2027", "2027-04"),
        ("4-2027", "2027-04"),
        ("4.2027", "2027-04"),
        ("04/27", "2027-04"),
        ("04 27", "2027-04"),
        ("2027-04-30", "2027-04-30"),
        ("2027/04/30", "2027-04-30"),
        ("2027 4 3", "2027-04-03"),
        ("20270403", "2027-04-03"),
        ("202704", "2027-04"),
    ],
)
def test_figures_that_can_be_one_date_only_are_read_alike_in_every_store(
    order: DateOrder, typed: str, printed: str
) -> None:
    assert read(typed, order=order) == TypedDate(printed)


@pytest.mark.parametrize("order", DateOrder)
@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("APR 2027", "2027-04"),
        ("Apr 27", "2027-04"),
        ("apr '27", "2027-04"),
        ("2027 APR", "2027-04"),
        ("4 APR 2027", "2027-04-04"),
        ("04APR2027", "2027-04-04"),
        ("APR 04 2027", "2027-04-04"),
        ("APR 04 27", "2027-04-04"),
        ("APR0427", "2027-04-04"),
        ("APR042027", "2027-04-04"),
        ("APR 0427", "2027-04-04"),
        ("2027APR04", "2027-04-04"),
        ("4th April 2027", "2027-04-04"),
        ("1st of May 2027", "2027-05-01"),
        ("April 4, 2027", "2027-04-04"),
        ("April 22nd 2027", "2027-04-22"),
        ("SEPT 2027", "2027-09"),
        ("Sept. 3rd, 2027", "2027-09-03"),
        ("07/JUN/2027", "2027-06-07"),
    ],
)
def test_a_month_in_letters_leaves_no_doubt(order: DateOrder, typed: str, printed: str) -> None:
    assert read(typed, order=order) == TypedDate(printed)


@pytest.mark.parametrize("order", [DAY, MONTH])
@pytest.mark.parametrize("typed", ["04APR27", "4 Apr 27", "04-Apr-27"])
def test_the_figures_before_a_month_in_letters_are_its_day(order: DateOrder, typed: str) -> None:
    assert read(typed, order=order) == TypedDate("2027-04-04")


def test_where_years_come_first_they_may_come_before_a_month_in_letters() -> None:
    assert read("04APR27", order=YEAR) == TypedDate("2027-04-04", ("2004-04-27",))


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("BB 04/2027", "2027-04"),
        ("BB04/2027", "2027-04"),
        ("best by APR 2027", "2027-04"),
        ("BEST BEFORE END: 2027", "2027"),
        ("Best-before 4 Apr 2027.", "2027-04-04"),
        ("BEST IF USED BY APR 04 2027", "2027-04-04"),
        ("USE OR FREEZE BY APR 04 2027", "2027-04-04"),
        ("use by: 4 Apr 27", "2027-04-04"),
        ("EXP. 13/04/27", "2027-04-13"),
        ("EXPAPR27", None),
        ("Exp Date: 2027-04-30", "2027-04-30"),
        ("Sell by 2027-04", "2027-04"),
        ("PACKED ON 2026-04-30", "2026-04-30"),
        ("BB/MA 2027 AL 04", "2027-04-04"),
        ("BB / MA: 2027-04", "2027-04"),
        ("BB MA 2027", "2027-05"),
        ("BB/MAR 2027", "2027-03"),
    ],
)
def test_words_for_the_kind_of_date_are_dropped_from_its_front(
    typed: str, printed: str | None
) -> None:
    if printed is None:
        assert refusal(typed) == f"“{typed}” cannot be read as a date: {FORMS}"
    else:
        assert read(typed) == TypedDate(printed)


@pytest.mark.parametrize("typed", ["03/04/27", "3.4.2027", "03 04 27", "3-4-27", "030427"])
def test_the_store_says_whether_the_day_or_the_month_comes_first(typed: str) -> None:
    assert read(typed, order=DAY) == TypedDate("2027-04-03", ("2027-03-04",))
    assert read(typed, order=MONTH) == TypedDate("2027-03-04", ("2027-04-03",))


@pytest.mark.parametrize("typed", ["03/04/27", "030427", "03 04 27"])
def test_where_years_come_first_the_figures_may_still_be_of_a_pack_from_elsewhere(
    typed: str,
) -> None:
    assert read(typed, order=YEAR) == TypedDate("2003-04-27", ("2027-04-03", "2027-03-04"))


@pytest.mark.parametrize("typed", ["3/4/2027", "03042027"])
def test_a_year_of_four_figures_at_the_end_is_the_year_where_years_come_first_too(
    typed: str,
) -> None:
    assert read(typed, order=YEAR) == TypedDate("2027-04-03", ("2027-03-04",))


@pytest.mark.parametrize("typed", ["13/04/27", "13.4.2027", "130427", "04/13/27", "041327"])
@pytest.mark.parametrize("order", [DAY, MONTH])
def test_the_only_possible_order_is_taken_and_nothing_asked(order: DateOrder, typed: str) -> None:
    assert read(typed, order=order) == TypedDate("2027-04-13")


@pytest.mark.parametrize("order", [DAY, MONTH])
def test_two_orders_that_come_to_the_same_day_are_no_doubt(order: DateOrder) -> None:
    assert read("04/04/27", order=order) == TypedDate("2027-04-04")


@pytest.mark.parametrize("order", [DAY, MONTH])
def test_a_year_first_in_two_figures_is_read_only_where_six_figures_can_be_nothing_else(
    order: DateOrder,
) -> None:
    assert read("320127", order=order) == TypedDate("2032-01-27")
    assert refusal("32/01/27", order=order) == f"“32/01/27” cannot be read as a date: {FORMS}"
    assert refusal("310227", order=order).endswith("there is no 31 February 2027")


def test_six_figures_may_be_a_month_and_its_year() -> None:
    assert read("042027") == TypedDate("2027-04-20", ("2027-04",))
    assert read("201204", order=DAY) == TypedDate("2004-12-20")


@pytest.mark.parametrize("order", DateOrder)
def test_a_month_joined_to_four_figures_may_be_its_day_and_year(order: DateOrder) -> None:
    assert read("APR2027", order=order) == TypedDate("2027-04", ("2027-04-20",))
    assert read("APR-2027", order=order) == TypedDate("2027-04")


@pytest.mark.parametrize(
    ("typed", "order", "printed"),
    [
        ("00/04/27", DAY, "2027-04"),
        ("04/00/27", MONTH, "2027-04"),
        ("27-04-00", YEAR, "2027-04"),
        ("2027-04-00", DAY, "2027-04"),
        ("20270400", DAY, "2027-04"),
        ("270400", YEAR, "2027-04"),
        ("270400", DAY, "2027-04"),
        ("270400", MONTH, "2027-04"),
        ("00 APR 2027", DAY, "2027-04"),
    ],
)
def test_day_nought_is_the_month(typed: str, order: DateOrder, printed: str) -> None:
    assert read(typed, order=order).printed == printed


def test_six_figures_that_end_in_nought_are_asked_about_where_years_come_last() -> None:
    assert read("270400", order=DAY) == TypedDate("2027-04", ("2000-04-27",))


def test_a_slip_of_the_pen_is_no_sign_of_another_order() -> None:
    assert refusal("27/02/30", order=YEAR).endswith("there is no 30 February 2027")
    assert read("30/02/27", order=YEAR).printed == "2030-02-27"


@pytest.mark.parametrize("typed", ["27 Apr", "27APR", "4 Apr", "Apr 4", "27/04", "3/4", "JN 28"])
def test_a_day_without_its_year_is_refused(typed: str) -> None:
    assert refusal(typed) == f"“{typed}” cannot be read as a date: {FORMS}"


def test_two_figures_that_can_be_no_day_are_a_year_after_a_symbol_too() -> None:
    assert read("JN 32") == TypedDate("2032-06")


def test_where_years_come_first_two_pairs_of_figures_are_a_year_and_a_month() -> None:
    assert read("27/04", order=YEAR) == TypedDate("2027-04")
    assert read("05/04", order=YEAR) == TypedDate("2005-04", ("2004-05",))


def test_full_width_figures_are_figures_and_other_scripts_are_refused() -> None:
    assert read("２０２７－０４") == TypedDate("2027-04")
    assert refusal("٢٠٢٧-٠٤").startswith("“٢٠٢٧-٠٤” cannot be read as a date")


@pytest.mark.parametrize("dash", "-‐‑‒–—−")
def test_any_dash_parts_figures(dash: str) -> None:
    assert read(f"2027{dash}04{dash}30") == TypedDate("2027-04-30")


def test_spaces_that_came_with_a_copy_are_no_matter() -> None:
    assert read("  4\u00a0Apr\u20092027\n") == TypedDate("2027-04-04")


@pytest.mark.parametrize(
    ("typed", "order", "why"),
    [
        ("31/02/27", DAY, "there is no 31 February 2027"),
        ("31/02/27", MONTH, "there is no 31 February 2027"),
        ("04/31/2027", MONTH, "there is no 31 April 2027"),
        ("2027-06-31", DAY, "there is no 31 June 2027"),
        ("29 Feb 2027", DAY, "there is no 29 February 2027"),
        ("FEB3027", DAY, "there is no 30 February 2027"),
        ("4 APR 1999", DAY, "its year is not between 2000 and 2099"),
        ("1999-04-04", DAY, "its year is not between 2000 and 2099"),
        ("03/04/99", DAY, "its year is not between 2000 and 2099"),
        ("04/2100", DAY, "its year is not between 2000 and 2099"),
        ("7143", DAY, "its year is not between 2000 and 2099"),
    ],
)
def test_a_refusal_says_what_is_wrong_with_the_date(typed: str, order: DateOrder, why: str) -> None:
    assert refusal(typed, order=order) == f"“{typed}” cannot be read as a date: {why}"


@pytest.mark.parametrize(
    "typed",
    [
        *("L1234", "EXP L1234", "71430", "20270", "NO 427", "no. 12", "2027L", "270403A"),
        *("best before", "tomorrow", "see lid", "April", "Apr Apr 2027", "BB", "-", "/ /"),
        *("2027/13/04", "2027-13", "2027-00", "00/27", "13/13/27", "0/4/27", "003/04/27"),
        *("3/4/7", "3/2027/4", "4 27 APR", "2027 4 APR", "4/5/27 10", "04:27", "4+27", "½/27"),
    ],
)
def test_what_is_no_date_is_answered_with_ways_to_write_one(typed: str) -> None:
    assert refusal(typed, order=DAY).endswith(f"cannot be read as a date: {FORMS}")


@pytest.mark.parametrize("typed", ["NO 1234", "no. 0427", "NO1227"])
def test_the_number_of_a_lot_is_no_day_of_november(typed: str) -> None:
    assert refusal(typed).startswith(f"“{typed}” cannot be read as a date")


@pytest.mark.parametrize("typed", ["", "   ", "\n"])
def test_nothing_typed_is_said_to_be_nothing(typed: str) -> None:
    assert refusal(typed) == f"no date was typed: {FORMS}"


@pytest.mark.parametrize("typed", ["20\x0027", "04\t2027", "4\u202eApr 2027", "2027\ud800"])
def test_characters_that_cannot_be_seen_are_refused_and_not_said_back(typed: str) -> None:
    assert refusal(typed) == f"the date has a character in it that cannot be read: {FORMS}"


@pytest.mark.parametrize("typed", ["4 Apr 2027".ljust(41), "9" * 10_000, "ﷺ" * 40])
def test_a_long_text_is_refused_and_not_said_back(typed: str) -> None:
    assert refusal(typed) == f"a date has no more than 40 characters: {FORMS}"
    assert read("4 Apr 2027".ljust(MOST_CHARACTERS)) == TypedDate("2027-04-04")


@given(typed=st.text() | st.lists(PIECES, max_size=8).map("".join), order=ORDERS)
def test_any_text_is_a_date_with_other_possible_dates_or_kindly_refused(
    typed: str, order: DateOrder
) -> None:
    found = read_or_refusal(typed, order=order)
    if isinstance(found, str):
        assert found.isprintable()
        return
    readings = [found.printed, *found.others]
    assert len(set(readings)) == len(readings)
    for reading in readings:
        assert printed_day(reading).year in range(2000, 2100)


@given(day=LABEL_DAYS, order=ORDERS)
def test_every_day_with_its_month_in_letters_or_its_year_in_front_is_that_day(
    day: date, order: DateOrder
) -> None:
    name = NAMES[day.month - 1]
    for typed in (
        day.isoformat(),
        f"{day:%Y%m%d}",
        f"{day.year}/{day.month}/{day.day}",
        f"{day.day} {name} {day.year}",
        f"{name[:3].upper()} {day.day:02} {day.year}",
        f"{day.year} {name[:4]} {day.day}",
    ):
        assert read(typed, order=order) == TypedDate(day.isoformat())


@given(day=NEAR_DAYS)
def test_every_day_in_figures_is_that_day_in_its_store_and_asked_about_if_it_can_be_another(
    day: date,
) -> None:
    is_doubtful = day.day <= 12 and day.day != day.month
    other = (date(day.year, day.day, day.month).isoformat(),) if is_doubtful else ()
    expected = TypedDate(day.isoformat(), other)
    for year in (f"{day.year}", f"{day:%y}"):
        assert read(f"{day.day}/{day.month}/{year}", order=DAY) == expected
        assert read(f"{day.month}/{day.day}/{year}", order=MONTH) == expected
        joined = f"{day.day:02}{day.month:02}{year}"
        found = read(joined, order=DAY)
        # Six figures that end in nought are a month, day nought; 042027 may be April 2027 too.
        assert day.isoformat() in (found.printed, *found.others)
        if not joined.endswith("00"):
            assert found.printed == day.isoformat()
            assert found.others[: len(other)] == other


@given(day=NEAR_DAYS, read_in_year=st.integers(2026, 2049))
def test_six_figures_with_the_year_first_are_the_day_that_gs1_makes_of_them(
    day: date, read_in_year: int
) -> None:
    six = f"{day:%y%m%d}"
    found = read(six, order=YEAR, read_in_year=read_in_year)
    assert printed_day(found.printed) == gs1_day(six, read_in_year=read_in_year) == day
