"""Give the letters that labels are drawn with: DejaVu Sans, which the plotting library brings.

Its licence is free. It has Latin, Greek, Cyrillic, Hebrew, Arabic and more; a letter that it lacks
is drawn as a sign that anybody sees, so that a name never loses letters in silence.
"""

from functools import cache
from pathlib import Path
from typing import Final
from unicodedata import bidirectional, category, normalize

from daysworth.printing.joined_letters import joined_letters

LACKING: Final = "\ufffd"
"""What is drawn for a letter that is lacking."""

TURN_BACK: Final = "\u200e"
"""The left-to-right mark: put after a name, it keeps figures that follow to the right of it."""

_FILES: Final = {False: "DejaVuSans.ttf", True: "DejaVuSans-Bold.ttf"}
_MIRRORED: Final = dict(zip("()[]{}<>«»‹›≤≥", ")(][}{><»«›‹≥≤", strict=True))
_RIGHT_TO_LEFT: Final = frozenset({"R", "AL", "AN"})


class Letters:
    """Measure text, and make any text one that can be drawn. Not for two threads at once."""

    def __init__(self) -> None:
        from matplotlib.ft2font import FT2Font, LoadFlags

        self._as_designed = LoadFlags.NO_SCALE
        self._fonts = {is_bold: FT2Font(font_file(is_bold=is_bold)) for is_bold in _FILES}
        charmaps = [font.get_charmap() for font in self._fonts.values()]
        self._has = frozenset.intersection(*(frozenset(charmap) for charmap in charmaps))
        self._advances: dict[tuple[str, bool], float] = {}
        self._ems: dict[tuple[str, bool], float] = {}
        self._drawable: dict[str, str] = {}
        self._words: dict[str, tuple[str, ...]] = {}

    def ems(self, text: str, *, is_bold: bool) -> float:
        """Measure a text that can be drawn, in sizes of its letters."""
        known = self._ems.get((text, is_bold))
        if known is None:
            known = sum(self._advance(letter, is_bold=is_bold) for letter in text)
            self._ems[text, is_bold] = known
        return known

    def drawable(self, text: str) -> str:
        """Write a text with letters that are there, on one line, in the order it is read."""
        if text not in self._drawable:
            self._drawable[text] = self._written(text)
        return self._drawable[text]

    def words(self, text: str) -> tuple[str, ...]:
        """Give the words of a text that can be drawn; a no-break space is part of a word."""
        if text not in self._words:
            self._words[text] = tuple(word for word in self.drawable(text).split(" ") if word)
        return self._words[text]

    def _written(self, text: str) -> str:
        spaced = "".join(
            " " if letter.isspace() and letter != "\u00a0" else letter
            for letter in normalize("NFC", text)
        )
        # Marks that join letters or turn text round draw nothing themselves.
        shown = "".join(
            letter for letter in spaced if category(letter) != "Cf" or letter == TURN_BACK
        )
        return "".join(
            letter if self._can_draw(letter) else LACKING for letter in joined_letters(shown)
        )

    def _can_draw(self, letter: str) -> bool:
        is_there = ord(letter) in self._has and category(letter) != "Cc"
        return is_there or letter == TURN_BACK

    def _advance(self, letter: str, *, is_bold: bool) -> float:
        if letter == TURN_BACK:
            return 0.0
        known = self._advances.get((letter, is_bold))
        if known is None:
            font = self._fonts[is_bold]
            glyph = font.load_char(ord(letter), flags=self._as_designed)
            known = glyph.horiAdvance / font.units_per_EM
            self._advances[letter, is_bold] = known
        return known


def as_drawn(text: str) -> str:
    """Turn a piece of one line from the order it is read into the order it is drawn, left to right.

    Unicode Standard Annex 9, by the library that writes the file; the line itself runs from the
    left, as every sentence of the catalogue does.
    """
    if all(bidirectional(letter) not in _RIGHT_TO_LEFT for letter in text):
        return text.replace(TURN_BACK, "")
    from fpdf.bidi import BidiParagraph
    from fpdf.enums import TextDirection

    drawn = BidiParagraph(text, TextDirection.LTR).get_reordered_characters()
    # At an odd level text runs from the right, where a bracket that opens is open to the left.
    return "".join(
        _MIRRORED.get(one.character, one.character) if one.embedding_level % 2 else one.character
        for one in drawn
        if one.character != TURN_BACK
    )


@cache
def font_file(*, is_bold: bool) -> str:
    """Find the file of the letters of one weight."""
    import matplotlib

    return str(Path(matplotlib.get_data_path(), "fonts", "ttf", _FILES[is_bold]))
