"""Print a delivery note as a PDF file, black on white, on as many pages as it takes.

The same note gives the same bytes.
"""

from daysworth.answers.delivery_note import DeliveryNote
from daysworth.printing.delivery_note_layout import Paper, lay_note
from daysworth.printing.pdf_pages import draw_piece, new_file
from daysworth.wording.catalogue import catalogue


def delivery_note_pdf(note: DeliveryNote, *, paper: Paper) -> bytes:
    """Print a note on a paper; days are written as the store's locale has them."""
    words = catalogue(note.locale)
    file = new_file(
        paper.size_mm, title=words.say("delivery-title"), dated=note.printed_on, words=words
    )
    for page in lay_note(note, paper=paper, words=words):
        file.add_page()
        for piece in page:
            draw_piece(file, piece)
    return bytes(file.output())
