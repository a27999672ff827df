"""Hold the reading of barcodes against what GS1 and others publish.

G   GS1 General Specifications: 3.4.7 (dates, day 00), 7.12 (the century of a year) and 7.9 (check
    digits, weights 3 and 1 from the right; its number is from memory).
D   GS1 syntax dictionary: identifiers whose length is fixed need no separator; its tests for dates
    that do not exist.
U   GS1 UK, check digit worked example.
I   GS1 India, check digit worked example.
M   IBM, check digit worked examples.
P   python-stdnum 2.2, its documented example of a GS1-128 element string.
X   GS1's prefix for examples, 952: numbers and strings of our own making in it, on which biip 5.2
    and python-stdnum 2.2 agree.

Figures that are from memory say so.
"""

from typing import Final

import pytest

from daysworth.answers.barcodes import MOST_CHARACTERS, gtin_14, read_barcode
from daysworth.domain.barcodes import PackFacts
from daysworth.domain.errors import BarcodeRefused
from daysworth.domain.label_dates import LabelKind

FNC1: Final = "\x1d"
GTIN: Final = "09521234543213"
EXAMPLE: Final = "01" + GTIN
BRACKETED: Final = f"(01){GTIN}"

CHECKED: Final = [
    pytest.param("6291041500213", "06291041500213", id="M: GTIN-13, sum 57"),
    pytest.param("5012345678900", "05012345678900", id="U: GTIN-13, digit 0"),
    pytest.param("8904000210037", "08904000210037", id="I: GTIN-13, 54 + 9 = 63"),
    pytest.param("40987650000223", "40987650000223", id="M: GTIN-14"),
    pytest.param("036000291452", "00036000291452", id="from memory: GTIN-12"),
    pytest.param("96385074", "00000096385074", id="from memory: GTIN-8"),
    pytest.param("09521234543213", "09521234543213", id="X: GTIN-14"),
    pytest.param("38425876095074", "38425876095074", id="P: GTIN-14"),
]
"""Numbers whose last digit fits, and the same padded to 14 digits (G)."""


def read(scanned: str, *, read_in_year: int = 2026) -> PackFacts:
    return read_barcode(scanned, read_in_year=read_in_year)


@pytest.mark.parametrize(("digits", "padded"), CHECKED)
def test_a_number_with_its_published_check_digit_is_read_padded_to_14(
    digits: str, padded: str
) -> None:
    """U, I, M, P, X, as named; padding with zeros on the left: G."""
    assert gtin_14(digits) == padded
    assert read(digits) == PackFacts(gtin=padded)


@pytest.mark.parametrize(("digits", "padded"), CHECKED)
def test_no_other_last_digit_is_taken(digits: str, padded: str) -> None:
    """G 7.9: of ten last digits one fits (for 629104150021, M, it is 3 and not 4)."""
    for last in set("0123456789") - {digits[-1]}:
        with pytest.raises(BarcodeRefused, match="the last digit"):
            gtin_14(digits[:-1] + last)
        with pytest.raises(BarcodeRefused, match="the last digit"):
            read(digits[:-1] + last)


@pytest.mark.parametrize(("digits", "padded"), CHECKED)
def test_any_one_digit_misread_is_found(digits: str, padded: str) -> None:
    """G 7.9: weights 3 and 1 share no factor with 10, so any one wrong digit shows."""
    for at, digit in enumerate(digits):
        for other in set("0123456789") - {digit}:
            with pytest.raises(BarcodeRefused):
                gtin_14(digits[:at] + other + digits[at + 1 :])


@pytest.mark.parametrize("digits", ["", "0", "1234567", "963850740", "9" * 15])
def test_a_number_of_another_length_is_no_trade_item_number(digits: str) -> None:
    """G: trade item numbers have 8, 12, 13 or 14 digits."""
    with pytest.raises(BarcodeRefused, match="8, 12, 13 or 14 digits"):
        gtin_14(digits)


@pytest.mark.parametrize(
    "digits", ["٩٦٣٨٥٠٧٤", "９６３８５０７４", "9638507a", "-9638507", "9638 507"]
)
def test_what_only_resembles_digits_is_no_trade_item_number(digits: str) -> None:
    """G: a trade item number is digits 0 to 9 alone."""
    with pytest.raises(BarcodeRefused, match="8, 12, 13 or 14 digits"):
        gtin_14(digits)


