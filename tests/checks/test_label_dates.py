"""Hold the reading of label dates against the rules they are printed by.

E   Regulation (EU) 1169/2011, Article 24 and Annex X.
F   21 CFR 107.20(c), infant formula.
D   USDA FSIS, food product dating.
G   GS1 General Specifications, 3.4.7 (dates, day 00) and 7.12 (the century of a year); the GS1
    syntax dictionary's tests for dates that do not exist.
B   biip 5.2, an independent reader of GS1 element strings.
"""

from datetime import UTC, date, datetime

import pytest
from biip import ParseError
from biip.gs1_element_strings import GS1ElementString

from daysworth.domain.catalogue import generic_foods
from daysworth.domain.errors import DateRefused
from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import FoodId, LotId, PlaceId, StoreId
from daysworth.domain.label_dates import LabelKind, gs1_day, printed_day
from daysworth.domain.lots import Lot, Place
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.shelf import Standing, dated_lots

HALL = Place(id=PlaceId("hall"), name="Hall")
FORMULA = FoodId("infant_formula_milk_powder")
BEANS = FoodId("black_beans_tinned")


def labelled(food: FoodId, *, kind: LabelKind, printed: str) -> Lot:
    return Lot(id=LotId("one"), food=food, place=HALL.id, units=1, label_kind=kind, printed=printed)


def last_good_day(lot: Lot, *, grace_days: int = 0) -> date | None:
    grace = dict.fromkeys(FoodGroup, grace_days)
    return lot.last_good_day(generic_foods()[lot.food], grace_days=grace)


def standing(lot: Lot, as_of: date, *, grace_days: int = 0) -> Standing:
    snapshot = Snapshot(
        store=StoreId("store"),
        store_name="A store",
        taken_on=as_of,
        settings=StoreSettings(grace_days=dict.fromkeys(FoodGroup, grace_days)),
        foods=(generic_foods()[lot.food],),
        places=(HALL,),
        lots=(lot,),
    )
    (found,) = dated_lots(snapshot, as_of)
    return found.standing


@pytest.mark.parametrize(
    ("printed", "day"),
    [
        pytest.param("2026-01-23", date(2026, 1, 23), id="best before, with its day"),
        pytest.param("2027-08", date(2027, 8, 31), id="best before end, month and year"),
        pytest.param("2027-02", date(2027, 2, 28), id="best before end, February"),
        pytest.param("2028-02", date(2028, 2, 29), id="best before end, leap February"),
        pytest.param("2028-04", date(2028, 4, 30), id="best before end, a month of thirty days"),
        pytest.param("2029", date(2029, 12, 31), id="best before end, year alone"),
    ],
)
def test_a_date_without_its_day_is_good_to_the_end_of_what_is_printed(
    printed: str, day: date
) -> None:
    """E, Annex X(1): "best before" where the day is shown, otherwise "best before end".

    More than three months and up to eighteen: month and year suffice. Longer: the year does.
    """
    assert printed_day(printed) == day
    for kind in (LabelKind.BEST_BY, LabelKind.USE_BY, LabelKind.SELL_BY):
        assert last_good_day(labelled(BEANS, kind=kind, printed=printed)) == day


@pytest.mark.parametrize("printed", ["03-14", "14 March", "14.03", "MAR 14", "26-03-14", "2603"])
def test_a_date_without_its_year_is_refused_and_not_guessed(printed: str) -> None:
    """E, Annex X(1)(c): food that keeps three months or less may print the day and the month only.

    Whoever reads such a label must add the year.
    """
    with pytest.raises(DateRefused):
        printed_day(printed)


@pytest.mark.parametrize(
    "printed",
    [
        "2027-02-29",
        "2027-02-30",
        "2027-13",
        "2027-00",
        "2027-06-31",
        "2027-06-00",
        "1999-12-31",
        "2100-01-01",
    ],
)
def test_a_printed_day_that_does_not_exist_is_refused(printed: str) -> None:
    """The Gregorian calendar; label dates are those of this century."""
    with pytest.raises(DateRefused):
        printed_day(printed)


def test_a_use_by_date_is_valid_to_its_midnight_and_unsafe_after() -> None:
    """E, Article 24: after its use-by date a food is unsafe; the day itself still counts."""
    lot = labelled(BEANS, kind=LabelKind.USE_BY, printed="2026-06-15")
    assert standing(lot, date(2026, 6, 15), grace_days=365) is Standing.GOOD
    assert standing(lot, date(2026, 6, 16), grace_days=365) is Standing.PAST


@pytest.mark.parametrize("kind", [LabelKind.BEST_BY, LabelKind.SELL_BY])
def test_food_past_its_quality_date_may_be_eaten_where_a_store_says_so(kind: LabelKind) -> None:
    """D: dates but formula's are for quality; sound food may be eaten after them.

    How long after is nowhere published, so it is a store's setting, and nothing by default.
    """
    lot = labelled(BEANS, kind=kind, printed="2026-06-15")
    assert standing(lot, date(2026, 6, 16)) is Standing.PAST
    assert standing(lot, date(2026, 7, 15), grace_days=30) is Standing.GOOD
    assert standing(lot, date(2026, 7, 16), grace_days=30) is Standing.PAST


