"""Sheets of labels: labels stand on the paper, beside each other, and are listed in words."""

from itertools import combinations

import pytest

from daysworth.printing.label_sheets import LabelSheet, sheet_in_words
from daysworth.wording.catalogue import catalogue
from tests.printing.read_labels import read
from tests.printing.test_kit_labels import SHEETS, place, printed
from tests.printing.written_labels import LITTLE

INCH = 25.4
PRINTABLE = 6.35
"""What printers leave free along the paper's edge: a quarter of an inch (common practice)."""


@pytest.mark.parametrize("sheet", SHEETS)
def test_labels_stand_on_the_paper_and_not_on_each_other(sheet: LabelSheet) -> None:
    geometry = sheet.geometry
    places = [place(sheet, position) for position in range(1, geometry.labels + 1)]
    for left, top, right, bottom in places:
        assert min(left, top) >= 0
        assert right <= geometry.page_width_mm + 1e-9
        assert bottom <= geometry.page_height_mm + 1e-9
    for one, other in combinations(places, 2):
        is_beside = one[2] <= other[0] + 1e-9 or other[2] <= one[0] + 1e-9
        is_below = one[3] <= other[1] + 1e-9 or other[3] <= one[1] + 1e-9
        assert is_beside or is_below


@pytest.mark.parametrize("sheet", SHEETS)
def test_margins_are_the_same_on_opposite_sides(sheet: LabelSheet) -> None:
    geometry = sheet.geometry
    first, last = place(sheet, 1), place(sheet, geometry.labels)
    assert first[0] == pytest.approx(geometry.page_width_mm - last[2], abs=0.01)
    assert first[1] == pytest.approx(geometry.page_height_mm - last[3], abs=0.01)


@pytest.mark.parametrize("sheet", SHEETS)
def test_what_is_drawn_is_kept_off_the_paper_s_edge(sheet: LabelSheet) -> None:
    geometry = sheet.geometry
    left, top, _, _ = place(sheet, 1)
    assert min(left, top) + geometry.padding_mm >= PRINTABLE


@pytest.mark.parametrize(
    ("sheet", "width", "height", "labels"),
    [
        (LabelSheet.LETTER_1, 8.5 * INCH, 11 * INCH, 1),
        (LabelSheet.LETTER_2, 8.5 * INCH, 5.5 * INCH, 2),
        (LabelSheet.LETTER_4, 4.25 * INCH, 5.5 * INCH, 4),
        (LabelSheet.LETTER_6, 4 * INCH, 10 / 3 * INCH, 6),
        (LabelSheet.A4_1, 210, 297, 1),
        (LabelSheet.A4_2, 210, 148.5, 2),
        (LabelSheet.A4_4, 105, 148.5, 4),
        (LabelSheet.A4_8, 99.1, 67.7, 8),
    ],
)
def test_a_sheet_has_labels_of_its_dimensions(
    sheet: LabelSheet, width: float, height: float, labels: int
) -> None:
    geometry = sheet.geometry
    assert geometry.label_width_mm == pytest.approx(width)
    assert geometry.label_height_mm == pytest.approx(height)
    assert geometry.labels == labels


@pytest.mark.parametrize("sheet", SHEETS)
def test_the_file_has_pages_of_the_paper_s_size(sheet: LabelSheet) -> None:
    (one,) = read(printed(LITTLE, sheet=sheet))
    wanted = (215.9, 279.4) if sheet.value.startswith("letter") else (210.0, 297.0)
    assert (one.width, one.height) == pytest.approx(wanted, abs=0.01)


def test_sheets_are_listed_by_their_paper_and_dimensions() -> None:
    words = [sheet_in_words(sheet, words=catalogue("en-GB")) for sheet in SHEETS]
    assert words[0] == "US Letter, one label a page: 8.5 × 11 in (216 × 279 mm)"
    assert words[-1] == "A4, 8 labels a page: 99.1 × 67.7 mm each"
    assert len(set(words)) == len(SHEETS)