def test_a_number_typed_with_the_gaps_of_print_is_read() -> None:
    """U, its number written as under the bars."""
    assert read("5 012345 678900") == read("5-012345-678900") == PackFacts(gtin="05012345678900")


@pytest.mark.parametrize(
    ("symbology", "scanned"),
    [("]E0", "5012345678900"), ("]E4", "96385074"), ("]C1", EXAMPLE), ("]d2", EXAMPLE)],
)
def test_the_symbology_a_scanner_names_is_no_part_of_the_number(
    symbology: str, scanned: str
) -> None:
    """ISO/IEC 15424: ]E0 EAN-13, ]E4 EAN-8, ]C1 GS1-128, ]d2 GS1 DataMatrix (from memory)."""
    assert read(symbology + scanned) == read(scanned)


def test_a_first_separator_says_nothing() -> None:
    """G: FNC1 in first position marks a GS1 symbol; some scanners send it on (from memory)."""
    assert read("]d2" + FNC1 + EXAMPLE) == read(FNC1 + EXAMPLE) == PackFacts(gtin=GTIN)


def test_a_plain_number_whose_digits_also_read_as_an_element_is_a_number() -> None:
    """GS1's own example of a GTIN-14 (from memory) would read as the code (10) 614141000415.

    17270106, of our own making, would read as the expiration date (17) 6 January 2027.
    """
    assert read("10614141000415") == PackFacts(gtin="10614141000415")
    assert read("17270106") == PackFacts(gtin="00000017270106")


@pytest.mark.parametrize(
    ("scanned", "facts"),
    [
        pytest.param(
            EXAMPLE + "1526123110ABC123",
            PackFacts(
                gtin=GTIN, label_kind=LabelKind.BEST_BY, printed="2026-12-31", pack_code="ABC123"
            ),
            id="X, D: no separator after a date; the code runs to the end",
        ),
        pytest.param(
            EXAMPLE + "10ABC123" + FNC1 + "17270630",
            PackFacts(
                gtin=GTIN, label_kind=LabelKind.USE_BY, printed="2027-06-30", pack_code="ABC123"
            ),
            id="X, D: a separator after a code",
        ),
        pytest.param(
            "01988987654321063202012345" + "15991231",
            PackFacts(gtin="98898765432106", label_kind=LabelKind.BEST_BY, printed="1999-12-31"),
            id="G 7.12, D: a mass in pounds (3202) between, and a year of the century before",
        ),
        pytest.param(
            "013842587609507417181119371",
            PackFacts(gtin="38425876095074", label_kind=LabelKind.USE_BY, printed="2018-11-19"),
            id="P: its documented example, with a count (37)",
        ),
        pytest.param(
            "02" + GTIN + "1526123137" + "12",
            PackFacts(gtin=GTIN, label_kind=LabelKind.BEST_BY, printed="2026-12-31"),
            id="D: what a carton holds (02) and how many (37)",
        ),
        pytest.param(EXAMPLE, PackFacts(gtin=GTIN), id="X: the number alone"),
    ],
)
def test_an_element_string_says_number_date_and_code(scanned: str, facts: PackFacts) -> None:
    """D: 01, 02, 11 to 17 and 31nn to 36nn have a fixed length; 10 and 37 end at FNC1."""
    assert read(scanned) == facts


def test_without_its_separator_a_date_is_a_part_of_the_code() -> None:
    """D: 10 has no fixed length, so it runs on to the separator or to the end."""
    assert read(EXAMPLE + "10ABC12317270630") == PackFacts(gtin=GTIN, pack_code="ABC12317270630")


def test_text_in_brackets_keeps_its_elements_apart() -> None:
    """X, as printed under the bars (G 4.14, the section from memory): brackets hold identifiers.

    Stripped of its brackets the string would read as the code ABC12317270630.
    """
    assert read(f"{BRACKETED}(10)ABC123(17)270630") == PackFacts(
        gtin=GTIN, label_kind=LabelKind.USE_BY, printed="2027-06-30", pack_code="ABC123"
    )


