"""The QR code of a label: it is the address's, large enough, dark, and kept clear of all else."""

from dataclasses import replace
from itertools import pairwise

import pytest
import segno

from daysworth.printing.label_sheets import LabelSheet
from tests.checks.test_qr import decoded
from tests.printing.read_labels import Box, Sheet, Text, read
from tests.printing.test_kit_labels import PAGES, SHEETS, page, printed
from tests.printing.written_labels import MUCH, USUAL

QUIET_MODULES = 4
"""ISO/IEC 18004: light modules on every side of a code."""


def area(bars: list[Box]) -> tuple[float, float, float, float]:
    """Give the left, top, right and bottom of a code."""
    boxes = [bar.box for bar in bars]
    left, top = min(box[0] for box in boxes), min(box[1] for box in boxes)
    return left, top, max(box[2] for box in boxes), max(box[3] for box in boxes)


def modules(one: Sheet, *, side: int) -> list[list[bool]]:
    """Read the modules at their middles, as a camera would."""
    left, top, right, bottom = area(one.bars)

    def is_dark(row: int, column: int) -> bool:
        x = left + (column + 0.5) * (right - left) / side
        y = top + (row + 0.5) * (bottom - top) / side
        return any(
            box[0] < x < box[2] and box[1] < y < box[3] for box in (bar.box for bar in one.bars)
        )

    return [[is_dark(row, column) for column in range(side)] for row in range(side)]


@pytest.mark.parametrize("sheet", SHEETS)
def test_the_code_opens_the_address_of_the_kit(sheet: LabelSheet) -> None:
    assert decoded(modules(page("usual", sheet), side=29)) == USUAL.address


def test_a_long_address_is_in_a_larger_code_of_level_m() -> None:
    address = "https://elm-row.example/stores/the-store-of-elm-row/kits/0123456789abcdef0123456789"
    code = segno.make_qr(address, error="m", boost_error=False)
    side = len(code.matrix)
    (one,) = read(printed(replace(USUAL, address=address), sheet=LabelSheet.A4_8))
    assert (code.error, side) == ("M", 37)
    assert modules(one, side=side) == [[bool(module) for module in row] for row in code.matrix]


@pytest.mark.parametrize("sheet", SHEETS)
def test_the_code_is_two_centimetres_and_on_a_page_three_and_a_half(sheet: LabelSheet) -> None:
    left, top, right, bottom = area(page("much", sheet).bars)
    least = 35.0 if sheet in PAGES else 20.0
    assert right - left >= least - 0.01
    assert bottom - top == pytest.approx(right - left, abs=0.02)


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("label", ["usual", "little", "much"])
def test_nothing_else_stands_in_the_quiet_zone(label: str, sheet: LabelSheet) -> None:
    one = page(label, sheet)
    left, top, right, bottom = area(one.bars)
    drawn: list[Text | Box] = [*one.texts, *one.frames]
    quiet = QUIET_MODULES * (right - left) / 29 - 0.05
    near = [
        piece
        for piece in drawn
        if piece.box[0] < right + quiet
        and piece.box[2] > left - quiet
        and piece.box[1] < bottom + quiet
        and piece.box[3] > top - quiet
    ]
    assert near == []


def test_the_kit_s_id_stands_under_its_code() -> None:
    one = page("usual")
    left, _, right, bottom = area(one.bars)
    (under,) = [text for text in one.texts if text.text == "kit-17"]
    assert left - 0.01 <= under.left
    assert under.left + under.width <= right
    assert bottom < under.foot < bottom + 12


def test_rows_of_a_code_reach_into_each_other_so_that_no_light_line_shows() -> None:
    rows = sorted({(round(bar.top, 3), round(bar.box[3], 3)) for bar in page("usual").bars})
    assert len(rows) == 29
    assert all(above[1] > below[0] for above, below in pairwise(rows))


def test_two_labels_have_two_codes() -> None:
    (one,) = read(printed(USUAL, MUCH, sheet=LabelSheet.LETTER_2))
    assert area(one.bars)[3] - area(one.bars)[1] > 100
