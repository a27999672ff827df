"""Hold the reading of typed dates against how dates are published to be printed.

U   Unicode Common Locale Data Repository, Gregorian calendar, date format "short". The pattern of
    en-GB is from its JSON data (dates, main, en-GB, ca-gregorian); the others are from memory.
G   GS1 General Specifications: 3.4.7 (YYMMDD, day 00) and 7.12 (the century of a year).
I   ISO 8601-1, calendar dates: extended, basic, and of reduced precision (from memory).
C   Canadian Food Inspection Agency, date markings and storage instructions, manner of declaring:
    its bilingual symbols and its examples (Food and Drug Regulations, B.01.007(4) and (5)).
F   USDA FSIS, food product dating: a calendar date has its month and day, and on shelf-stable and
    frozen food its year; codes on cans are no dates.
E   Regulation (EU) 1169/2011, Annex X: day and month; month and year; or year alone, by how long
    a food keeps.
P   Common practice on packs in the United States, where no rule says how figures are ordered.
"""

from typing import Final

import pytest

from daysworth.domain.errors import DateRefused
from daysworth.domain.typed_dates import DateOrder, TypedDate, read_typed_date
from daysworth.wording.catalogue import catalogue

DAY, MONTH, YEAR = DateOrder.DAY, DateOrder.MONTH, DateOrder.YEAR


def read(typed: str, *, order: DateOrder = MONTH, read_in_year: int = 2026) -> TypedDate:
    return read_typed_date(typed, order=order, read_in_year=read_in_year)


@pytest.mark.parametrize(
    ("locale", "order"),
    [
        pytest.param("en-US", MONTH, id="M/d/yy"),
        pytest.param("fil-PH", MONTH, id="M/d/yy, fil"),
        pytest.param("en-GB", DAY, id="dd/MM/y"),
        pytest.param("fr-FR", DAY, id="dd/MM/y, fr"),
        pytest.param("pt-BR", DAY, id="dd/MM/y, pt"),
        pytest.param("de-DE", DAY, id="dd.MM.yy"),
        pytest.param("es-MX", DAY, id="dd/MM/yy"),
        pytest.param(
            "es-US", MONTH, id="as US packs are printed (common practice); CLDR has d/M/y"
        ),
        pytest.param("en-CA", YEAR, id="y-MM-dd"),
        pytest.param("sv-SE", YEAR, id="y-MM-dd, sv"),
        pytest.param("ja-JP", YEAR, id="y/MM/dd"),
        pytest.param("zh-CN", YEAR, id="y/M/d"),
        pytest.param("ko-KR", YEAR, id="yy. M. d."),
        pytest.param("hu-HU", YEAR, id="y. MM. dd."),
    ],
)
def test_a_locales_order_is_that_of_its_short_dates(locale: str, order: DateOrder) -> None:
    """U, by the pattern named; 3 April 2027 in that order is read as 3 April 2027."""
    assert catalogue(locale).date_order is order
    typed = {DAY: "03/04/27", MONTH: "04/03/27", YEAR: "27/04/03"}[order]
    assert read(typed, order=catalogue(locale).date_order).printed == "2027-04-03"


@pytest.mark.parametrize(
    ("six", "read_in_year", "printed"),
    [
        pytest.param("130200", 2026, "2013-02", id="3.4.7: all of February 2013"),
        pytest.param("160200", 2026, "2016-02", id="3.4.7: all of February 2016"),
        pytest.param("270403", 2026, "2027-04-03", id="1 ahead: this century"),
        pytest.param("760101", 2026, "2076-01-01", id="50 ahead: this century"),
        pytest.param("000131", 2026, "2000-01-31", id="26 back: this century"),
        pytest.param("491231", 2098, "2049-12-31", id="49 back: this century"),
    ],
)
def test_a_year_of_two_figures_has_the_century_that_gs1_gives_it(
    six: str, read_in_year: int, printed: str
) -> None:
    """G 3.4.7, its own examples; G 7.12, worked by its rule."""
    assert read(six, order=YEAR, read_in_year=read_in_year).printed == printed


@pytest.mark.parametrize(
    ("six", "read_in_year"),
    [
        pytest.param("770101", 2026, id="51 ahead: 1977"),
        pytest.param("991231", 2026, id="73 ahead: 1999"),
        pytest.param("481231", 2098, id="50 back: 2148"),
    ],
)
def test_a_year_whose_century_is_another_is_refused(six: str, read_in_year: int) -> None:
    """G 7.12; label dates are those of this century."""
    with pytest.raises(DateRefused, match="its year is not between 2000 and 2099"):
        read(six, order=YEAR, read_in_year=read_in_year)