@pytest.mark.parametrize(
    "rest", ["(10)ABC(17270630", "(10)ABC(17 270630", "(17)(10)ABC", "(10)ABC(17)"]
)
def test_text_in_brackets_that_is_not_read_to_its_end_is_refused(rest: str) -> None:
    """G 3.4.7: a date is six digits.

    Where a bracket or the digits were left out in typing, the date that stands there must not be
    passed over: without it, the lot would be logged as undated.
    """
    with pytest.raises(BarcodeRefused):
        read(BRACKETED + rest)


@pytest.mark.parametrize(
    ("identifier", "kind"),
    [
        ("11", LabelKind.PACKED_ON),
        ("13", LabelKind.PACKED_ON),
        ("15", LabelKind.BEST_BY),
        ("16", LabelKind.SELL_BY),
        ("17", LabelKind.USE_BY),
    ],
)
def test_each_date_is_the_label_that_its_identifier_stands_for(
    identifier: str, kind: LabelKind
) -> None:
    """G 3.4.7, D: 11 production, 13 packaging, 15 best before, 16 sell by, 17 expiration."""
    facts = PackFacts(gtin=GTIN, label_kind=kind, printed="2026-12-31")
    assert read(f"{EXAMPLE}{identifier}261231") == facts
    assert read(f"{BRACKETED}({identifier})261231") == facts


def test_the_day_a_bill_is_due_is_no_label() -> None:
    """G, D: 12 is the due date of a payment."""
    assert read(EXAMPLE + "12261231") == PackFacts(gtin=GTIN)


@pytest.mark.parametrize(
    ("strict", "lenient"), [("17", "15"), ("15", "16"), ("16", "13"), ("13", "11")]
)
@pytest.mark.parametrize("is_strict_first", [True, False], ids=["strict first", "strict last"])
def test_of_two_dates_the_one_that_binds_is_taken_wherever_it_stands(
    strict: str, lenient: str, *, is_strict_first: bool
) -> None:
    """G 3.4.7: the expiration date tells of safety and best before of quality.

    The order below them is our judgement.
    """
    pair = [f"{strict}270228", f"{lenient}261231"]
    facts = read(EXAMPLE + "".join(pair if is_strict_first else reversed(pair)))
    assert facts.printed == "2027-02-28"


@pytest.mark.parametrize(
    ("six_digits", "printed"),
    [
        pytest.param("130200", "2013-02-28", id="G 3.4.7: its example"),
        pytest.param("160200", "2016-02-29", id="G 3.4.7: its example, a leap year"),
        pytest.param("270600", "2027-06-30", id="G 3.4.7: a month of thirty days"),
        pytest.param("261200", "2026-12-31", id="G 3.4.7: the last month"),
    ],
)
@pytest.mark.parametrize("identifier", ["11", "13", "15", "16", "17"])
def test_day_nought_is_the_last_of_its_month(
    identifier: str, six_digits: str, printed: str
) -> None:
    """G 3.4.7: "the last day of the noted month including leap years". D permits it for these."""
    assert read(f"{EXAMPLE}{identifier}{six_digits}10LOT").printed == printed


@pytest.mark.parametrize(
    ("read_in_year", "six_digits", "printed"),
    [
        pytest.param(2026, "760101", "2076-01-01", id="50 ahead: this century"),
        pytest.param(2026, "770101", "1977-01-01", id="51 ahead: the century before"),
        pytest.param(2027, "770101", "2077-01-01", id="50 ahead a year later"),
        pytest.param(2098, "491231", "2049-12-31", id="49 back: this century"),
        pytest.param(2098, "481231", "2148-12-31", id="50 back: the century after"),
    ],
)
def test_the_century_goes_by_the_year_of_reading_and_not_by_the_clock(
    read_in_year: int, six_digits: str, printed: str
) -> None:
    """G 7.12: 49 years back to 50 ahead of the year in which it is read."""
    assert read(f"{EXAMPLE}17{six_digits}", read_in_year=read_in_year).printed == printed


