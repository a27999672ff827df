"""Read a PDF of labels back: every text, frame and bar of every page, where it stands and how wide.

Widths are those that the file itself gives for its letters (ISO 32000, 9.7.4.3: the array W), so
nothing of what lays labels out is trusted. Lengths are millimetres from the upper left corner.
"""

from dataclasses import dataclass
from io import BytesIO
from typing import cast

from pypdf import PageObject, PdfReader
from pypdf.generic import ArrayObject, ContentStream, DictionaryObject, StreamObject

MM = 25.4 / 72


@dataclass(frozen=True)
class Text:
    """A piece of text: its foot, its width, its size in points, and whether it is bold."""

    text: str
    left: float
    foot: float
    width: float
    size_pt: float
    is_bold: bool

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Give left, top, right and bottom, as far as letters without accents reach."""
        size = self.size_pt * MM
        return self.left, self.foot - 0.76 * size, self.left + self.width, self.foot + 0.24 * size


@dataclass(frozen=True)
class Box:
    """A rectangle: a frame with the width of its line, or a filled bar, whose line is nothing."""

    left: float
    top: float
    width: float
    height: float
    line: float

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Give left, top, right and bottom, the line's outer half too."""
        half = self.line / 2
        right, bottom = self.left + self.width, self.top + self.height
        return self.left - half, self.top - half, right + half, bottom + half


@dataclass(frozen=True)
class Sheet:
    """A page as read, its texts in the order they were written."""

    width: float
    height: float
    texts: list[Text]
    frames: list[Box]
    bars: list[Box]

    def said(
        self, *, left: float = 0, top: float = 0, right: float = 999, below: float = 999
    ) -> str:
        """Give the words that begin within an area."""
        within = (
            text.text
            for text in self.texts
            if left <= text.left < right and top <= text.foot < below
        )
        return " ".join(" ".join(within).replace("\u00a0", " ").split())


@dataclass(frozen=True)
class Font:
    """A font of a file: what its codes stand for, and how wide they are in thousandths."""

    letters: dict[int, str]
    widths: dict[int, float]
    is_bold: bool
    is_embedded: bool


def read(pdf: bytes) -> list[Sheet]:
    """Read the pages of a file."""
    reader = PdfReader(BytesIO(pdf), strict=True)
    return [_sheet(page, reader) for page in reader.pages]


def fonts(page: PageObject) -> dict[str, Font]:
    """Read the fonts of a page, by the names it has for them."""
    resources = cast("DictionaryObject", page["/Resources"])
    named = cast("DictionaryObject", resources["/Font"])
    return {name: _font(cast("DictionaryObject", named[name])) for name in named}


def _font(font: DictionaryObject) -> Font:
    whole = cast("StreamObject", font["/ToUnicode"]).get_data().decode()
    letters = {}
    for line in whole.splitlines():
        parts = line.split("> <")
        if len(parts) == 2 and "begin" not in line:
            code, letter = (part.strip("<> ") for part in parts)
            if len(code) == 4 and (code, letter) != ("0000", "FFFF"):
                letters[int(code, 16)] = bytes.fromhex(letter).decode("utf-16-be")
    below = cast("ArrayObject", font["/DescendantFonts"])[0].get_object()
    descendant = cast("DictionaryObject", below)
    described = cast("DictionaryObject", descendant["/FontDescriptor"])
    return Font(
        letters,
        _widths(cast("ArrayObject", descendant["/W"])),
        is_bold="Bold" in str(font["/BaseFont"]),
        is_embedded="/FontFile2" in described,
    )


def _widths(listed: ArrayObject) -> dict[int, float]:
    found: dict[int, float] = {}
    parts = [part.get_object() for part in listed]
    while parts:
        first, second, *parts = parts
        if isinstance(second, ArrayObject):
            for code, width in enumerate(second, start=int(str(first))):
                found[code] = float(str(width))
        else:
            width, *parts = parts
            for code in range(int(str(first)), int(str(second)) + 1):
                found[code] = float(str(width))
    return found


def _sheet(page: PageObject, reader: PdfReader) -> Sheet:
    high = float(page.mediabox.height)
    known = fonts(page)
    sheet = Sheet(float(page.mediabox.width) * MM, high * MM, [], [], [])
    font, size, line, x, y = next(iter(known.values())), 0.0, 0.0, 0.0, 0.0
    rectangle = (0.0, 0.0, 0.0, 0.0)
    for operands, operator in ContentStream(page.get_contents(), reader).operations:
        match operator:
            case b"Tf":
                font, size = known[str(operands[0])], float(operands[1])
            case b"w":
                line = float(operands[0])
            case b"Td":
                x, y = float(operands[0]), float(operands[1])
            case b"re":
                left, foot, width, height = (float(operand) for operand in operands)
                # A height below nothing goes down from the foot.
                top = high - max(foot, foot + height)
                rectangle = (left * MM, top * MM, width * MM, abs(height) * MM)
            case b"S":
                sheet.frames.append(Box(*rectangle, line * MM))
            case b"f":
                sheet.bars.append(Box(*rectangle, 0.0))
            case b"Tj":
                raw = operands[0].original_bytes
                codes = [int.from_bytes(raw[at : at + 2], "big") for at in range(0, len(raw), 2)]
                wide = sum(font.widths[code] for code in codes) / 1000 * size
                said = "".join(font.letters[code] for code in codes)
                sheet.texts.append(
                    Text(said, x * MM, (high - y) * MM, wide * MM, size, font.is_bold)
                )
            case b"BT" | b"ET" | b"J":
                pass
            case other:
                raise AssertionError(f"a label draws nothing with {other!r}")
    return sheet
