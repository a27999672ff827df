"""Read what a barcode on a pack says, by the library `biip`, its traps handled.

- A plain number of 8, 12, 13 or 14 digits is a trade item number, never an element string, though
  its digits may also read as one.
- A wrong check digit inside an element string raises nothing in the library; here it is refused.
- The library reads two-digit years by the clock; here the year of reading is given.
- Text in brackets, as printed under the bars, is read as such; stripping the brackets would run
  one element into the next.
"""

import re
from typing import Final

from biip import ParseError
from biip.checksums import gs1_standard_check_digit
from biip.gs1_messages import GS1Message

from daysworth.domain.barcodes import PackFacts
from daysworth.domain.errors import BarcodeRefused, DateRefused
from daysworth.domain.label_dates import LabelKind, gs1_day

MOST_CHARACTERS: Final = 400
_GTIN_LENGTHS: Final = frozenset({8, 12, 13, 14})
_SYMBOLOGY: Final = re.compile(r"^\][A-Za-z][0-9A-Za-z]")
_SEPARATOR: Final = "\x1d"

_DATES: Final = (
    # GS1 General Specifications: the expiration date is the strictest, then best before.
    ("17", LabelKind.USE_BY),
    ("15", LabelKind.BEST_BY),
    ("16", LabelKind.SELL_BY),
    ("13", LabelKind.PACKED_ON),
    ("11", LabelKind.PACKED_ON),
)


def read_barcode(scanned: str, *, read_in_year: int) -> PackFacts:
    """Read a trade item number or a GS1 element string, with or without brackets.

    Raises BarcodeRefused where it is neither, or a check digit or a date in it is wrong.
    """
    text = _SYMBOLOGY.sub("", scanned.strip(" \t\r\n")).lstrip(_SEPARATOR)
    if not text or len(text) > MOST_CHARACTERS or not text.isascii():
        raise BarcodeRefused("a barcode has 1 to 400 plain letters, digits and signs")
    if text.replace(" ", "").replace("-", "").isdigit():
        digits = text.replace(" ", "").replace("-", "")
        if len(digits) in _GTIN_LENGTHS:
            return PackFacts(gtin=gtin_14(digits))
    return _facts(_message(text), read_in_year=read_in_year)


def gtin_14(digits: str) -> str:
    """Pad a number of 8, 12, 13 or 14 digits to 14. Raises BarcodeRefused, also for its check."""
    if len(digits) not in _GTIN_LENGTHS or not (digits.isascii() and digits.isdigit()):
        raise BarcodeRefused("a trade item number has 8, 12, 13 or 14 digits")
    if not digits.strip("0"):
        raise BarcodeRefused("a trade item number is not all zeros")
    if gs1_standard_check_digit(digits[:-1]) != int(digits[-1]):
        raise BarcodeRefused(
            f"the last digit of {digits} does not fit the others: read the number again"
        )
    return digits.zfill(14)


def _message(text: str) -> GS1Message:
    try:
        if not text.startswith("("):
            return GS1Message.parse(text)
        message = GS1Message.parse_hri(text)
    except (ParseError, ValueError) as fault:
        raise BarcodeRefused(_UNREADABLE) from fault
    # The library passes over what it does not understand, a date for one.
    used = "".join(f"({element.ai.ai}){element.value}" for element in message.element_strings)
    if used != text.replace(" ", ""):
        raise BarcodeRefused(_UNREADABLE)
    return message


_UNREADABLE: Final = "this is no GS1 barcode: a number, a date or a separator in it cannot be read"


def _facts(message: GS1Message, *, read_in_year: int) -> PackFacts:
    values = {element.ai.ai: element.value for element in message.element_strings}
    if len(values) < len(message.element_strings):
        raise BarcodeRefused("this barcode says one thing twice")
    number = values.get("01") or values.get("02")
    if number is None:
        raise BarcodeRefused("this barcode names no trade item, so its dates belong to nothing")
    kind, printed = _date(values, read_in_year=read_in_year)
    return PackFacts(
        gtin=gtin_14(number), label_kind=kind, printed=printed, pack_code=values.get("10")
    )


def _date(
    values: dict[str, str], *, read_in_year: int
) -> tuple[LabelKind, str] | tuple[None, None]:
    for identifier, kind in _DATES:
        if identifier in values:
            try:
                day = gs1_day(values[identifier], read_in_year=read_in_year)
            except DateRefused as fault:
                raise BarcodeRefused(f"the date in this barcode cannot be: {fault}") from fault
            return kind, day.isoformat()
    return None, None