@pytest.mark.parametrize(
    "six_digits",
    [
        pytest.param("270230", id="D: 30 February"),
        pytest.param("261301", id="D: month 13"),
        pytest.param("260001", id="D: month 00"),
        pytest.param("260000", id="D: month 00, day 00"),
        pytest.param("270229", id="29 February of a year that is not a leap year"),
        pytest.param("260631", id="31 June"),
        pytest.param("261232", id="32 December"),
    ],
)
@pytest.mark.parametrize("identifier", ["11", "13", "15", "16", "17"])
def test_a_date_that_does_not_exist_is_refused(identifier: str, six_digits: str) -> None:
    """D, its tests, and their like by the Gregorian calendar."""
    for scanned in (
        f"{EXAMPLE}{identifier}{six_digits}",
        f"{BRACKETED}({identifier}){six_digits}",
    ):
        with pytest.raises(BarcodeRefused):
            read(scanned)


@pytest.mark.parametrize("identifier", ["01", "02"])
def test_a_wrong_check_digit_inside_an_element_string_is_refused(identifier: str) -> None:
    """G 7.9: of 0952123454321 the check digit is 3 and not 4."""
    wrong = GTIN[:-1] + "4"
    for scanned in (f"{identifier}{wrong}17270630", f"({identifier}){wrong}(17)270630"):
        with pytest.raises(BarcodeRefused, match="the last digit of 09521234543214"):
            read(scanned)


def test_a_string_that_says_one_thing_twice_is_refused() -> None:
    """G 4.13 (from memory): one value for an identifier; which of two holds, nobody can tell."""
    for scanned in (EXAMPLE + EXAMPLE, BRACKETED * 2, EXAMPLE + "1726123117270630"):
        with pytest.raises(BarcodeRefused, match="twice"):
            read(scanned)


@pytest.mark.parametrize("scanned", ["(17)270630", "10ABC123", "1727063010ABC", "(17)270630(10)A"])
def test_a_date_or_a_code_without_a_trade_item_number_is_refused(scanned: str) -> None:
    """D: 10, 15 and 17 require 01 or 02."""
    with pytest.raises(BarcodeRefused, match="names no trade item"):
        read(scanned)


@pytest.mark.parametrize(
    "scanned",
    [
        pytest.param("01" + GTIN[:-1], id="a digit short of a number"),
        pytest.param(EXAMPLE + "172706", id="a date of four digits"),
        pytest.param(BRACKETED + "(17)2706", id="a date of four digits, in brackets"),
        pytest.param(BRACKETED + "(17)2706301", id="a date of seven digits"),
        pytest.param("(01)9521234543213", id="a number not padded to 14"),
        pytest.param(BRACKETED + "(17)27063O", id="a letter O in a date"),
        pytest.param(EXAMPLE + "10" + "A" * 21, id="a code of 21 characters: G has at most 20"),
        pytest.param(EXAMPLE + "10ABC\x00", id="a sign outside G's character set 82"),
        pytest.param("12345678901", id="eleven digits"),
        pytest.param("https://shop.example/01/" + GTIN, id="a web address"),
        pytest.param("beans", id="a word"),
    ],
)
def test_what_is_no_element_string_is_refused(scanned: str) -> None:
    """G, D: each identifier's length and characters."""
    with pytest.raises(BarcodeRefused):
        read(scanned)


def test_a_code_may_have_twenty_characters() -> None:
    """D: 10 is up to 20 characters of character set 82."""
    assert read(EXAMPLE + "10" + "A" * 20).pack_code == "A" * 20


@pytest.mark.parametrize(
    "scanned",
    [
        "",
        " ",
        "\r\n",
        FNC1,
        "]C1",
        "５０１２３４５６７８９００",
        "(01)０９５２１２３４５４３２１３",
        "é" * 13,
    ],
)
def test_nothing_and_what_is_not_plain_is_refused(scanned: str) -> None:
    """G's character sets are parts of ISO/IEC 646, which has no other signs (from memory)."""
    with pytest.raises(BarcodeRefused, match="1 to 400 plain"):
        read(scanned)


def test_text_of_400_characters_is_read_and_no_longer_one() -> None:
    """The bound is ours. G: 91 to 99 are a company's own, of up to 90 characters (from memory)."""
    own = "".join(f"({identifier})" + "A" * 90 for identifier in (91, 92, 93, 94))
    longest = f"{BRACKETED}{own}(95)AB"
    assert len(longest) == MOST_CHARACTERS == 400
    assert read(longest) == PackFacts(gtin=GTIN)
    with pytest.raises(BarcodeRefused, match="1 to 400 plain"):
        read(longest + "C")
