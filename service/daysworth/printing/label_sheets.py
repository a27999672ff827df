"""Name the sheets that labels are printed on, by their dimensions, and say where each label stands.

A sheet of adhesive labels has the margins and gaps that it is cut with; plain paper that is cut or
folded in two or four has none. Lengths are millimetres, from the page's upper left corner.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from daysworth.wording.catalogue import Catalogue

_INCH_MM: Final = 25.4


class LabelSheet(StrEnum):
    """A sheet: its paper, and how many labels stand on it."""

    LETTER_1 = "letter-1"
    LETTER_2 = "letter-2"
    LETTER_4 = "letter-4"
    LETTER_6 = "letter-6"
    A4_1 = "a4-1"
    A4_2 = "a4-2"
    A4_4 = "a4-4"
    A4_8 = "a4-8"

    @property
    def geometry(self) -> "SheetGeometry":
        """Give the sheet's dimensions."""
        return _SHEETS[self]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetGeometry:
    """The dimensions of a sheet, in millimetres, and what a label of its size is drawn with.

    `padding_mm` is kept free within each label. `qr_mm` is the side of its QR code without the
    light modules around it. The most points are those of the largest letters: of a kit's name, of
    its date, and of what follows them.
    """

    page_width_mm: float
    page_height_mm: float
    across: int
    down: int
    label_width_mm: float
    label_height_mm: float
    left_mm: float = 0.0
    top_mm: float = 0.0
    gap_across_mm: float = 0.0
    padding_mm: float
    qr_mm: float
    most_name_pt: float
    most_date_pt: float
    most_body_pt: float

    @property
    def labels(self) -> int:
        """Count the labels on a sheet."""
        return self.across * self.down

    @property
    def room_width_mm(self) -> float:
        """Give the width within a label's padding."""
        return self.label_width_mm - 2 * self.padding_mm

    @property
    def room_height_mm(self) -> float:
        """Give the height within a label's padding."""
        return self.label_height_mm - 2 * self.padding_mm

    @property
    def is_tall(self) -> bool:
        """Tell whether a label has height enough for lists line by line."""
        return self.label_height_mm >= 120.0

    @property
    def is_upright(self) -> bool:
        """Tell whether a label is taller than wide, so that its head is as wide as it is."""
        return self.label_height_mm > self.label_width_mm

    @property
    def is_wide(self) -> bool:
        """Tell whether a label has width enough for two columns."""
        return self.label_width_mm >= 150.0

    def corner_mm(self, position: int) -> tuple[float, float]:
        """Give the upper left corner of a label; positions run from 1, row by row."""
        row, column = divmod(position - 1, self.across)
        return (
            self.left_mm + column * (self.label_width_mm + self.gap_across_mm),
            self.top_mm + row * self.label_height_mm,
        )


def sheet_in_words(sheet: LabelSheet, *, words: Catalogue) -> str:
    """Say what a sheet is, with its dimensions, as it stands in a list to choose from."""
    return words.say(f"kit-label-sheet-{sheet.value}")


def _whole(width_mm: float, height_mm: float) -> SheetGeometry:
    """Describe a page that is one label; padding is the margin that printers need."""
    return SheetGeometry(
        page_width_mm=width_mm,
        page_height_mm=height_mm,
        across=1,
        down=1,
        label_width_mm=width_mm,
        label_height_mm=height_mm,
        padding_mm=13.0,
        qr_mm=40.0,
        most_name_pt=60.0,
        most_date_pt=54.0,
        most_body_pt=17.0,
    )


def _halves(width_mm: float, height_mm: float) -> SheetGeometry:
    return SheetGeometry(
        page_width_mm=width_mm,
        page_height_mm=height_mm,
        across=1,
        down=2,
        label_width_mm=width_mm,
        label_height_mm=height_mm / 2,
        padding_mm=9.0,
        qr_mm=32.0,
        most_name_pt=40.0,
        most_date_pt=38.0,
        most_body_pt=13.0,
    )


def _quarters(width_mm: float, height_mm: float) -> SheetGeometry:
    return SheetGeometry(
        page_width_mm=width_mm,
        page_height_mm=height_mm,
        across=2,
        down=2,
        label_width_mm=width_mm / 2,
        label_height_mm=height_mm / 2,
        padding_mm=7.0,
        qr_mm=25.0,
        most_name_pt=26.0,
        most_date_pt=22.0,
        most_body_pt=10.5,
    )


_LETTER: Final = (8.5 * _INCH_MM, 11 * _INCH_MM)
"""ANSI/ASME Y14.1, size A; from memory."""

_A4: Final = (210.0, 297.0)
"""ISO 216; from memory."""

_SHEETS: Final = {
    LabelSheet.LETTER_1: _whole(*_LETTER),
    LabelSheet.LETTER_2: _halves(*_LETTER),
    LabelSheet.LETTER_4: _quarters(*_LETTER),
    # 4 by 3 1/3 inches, with margins as such sheets are cut (common practice).
    LabelSheet.LETTER_6: SheetGeometry(
        page_width_mm=_LETTER[0],
        page_height_mm=_LETTER[1],
        across=2,
        down=3,
        label_width_mm=4 * _INCH_MM,
        label_height_mm=10 * _INCH_MM / 3,
        left_mm=0.156 * _INCH_MM,
        top_mm=0.5 * _INCH_MM,
        gap_across_mm=0.188 * _INCH_MM,
        padding_mm=3.5,
        qr_mm=21.0,
        most_name_pt=20.0,
        most_date_pt=17.0,
        most_body_pt=9.0,
    ),
    LabelSheet.A4_1: _whole(*_A4),
    LabelSheet.A4_2: _halves(*_A4),
    LabelSheet.A4_4: _quarters(*_A4),
    # 99.1 by 67.7 millimetres, with margins as such sheets are cut (common practice; from memory).
    LabelSheet.A4_8: SheetGeometry(
        page_width_mm=_A4[0],
        page_height_mm=_A4[1],
        across=2,
        down=4,
        label_width_mm=99.1,
        label_height_mm=67.7,
        left_mm=4.65,
        top_mm=13.1,
        gap_across_mm=2.5,
        padding_mm=3.0,
        qr_mm=20.0,
        most_name_pt=17.0,
        most_date_pt=15.0,
        most_body_pt=8.5,
    ),
}
