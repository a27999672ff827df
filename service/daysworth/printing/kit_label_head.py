"""Lay out the head of a kit's label, which is never left out, and its QR code.

From the top: the name, the day to eat it by, for how many, the opener and the allergens. The code
stands at the right, the kit's id under it: on a label that is wider than tall at its top, on one
that is taller below the name and the day, which are as wide as the label. Lengths are millimetres
from the upper left corner of the room within the label's padding.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from daysworth.printing.kit_label_parts import Head
from daysworth.printing.label_paragraphs import (
    ASCENT,
    POINT_MM,
    Paragraph,
    Run,
    Typesetter,
    Written,
    is_unbroken,
    line_count,
    line_mm,
    width_mm,
)
from daysworth.printing.label_pieces import Framed, Laid, frame_of, lay_framed, lay_stack
from daysworth.printing.label_sheets import SheetGeometry

LEAST_PT: Final = 6.5
"""The smallest letters on a label: what is smaller, few can read (our judgement)."""

_STEP: Final = 0.95
"""How much smaller letters get, each time that they turn out too large."""


def lay_head(
    head: Head, *, sheet: SheetGeometry, letters: Typesetter, shrink: float, quiet_mm: float
) -> tuple[Laid, tuple[float, float]]:
    """Lay out the head with letters shrunk to a share of their size (above 0, at most 1).

    `quiet_mm` is kept free around the QR code. Gives the upper left corner of the code as well.
    """
    code_x_mm = sheet.room_width_mm - sheet.qr_mm
    beside_mm = code_x_mm - quiet_mm
    room_mm = sheet.room_width_mm if sheet.is_upright else beside_mm
    size = _Size(sheet, letters, shrink)
    top = _stacked(
        (_lay_name(head.name, size, room_mm=room_mm), _lay_day(head, size, room_mm=room_mm)),
        gap_mm=0.5 * size.gap_mm,
    )
    beside = _lay_beside(head, size, room_mm=beside_mm)
    under = _lay_id(head.kit_id, size)
    beside_top_mm = top.height_mm + size.gap_mm
    if sheet.is_upright:
        beside_top_mm = top.height_mm + max(quiet_mm, size.gap_mm)
    code_top_mm = beside_top_mm if sheet.is_upright else 0.0
    under_top_mm = code_top_mm + sheet.qr_mm + quiet_mm
    pieces = (
        *top.pieces,
        *beside.moved(0.0, beside_top_mm),
        *under.moved(code_x_mm, under_top_mm),
    )
    height_mm = max(beside_top_mm + beside.height_mm, under_top_mm + under.height_mm)
    return Laid(pieces, height_mm), (code_x_mm, code_top_mm)


@dataclass(frozen=True, slots=True)
class _Size:
    """A sheet's sizes, shrunk to a share of what they are at most."""

    sheet: SheetGeometry
    letters: Typesetter
    shrink: float

    def shrunk(self, most_pt: float) -> float:
        return max(LEAST_PT, most_pt * self.shrink)

    @property
    def gap_mm(self) -> float:
        return 0.5 * self.shrunk(self.sheet.most_body_pt) * POINT_MM


def _stacked(laid: Sequence[Laid], *, gap_mm: float) -> Laid:
    pieces: list[Written | Framed] = []
    down_mm = 0.0
    for one in laid:
        pieces.extend(one.moved(0.0, down_mm))
        down_mm += one.height_mm + gap_mm
    return Laid(tuple(pieces), down_mm - gap_mm)


def _lay_name(name: str, size: _Size, *, room_mm: float) -> Laid:
    """Set the name as large as it goes on two lines, or on three where they would be small."""
    letters = size.letters
    size_pt = most_pt = size.shrunk(size.sheet.most_name_pt)
    while size_pt > LEAST_PT:
        lines = line_count(name, letters, size_pt=size_pt, room_mm=room_mm)
        most_lines = 2 if size_pt > most_pt / 2 else 3
        if lines <= most_lines and is_unbroken(name, letters, size_pt=size_pt, room_mm=room_mm):
            break
        size_pt = max(LEAST_PT, size_pt * _STEP)
    paragraph = Paragraph(runs=(Run(name, is_bold=True),))
    return lay_stack((paragraph,), letters, size_pt=size_pt, room_mm=room_mm)