def test_formula_dated_by_month_and_year_is_good_to_the_last_day_of_that_month() -> None:
    """F: "use by" month and year; the last day is the convention of E and G."""
    lot = labelled(FORMULA, kind=LabelKind.USE_BY, printed="2027-02")
    assert last_good_day(lot) == date(2027, 2, 28)


@pytest.mark.parametrize("kind", [LabelKind.USE_BY, LabelKind.BEST_BY, LabelKind.SELL_BY])
def test_formula_is_never_given_past_its_date_whatever_the_label_calls_it(
    kind: LabelKind,
) -> None:
    """D: infant formula's is the one date that federal law requires; past it, do not use it."""
    lot = labelled(FORMULA, kind=kind, printed="2027-02")
    assert standing(lot, date(2027, 2, 28), grace_days=365) is Standing.GOOD
    assert standing(lot, date(2027, 3, 1), grace_days=365) is Standing.PAST


def test_every_infant_food_of_the_catalogue_goes_by_its_label_alone() -> None:
    """F, D: without a printed use-by date nothing about its age can be known."""
    infants = [food for food in generic_foods().values() if food.is_for_infants]
    assert infants
    for food in infants:
        lot = labelled(food.id, kind=LabelKind.PACKED_ON, printed="2026-06-15")
        assert last_good_day(lot) is None


@pytest.mark.parametrize(
    ("six_digits", "day"), [("130200", date(2013, 2, 28)), ("160200", date(2016, 2, 29))]
)
def test_day_nought_is_the_last_of_the_month_leap_years_included(
    six_digits: str, day: date
) -> None:
    """G 3.4.7, its own examples."""
    assert gs1_day(six_digits, read_in_year=2026) == day


@pytest.mark.parametrize(
    ("six_digits", "read_in_year", "day"),
    [
        pytest.param("760101", 2026, date(2076, 1, 1), id="50 ahead: this century"),
        pytest.param("770101", 2026, date(1977, 1, 1), id="51 ahead: the century before"),
        pytest.param("991231", 2026, date(1999, 12, 31), id="73 ahead: the century before"),
        pytest.param("000101", 2026, date(2000, 1, 1), id="26 back: this century"),
        pytest.param("491231", 2098, date(2049, 12, 31), id="49 back: this century"),
        pytest.param("481231", 2098, date(2148, 12, 31), id="50 back: the century after"),
        pytest.param("000101", 2099, date(2100, 1, 1), id="99 back: the century after"),
        pytest.param("991231", 2000, date(1999, 12, 31), id="99 ahead: the century before"),
        pytest.param("500101", 2000, date(2050, 1, 1), id="50 ahead of the year nought"),
        pytest.param("510101", 2000, date(1951, 1, 1), id="51 ahead of the year nought"),
    ],
)
def test_the_century_puts_the_year_49_back_to_50_ahead(
    six_digits: str, read_in_year: int, day: date
) -> None:
    """G 7.12: with d the difference of two-digit years, 51 to 99 is the century before, -50 to
    -99 the century after, otherwise this one.
    """
    assert gs1_day(six_digits, read_in_year=read_in_year) == day


@pytest.mark.parametrize("read_in_year", [2024, 2025, 2026, 2027, 2028])
def test_the_last_day_of_1999_stays_in_1999_around_now(read_in_year: int) -> None:
    """G 7.12: 71 to 75 years ahead as two digits, so the century before."""
    assert gs1_day("991231", read_in_year=read_in_year) == date(1999, 12, 31)


@pytest.mark.parametrize(
    "six_digits",
    ["270230", "261301", "260001", "260000", "270229", "260631", "260132", "261300", "269900"],
)
def test_a_date_that_does_not_exist_is_refused(six_digits: str) -> None:
    """G, syntax dictionary: 30 February, months 13 and 00, and their like."""
    with pytest.raises(DateRefused):
        gs1_day(six_digits, read_in_year=2026)


@pytest.mark.parametrize(
    "text", ["", "26123", "2612311", "26123a", " 261231", "２６1231", "-61231"]
)
def test_what_is_not_six_digits_is_refused(text: str) -> None:
    """G 3.4.7: the field is six digits, N6."""
    with pytest.raises(DateRefused):
        gs1_day(text, read_in_year=2026)


def read_by_biip(identifier: str, six_digits: str) -> date | None:
    """Read by B, which takes the century from the clock (UTC); None: it refuses."""
    try:
        return GS1ElementString.parse(identifier + six_digits).date
    except ParseError:
        return None


def read_by_us(six_digits: str) -> date | None:
    try:
        return gs1_day(six_digits, read_in_year=datetime.now(tz=UTC).year)
    except DateRefused:
        return None


@pytest.mark.parametrize("identifier", ["11", "13", "15", "16", "17"])
def test_an_independent_reader_reads_the_same_days_and_refuses_the_same(identifier: str) -> None:
    """B, over every two-digit year and months 00 to 13, with days 00, 01, 15 and 28 to 32."""
    dates = [
        f"{year:02}{month:02}{day:02}"
        for year in range(100)
        for month in range(14)
        for day in (0, 1, 15, 28, 29, 30, 31, 32)
    ]
    theirs = {six_digits: read_by_biip(identifier, six_digits) for six_digits in dates}
    ours = {six_digits: read_by_us(six_digits) for six_digits in dates}
    assert ours == theirs
    assert sum(day is None for day in ours.values()) > 100
    assert sum(day is not None for day in ours.values()) > 1000
