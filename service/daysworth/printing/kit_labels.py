"""Print labels of kits as a PDF file: black on white, on sheets of the usual sizes.

The same labels give the same bytes: the file is dated by the kits and has no number of its own.
Its letters are embedded. The library that writes it is loaded by the first labels.
"""

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Final

import segno

from daysworth.domain.errors import InputRefused
from daysworth.printing.kit_label import KitLabel
from daysworth.printing.kit_label_layout import LabelLayout, lay_label
from daysworth.printing.kit_label_parts import head_of, more_at_code, parts_of
from daysworth.printing.label_paragraphs import Typesetter
from daysworth.printing.label_sheets import LabelSheet, SheetGeometry
from daysworth.printing.pdf_pages import draw_piece, new_file
from daysworth.printing.qr import QUIET_ZONE
from daysworth.wording.catalogue import Catalogue, catalogue

if TYPE_CHECKING:
    from fpdf import FPDF

MOST_LABELS: Final = 500
"""How many labels are printed at once."""

_LEAST_MODULE_MM: Final = 0.3
"""The smallest module of a code that a telephone reads from paper (common practice)."""

_OVERLAP_MM: Final = 0.02
"""How far a bar of a code reaches into the next, so that no screen shows a line between them."""

Modules = tuple[tuple[bool, ...], ...]
"""Rows of a QR code without its quiet zone; a dark module is true."""


def kit_labels_pdf(
    labels: Sequence[KitLabel], *, sheet: LabelSheet, locale: str, first_position: int = 1
) -> bytes:
    """Print labels in their order, the first at a position of a sheet that may be partly used.

    `locale` is the store's, and says how days are written. Raises InputRefused for no label, for
    more than `MOST_LABELS`, for a position that the sheet does not have, and for a label that has
    more on it than may be left out and there is room for.
    """
    words = catalogue(locale)
    geometry = sheet.geometry
    _refuse(labels, geometry, first_position=first_position, words=words)
    letters = Typesetter()
    # All are laid out before the file is begun: a label may yet be refused, and the library closes
    # the files of the letters only when it has written them.
    laid = [_layout(label, geometry, letters=letters, words=words) for label in labels]
    file = new_file(
        (geometry.page_width_mm, geometry.page_height_mm),
        title=words.say("kit-label-title"),
        dated=max(label.packed_on for label in labels),
        words=words,
    )
    for position, (layout, modules) in enumerate(laid, start=first_position - 1):
        on_sheet = position % geometry.labels
        if on_sheet == 0 or file.pages_count == 0:
            file.add_page()
        corner_mm = geometry.corner_mm(on_sheet + 1)
        _draw(file, layout, corner_mm=corner_mm)
        _draw_code(file, layout, modules=modules, corner_mm=corner_mm)
    return bytes(file.output())


def _refuse(
    labels: Sequence[KitLabel], geometry: SheetGeometry, *, first_position: int, words: Catalogue
) -> None:
    if not labels:
        raise InputRefused(words.say("kit-label-refused-none"))
    if len(labels) > MOST_LABELS:
        raise InputRefused(
            words.say("kit-label-refused-many", most=MOST_LABELS, labels=len(labels))
        )
    if not 1 <= first_position <= geometry.labels:
        raise InputRefused(words.say("kit-label-refused-position", labels=geometry.labels))


def _layout(
    label: KitLabel,
    geometry: SheetGeometry,
    *,
    letters: Typesetter,
    words: Catalogue,
) -> tuple[LabelLayout, Modules]:
    modules = _modules(label, geometry, words=words)
    layout = lay_label(
        head_of(label, words=words, is_run_in=not geometry.is_tall),
        parts_of(label, words=words, is_run_in=not geometry.is_tall),
        more=more_at_code(words),
        sheet=geometry,
        letters=letters,
        quiet_mm=QUIET_ZONE * geometry.qr_mm / len(modules),
    )
    if layout is None:
        raise InputRefused(words.say("kit-label-refused-room", kit=label.kit_id))
    return layout, modules


def _modules(label: KitLabel, geometry: SheetGeometry, *, words: Catalogue) -> Modules:
    """Make the code of a label's address (ISO/IEC 18004), level M as on other labels."""
    refused = InputRefused(words.say("kit-label-refused-address", kit=label.kit_id))
    try:
        code = segno.make_qr(label.address, error="m", boost_error=False)
    except segno.DataOverflowError as fault:
        raise refused from fault
    if geometry.qr_mm / len(code.matrix) < _LEAST_MODULE_MM:
        raise refused
    return tuple(tuple(bool(module) for module in row) for row in code.matrix)


def _draw(file: "FPDF", layout: LabelLayout, *, corner_mm: tuple[float, float]) -> None:
    left_mm, top_mm = corner_mm
    for piece in layout.pieces:
        draw_piece(file, piece.moved(left_mm, top_mm))


def _draw_code(
    file: "FPDF", layout: LabelLayout, *, modules: Modules, corner_mm: tuple[float, float]
) -> None:
    left_mm, top_mm = corner_mm
    module_mm = layout.code_mm / len(modules)
    for row, column, length in _bars(modules):
        file.rect(
            left_mm + layout.code_x_mm + column * module_mm,
            top_mm + layout.code_y_mm + row * module_mm,
            length * module_mm,
            module_mm + _OVERLAP_MM * (row + 1 < len(modules)),
            style="F",
        )


def _bars(modules: Modules) -> Iterator[tuple[int, int, int]]:
    """Give the dark bars of a code: row, column and length, in modules."""
    for number, row in enumerate(modules):
        column = 0
        for is_dark, same in groupby(row):
            length = len(list(same))
            if is_dark:
                yield number, column, length
            column += length