@pytest.mark.parametrize("order", DateOrder)
@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        pytest.param("2027-04-30", "2027-04-30", id="extended"),
        pytest.param("20270430", "2027-04-30", id="basic"),
        pytest.param("2027-04", "2027-04", id="to the month"),
        pytest.param("2027", "2027", id="to the year"),
        pytest.param("2027-03-04", "2027-03-04", id="a day that could be a month"),
    ],
)
def test_a_date_of_iso_8601_is_never_ambiguous(order: DateOrder, typed: str, printed: str) -> None:
    """I: the year first, then the month, then the day."""
    assert read(typed, order=order) == TypedDate(printed)


@pytest.mark.parametrize("typed", ["2027-120", "2027120", "2027-W18", "2027-W18-5"])
def test_other_dates_of_iso_8601_are_not_what_packs_print(typed: str) -> None:
    """I: ordinal dates and week dates."""
    with pytest.raises(DateRefused):
        read(typed)


SYMBOLS: Final = "JA FE MR AL MA JN JL AU SE OC NO DE"
"""C, the twelve months in their order."""


@pytest.mark.parametrize("order", DateOrder)
def test_the_bilingual_symbols_are_the_months(order: DateOrder) -> None:
    """C: the year is shown first, then the month, then the day."""
    for month, symbol in enumerate(SYMBOLS.split(), start=1):
        for typed in (f"2027 {symbol} 30", f"BB/MA 2027-{symbol}-30"):
            if symbol == "FE":
                with pytest.raises(DateRefused, match="there is no 30 February 2027"):
                    read(typed, order=order)
            else:
                assert read(typed, order=order) == TypedDate(f"2027-{month:02}-30")


def test_a_bilingual_date_has_its_year_first_and_elsewhere_is_asked_about() -> None:
    """C, its example "12 JN 28": 28 June 2012."""
    assert read("12 JN 28", order=YEAR) == TypedDate("2012-06-28", ("2028-06-12",))
    assert read("12 JN 28", order=MONTH) == TypedDate("2028-06-12", ("2012-06-28",))


@pytest.mark.parametrize("typed", ["JN 28", "June 28 juin"])
def test_a_bilingual_date_may_lack_its_year_and_is_then_refused(typed: str) -> None:
    """C, its examples where "the year is not needed for clarity"."""
    with pytest.raises(DateRefused):
        read(typed, order=YEAR)


@pytest.mark.parametrize("order", DateOrder)
@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        pytest.param("Best before end: April 2027", "2027-04", id="3 to 18 months: month, year"),
        pytest.param("Best before end: 2029", "2029", id="more than 18 months: year"),
        pytest.param("Best before 23 January 2027", "2027-01-23", id="with its day"),
    ],
)
def test_a_best_before_date_is_read_as_far_as_it_is_printed(
    order: DateOrder, typed: str, printed: str
) -> None:
    """E, Annex X(1)."""
    assert read(typed, order=order) == TypedDate(printed)


@pytest.mark.parametrize("typed", ["Best before 27 April", "27 APR", "27.04."])
def test_a_day_and_a_month_alone_are_refused_and_not_taken_for_a_year(typed: str) -> None:
    """E, Annex X(1)(c): what keeps three months or less may lack its year."""
    with pytest.raises(DateRefused):
        read(typed, order=DAY)


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        pytest.param("BEST BY APR 2027", "2027-04", id="month and year"),
        pytest.param("APR 27", "2027-04", id="month and year of two figures: F has years printed"),
        pytest.param("BEST IF USED BY APR 04 2027", "2027-04-04", id="month, day, year"),
        pytest.param("USE BY 04APR2027", "2027-04-04", id="day, month, year in one"),
        pytest.param("07/JUN/2027", "2027-06-07", id="day, month, year"),
        pytest.param("121528", "2028-12-15", id="MMDDYY"),
        pytest.param("EXP 04/27", "2027-04", id="MM/YY"),
    ],
)
def test_what_packs_in_the_united_states_print_is_read_there(typed: str, printed: str) -> None:
    """P; F for the year."""
    assert read(typed, order=MONTH) == TypedDate(printed)


@pytest.mark.parametrize("typed", ["0195", "7143", "L7143", "365", "10195"])
def test_a_code_on_a_can_is_no_date(typed: str) -> None:
    """F: codes are the maker's own; many end in the day of the year, 001 to 366 (P)."""
    with pytest.raises(DateRefused):
        read(typed)