def _lay_day(head: Head, size: _Size, *, room_mm: float) -> Laid:
    """Set the day in a frame, its lead before it or, where there is height, above it."""
    sheet, letters = size.sheet, size.letters
    size_pt = size.shrunk(sheet.most_date_pt)
    lead, said = letters.drawable(head.pull_by), letters.drawable(head.day)
    while True:
        pad_mm, lead_pt = 0.18 * size_pt * POINT_MM, max(LEAST_PT, 0.5 * size_pt)
        lead_mm = width_mm(lead + " ", letters, size_pt=lead_pt, is_bold=False)
        day_mm = width_mm(said, letters, size_pt=size_pt, is_bold=True)
        taken_mm = max(lead_mm, day_mm) if sheet.is_tall else lead_mm + day_mm
        if taken_mm <= room_mm - 4 * pad_mm or size_pt <= LEAST_PT:
            break
        size_pt = max(LEAST_PT, size_pt * _STEP)
    lead_high_mm = line_mm(lead_pt) if sheet.is_tall else 0.0
    foot_mm = pad_mm + lead_high_mm + ASCENT * size_pt * POINT_MM
    x_mm = 2 * pad_mm
    lead_foot_mm = pad_mm + ASCENT * lead_pt * POINT_MM if sheet.is_tall else foot_mm
    day_x_mm = x_mm if sheet.is_tall else x_mm + lead_mm
    height_mm = 2 * pad_mm + lead_high_mm + line_mm(size_pt)
    return Laid(
        (
            frame_of(room_mm, height_mm, size_pt=size_pt),
            _written(lead, x_mm, foot_mm=lead_foot_mm, size_pt=lead_pt, is_bold=False),
            _written(said, day_x_mm, foot_mm=foot_mm, size_pt=size_pt, is_bold=True),
        ),
        height_mm,
    )


def _lay_beside(head: Head, size: _Size, *, room_mm: float) -> Laid:
    """Stack for how many, the opener and the allergens."""
    letters, most_pt = size.letters, size.sheet.most_body_pt
    serves = Paragraph(runs=(Run(head.serves, is_bold=True),))
    opener = Paragraph(runs=(Run(head.opener, is_bold=head.is_opener_needed),))
    serves_pt = size.shrunk(1.6 * most_pt)
    while serves_pt > LEAST_PT and (
        line_count(head.serves, letters, size_pt=serves_pt, room_mm=room_mm) > 1
    ):
        serves_pt = max(LEAST_PT, serves_pt * _STEP)
    laid = (
        lay_stack((serves,), letters, size_pt=serves_pt, room_mm=room_mm),
        lay_framed(
            (opener,), letters, size_pt=size.shrunk(1.4 * most_pt), room_mm=room_mm, weight=2.0
        )
        if head.is_opener_needed
        else lay_stack((opener,), letters, size_pt=size.shrunk(1.15 * most_pt), room_mm=room_mm),
        lay_framed(head.allergens, letters, size_pt=size.shrunk(1.1 * most_pt), room_mm=room_mm),
    )
    return _stacked(laid, gap_mm=0.6 * size.gap_mm)


def _lay_id(kit_id: str, size: _Size) -> Laid:
    """Set the kit's id in one line as wide as the code, or in several of the smallest letters."""
    sheet, letters = size.sheet, size.letters
    size_pt = max(LEAST_PT, 0.6 * sheet.most_body_pt)
    while size_pt > LEAST_PT and not is_unbroken(
        kit_id, letters, size_pt=size_pt, room_mm=sheet.qr_mm
    ):
        size_pt = max(LEAST_PT, size_pt * _STEP)
    said = Paragraph(runs=(Run(kit_id, is_bold=True),))
    return lay_stack((said,), letters, size_pt=size_pt, room_mm=sheet.qr_mm)


def _written(text: str, x_mm: float, *, foot_mm: float, size_pt: float, is_bold: bool) -> Written:
    return Written(x_mm=x_mm, y_mm=foot_mm, text=text, size_pt=size_pt, is_bold=is_bold)
