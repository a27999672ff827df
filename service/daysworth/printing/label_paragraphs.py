"""Set paragraphs: break words into lines of a width, and say where each piece of text is drawn.

Lengths are millimetres from the upper left corner of what is set; sizes of letters are points.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from daysworth.printing.label_letters import Letters

POINT_MM: Final = 25.4 / 72
LINE: Final = 1.2
"""The height of a line, in sizes of its letters."""
ASCENT: Final = 0.96
"""From the top of a line down to the foot of its letters, in sizes of its letters."""

_MOST_KEPT: Final = 10_000
"""How many set paragraphs are remembered, so that memory stays bounded."""


@dataclass(frozen=True, slots=True)
class Run:
    """Text of one weight."""

    text: str
    is_bold: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    """Text that is broken into lines; its mark, such as "1.", hangs to the left of them all."""

    runs: tuple[Run, ...]
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A piece of text on one line; `y_mm` is the foot of its letters."""

    x_mm: float
    y_mm: float
    text: str
    size_pt: float
    is_bold: bool

    def moved(self, x_mm: float, y_mm: float) -> "Written":
        """Give it that much further right and down."""
        return Written(
            x_mm=self.x_mm + x_mm,
            y_mm=self.y_mm + y_mm,
            text=self.text,
            size_pt=self.size_pt,
            is_bold=self.is_bold,
        )


def line_mm(size_pt: float) -> float:
    """Give the height of a line."""
    return size_pt * POINT_MM * LINE


def width_mm(text: str, letters: Letters, *, size_pt: float, is_bold: bool) -> float:
    """Measure a text on one line."""
    return letters.ems(text, is_bold=is_bold) * size_pt * POINT_MM


class Typesetter(Letters):
    """Letters that remember what was set in them: much is the same on every label."""

    def __init__(self) -> None:
        super().__init__()
        self._kept: dict[tuple[Paragraph, float, float], tuple[tuple[Written, ...], float]] = {}

    def paragraph(
        self, paragraph: Paragraph, *, size_pt: float, room_mm: float
    ) -> tuple[tuple[Written, ...], float]:
        """Set a paragraph in a width; give its pieces and its height.

        A word that is wider than the room is broken between letters.
        """
        key = (paragraph, size_pt, room_mm)
        if key not in self._kept:
            if len(self._kept) >= _MOST_KEPT:
                self._kept.clear()
            self._kept[key] = _set_paragraph(paragraph, self, size_pt=size_pt, room_mm=room_mm)
        return self._kept[key]


def _set_paragraph(
    paragraph: Paragraph, letters: Letters, *, size_pt: float, room_mm: float
) -> tuple[tuple[Written, ...], float]:
    indent_mm = 0.0
    pieces: list[Written] = []
    foot_mm = ASCENT * size_pt * POINT_MM
    if paragraph.mark:
        mark = letters.drawable(paragraph.mark)
        pieces.append(Written(x_mm=0.0, y_mm=foot_mm, text=mark, size_pt=size_pt, is_bold=True))
        indent_mm = width_mm(mark + " ", letters, size_pt=size_pt, is_bold=True)
    lines = list(_lines(paragraph.runs, letters, most_ems=(room_mm - indent_mm) / _em_mm(size_pt)))
    for number, line in enumerate(lines):
        across_mm = indent_mm
        for run in line:
            pieces.append(
                Written(
                    x_mm=across_mm,
                    y_mm=number * line_mm(size_pt) + foot_mm,
                    text=run.text,
                    size_pt=size_pt,
                    is_bold=run.is_bold,
                )
            )
            across_mm += width_mm(run.text + " ", letters, size_pt=size_pt, is_bold=run.is_bold)
    return tuple(pieces), max(len(lines), 1) * line_mm(size_pt)


def line_count(text: str, letters: Letters, *, size_pt: float, room_mm: float) -> int:
    """Count the lines of a bold text in a width."""
    most_ems = room_mm / _em_mm(size_pt)
    return sum(1 for _ in _lines((Run(text, is_bold=True),), letters, most_ems=most_ems))


def is_unbroken(text: str, letters: Letters, *, size_pt: float, room_mm: float) -> bool:
    """Tell whether every word of a bold text fits in a width."""
    most_ems = room_mm / _em_mm(size_pt)
    return all(letters.ems(word, is_bold=True) <= most_ems for word in letters.words(text))


def _em_mm(size_pt: float) -> float:
    return size_pt * POINT_MM


def _lines(
    runs: tuple[Run, ...], letters: Letters, *, most_ems: float
) -> Iterator[tuple[Run, ...]]:
    """Break runs into lines, each as full as it gets; words of one weight are one piece."""
    line: list[Run] = []
    taken = 0.0
    for run in runs:
        space = letters.ems(" ", is_bold=run.is_bold)
        for whole in letters.words(run.text):
            for word in _broken(whole, letters, most_ems=most_ems, is_bold=run.is_bold):
                ems = letters.ems(word, is_bold=run.is_bold)
                if line and taken + ems > most_ems:
                    yield _joined(line)
                    line, taken = [], 0.0
                line.append(Run(word, is_bold=run.is_bold))
                taken += ems + space
    if line:
        yield _joined(line)


def _broken(word: str, letters: Letters, *, most_ems: float, is_bold: bool) -> Iterator[str]:
    if letters.ems(word, is_bold=is_bold) <= most_ems:
        yield word
        return
    head = ""
    for letter in word:
        if head and letters.ems(head + letter, is_bold=is_bold) > most_ems:
            yield head
            head = ""
        head += letter
    yield head


def _joined(line: list[Run]) -> tuple[Run, ...]:
    return tuple(
        Run(" ".join(run.text for run in same), is_bold=is_bold)
        for is_bold, same in groupby(line, key=lambda run: run.is_bold)
    )
