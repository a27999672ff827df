"""Stack paragraphs, bare or in a frame, and move what was laid out to where it belongs."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from daysworth.printing.label_paragraphs import POINT_MM, Paragraph, Typesetter, Written


@dataclass(frozen=True, slots=True, kw_only=True)
class Framed:
    """A frame that is drawn around something; its line lies within it."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    line_mm: float

    def moved(self, x_mm: float, y_mm: float) -> "Framed":
        """Give it that much further right and down."""
        return replace(self, x_mm=self.x_mm + x_mm, y_mm=self.y_mm + y_mm)


@dataclass(frozen=True, slots=True)
class Laid:
    """Pieces that were laid out, and the height that they take."""

    pieces: tuple[Written | Framed, ...]
    height_mm: float

    def moved(self, x_mm: float, y_mm: float) -> Iterator[Written | Framed]:
        """Give its pieces, that much further right and down."""
        return (piece.moved(x_mm, y_mm) for piece in self.pieces)


def lay_stack(
    paragraphs: tuple[Paragraph, ...], letters: Typesetter, *, size_pt: float, room_mm: float
) -> Laid:
    """Set paragraphs one under another."""
    pieces: list[Written | Framed] = []
    down_mm = 0.0
    for paragraph in paragraphs:
        written, height_mm = letters.paragraph(paragraph, size_pt=size_pt, room_mm=room_mm)
        pieces.extend(piece.moved(0.0, down_mm) for piece in written)
        down_mm += height_mm
    return Laid(tuple(pieces), down_mm)


def lay_framed(
    paragraphs: tuple[Paragraph, ...],
    letters: Typesetter,
    *,
    size_pt: float,
    room_mm: float,
    weight: float = 1.0,
) -> Laid:
    """Set paragraphs one under another in a frame as wide as the room, of a weight (usual: 1)."""
    pad_mm = 0.35 * size_pt * POINT_MM
    inside = lay_stack(paragraphs, letters, size_pt=size_pt, room_mm=room_mm - 4 * pad_mm)
    height_mm = inside.height_mm + 2 * pad_mm
    frame = frame_of(room_mm, height_mm, size_pt=weight * size_pt)
    return Laid((frame, *inside.moved(2 * pad_mm, pad_mm)), height_mm)


def frame_of(width_mm: float, height_mm: float, *, size_pt: float) -> Framed:
    """Make a frame whose line is as heavy as letters of a size want it."""
    return Framed(
        x_mm=0.0,
        y_mm=0.0,
        width_mm=width_mm,
        height_mm=height_mm,
        line_mm=max(0.25, 0.07 * size_pt * POINT_MM),
    )
