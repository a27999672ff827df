"""Begin a PDF file and draw on it what was laid out: letters embedded, black on white.

The library that writes it is loaded by the first file.
"""

from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING, Final

from daysworth.printing.label_letters import as_drawn, font_file
from daysworth.printing.label_paragraphs import Written
from daysworth.printing.label_pieces import Framed
from daysworth.wording.catalogue import Catalogue

if TYPE_CHECKING:
    from fpdf import FPDF

_FACE: Final = "label"


def new_file(page_mm: tuple[float, float], *, title: str, dated: date, words: Catalogue) -> "FPDF":
    """Begin a file of pages of one width and height; the same date gives the same bytes."""
    from fpdf import FPDF

    file = FPDF(unit="mm", format=page_mm)
    file.set_margin(0)
    file.set_auto_page_break(False)
    file.set_creation_date(datetime.combine(dated, time(), UTC))
    file.set_title(title)
    file.set_lang(words.language)
    file.add_font(_FACE, "", font_file(is_bold=False))
    file.add_font(_FACE, "B", font_file(is_bold=True))
    return file


def draw_piece(file: "FPDF", piece: Written | Framed) -> None:
    """Draw a piece of text or a frame where it says that it belongs on the page."""
    if isinstance(piece, Written):
        file.set_font(_FACE, "B" if piece.is_bold else "", piece.size_pt)
        file.text(piece.x_mm, piece.y_mm, as_drawn(piece.text))
        return
    # A line is drawn half on either side of its path.
    half_mm = piece.line_mm / 2
    file.set_line_width(piece.line_mm)
    file.rect(
        piece.x_mm + half_mm,
        piece.y_mm + half_mm,
        piece.width_mm - piece.line_mm,
        piece.height_mm - piece.line_mm,
    )
