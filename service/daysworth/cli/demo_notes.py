"""Write the delivery notes of the demonstration into a folder."""

from collections.abc import Sequence
from pathlib import Path

from daysworth.answers.delivery_note import DeliveryNote
from daysworth.cli.files import write_whole
from daysworth.domain.errors import InputRefused
from daysworth.printing.delivery_note import delivery_note_pdf
from daysworth.printing.delivery_note_layout import Paper


def made_folder(written: str) -> Path:
    """Give a folder, made where it is not there. Raises InputRefused where it cannot be."""
    try:
        folder = Path(written).resolve()
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or str(fault)
        raise InputRefused(f"the folder {written!r} cannot be made: {reason}") from fault
    return folder


def write_notes(notes: Sequence[DeliveryNote], *, folder: Path) -> None:
    """Write notes as PDF files named by their visits. Raises InputRefused where it cannot."""
    for number, note in enumerate(notes, start=1):
        name = f"delivery-note-{number}-{note.opens_at:%Y-%m-%d}.pdf"
        write_whole(str(folder / name), delivery_note_pdf(note, paper=Paper.LETTER))
