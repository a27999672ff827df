"""Lay a delivery note out on pages: a head, a table whose lines are never torn apart, an end.

Lengths are millimetres from the upper left corner of a page; sizes of letters are points.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from daysworth.answers.delivery_note import DeliveryLine, DeliveryNote
from daysworth.printing import delivery_note_parts as parts
from daysworth.printing.label_paragraphs import Paragraph, Typesetter, Written, line_mm, width_mm
from daysworth.printing.label_pieces import Framed, Laid, lay_framed, lay_stack
from daysworth.wording.catalogue import Catalogue

Piece = Written | Framed

_MARGIN_MM: Final = 15.0
_FOOT_MM: Final = 10.0
_GAP_MM: Final = 4.0
_PAD_MM: Final = 1.2
_CELL_GAP_MM: Final = 2.0
_RULE_MM: Final = 0.2
_HEAVY_RULE_MM: Final = 0.5
_BOX_MM: Final = 4.0
_SIGNATURE_MM: Final = 14.0

_TITLE_PT: Final = 18.0
_BODY_PT: Final = 10.0
_WARNING_PT: Final = 11.0
_SMALL_PT: Final = 8.0


class Paper(StrEnum):
    """The paper that a note is printed on, upright."""

    LETTER = "letter"
    A4 = "a4"

    @property
    def size_mm(self) -> tuple[float, float]:
        """Give its width and height."""
        return (215.9, 279.4) if self is Paper.LETTER else (210.0, 297.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Columns:
    """Where the columns of the table begin, from the margin; `units_mm` and `net_mm` are ends."""

    food_mm: float
    numbers_mm: float
    units_mm: float
    net_mm: float
    date_mm: float
    room_mm: float

    @property
    def food_room_mm(self) -> float:
        return self.numbers_mm - self.food_mm - _CELL_GAP_MM

    @property
    def numbers_room_mm(self) -> float:
        return self.units_mm - 14 - self.numbers_mm

    @property
    def date_room_mm(self) -> float:
        return self.room_mm - self.date_mm

    @property
    def beneath_room_mm(self) -> float:
        return self.room_mm - self.food_mm


def _columns(room_mm: float) -> _Columns:
    """Share out a width: the food's name has what the rest leaves."""
    date_mm = room_mm - 40
    net_mm = date_mm - 4
    units_mm = net_mm - 18
    return _Columns(
        food_mm=_BOX_MM + 3,
        numbers_mm=units_mm - 14 - 42,
        units_mm=units_mm,
        net_mm=net_mm,
        date_mm=date_mm,
        room_mm=room_mm,
    )


def lay_note(
    note: DeliveryNote, *, paper: Paper, words: Catalogue
) -> tuple[tuple[Piece, ...], ...]:
    """Lay a note out on as many pages as it takes."""
    across_mm, down_mm = paper.size_mm
    sheet = _Sheet(
        letters=Typesetter(),
        words=words,
        room_mm=across_mm - 2 * _MARGIN_MM,
        most_mm=down_mm - 2 * _MARGIN_MM - _FOOT_MM,
    )
    pages = list(_pages(note, sheet))
    return tuple(
        tuple(
            piece.moved(_MARGIN_MM, _MARGIN_MM)
            for piece in (*page, *_foot(note, sheet, page=number, pages=len(pages)))
        )
        for number, page in enumerate(pages, start=1)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sheet:
    """What every part is laid out with: letters, words, a width and the most height of a page."""

    letters: Typesetter
    words: Catalogue
    room_mm: float
    most_mm: float

    @property
    def columns(self) -> _Columns:
        return _columns(self.room_mm)

    def stack(
        self, paragraphs: Sequence[Paragraph], *, size_pt: float, room_mm: float | None = None
    ) -> Laid:
        room_mm = self.room_mm if room_mm is None else room_mm
        return lay_stack(tuple(paragraphs), self.letters, size_pt=size_pt, room_mm=room_mm)

    def ends_at(self, text: str, x_mm: float, *, size_pt: float, is_bold: bool) -> Laid:
        """Set a short text on one line that ends where it is told to."""
        laid = self.stack([parts.plain(text, is_bold=is_bold)], size_pt=size_pt)
        drawn = self.letters.drawable(text)
        taken_mm = width_mm(drawn, self.letters, size_pt=size_pt, is_bold=is_bold)
        return Laid(tuple(laid.moved(x_mm - taken_mm, 0.0)), laid.height_mm)


def _pages(note: DeliveryNote, sheet: _Sheet) -> Iterator[list[Piece]]:
    """Fill page after page with blocks; the head of the table stands above it on each of them."""
    table_head = _table_head(sheet)
    page: list[Piece] = []
    down_mm = 0.0
    for block in _before(note, sheet):
        if page and down_mm + block.height_mm > sheet.most_mm:
            yield page
            page, down_mm = [], 0.0
        page.extend(block.moved(0.0, down_mm))
        down_mm += block.height_mm
    rows = [_row(line, sheet) for line in note.lines]
    for number, row in enumerate(rows):
        needed_mm = row.height_mm + (table_head.height_mm if number == 0 else 0.0)
        is_new = down_mm + needed_mm > sheet.most_mm
        if is_new and page:
            yield page
            page, down_mm = [], 0.0
        if is_new or number == 0:
            page.extend(table_head.moved(0.0, down_mm))
            down_mm += table_head.height_mm
        page.extend(row.moved(0.0, down_mm))
        down_mm += row.height_mm
    ending = _ending(note, sheet)
    if down_mm + ending.height_mm > sheet.most_mm:
        yield page
        page, down_mm = [], 0.0
    page.extend(ending.moved(0.0, down_mm))
    yield page


def _before(note: DeliveryNote, sheet: _Sheet) -> Iterator[Laid]:
    """Lay out what stands above the table, in blocks that a page may end between."""
    words = sheet.words
    title = sheet.stack([parts.plain(words.say("delivery-title"), is_bold=True)], size_pt=_TITLE_PT)
    number = sheet.ends_at(
        words.say("delivery-number", number=note.number),
        sheet.room_mm,
        size_pt=_BODY_PT,
        is_bold=True,
    )
    yield Laid((*title.pieces, *number.moved(0.0, 2.5)), title.height_mm + 1)
    warned = parts.warning(note, words=words)
    if warned:
        yield from _warning(warned, sheet)
    yield _above(_GAP_MM, sheet.stack(parts.facts(note, words=words), size_pt=_BODY_PT))
    if not note.has_gone and not warned:
        checked = words.say("delivery-checked", day=parts.printed_day(note, words=words))
        yield _above(1.0, sheet.stack([parts.plain(checked)], size_pt=_SMALL_PT))
    yield Laid((), _GAP_MM)


_WARNED_AT_ONCE: Final = 12


def _warning(warned: tuple[Paragraph, ...], sheet: _Sheet) -> Iterator[Laid]:
    """Lay out the warning in frames small enough that a page always has room for one."""
    for first in range(0, len(warned), _WARNED_AT_ONCE):
        some = warned[first : first + _WARNED_AT_ONCE]
        framed = lay_framed(
            some, sheet.letters, size_pt=_WARNING_PT, room_mm=sheet.room_mm, weight=2.0
        )
        yield _above(1.5, framed)


def _above(gap_mm: float, laid: Laid) -> Laid:
    return Laid(tuple(laid.moved(0.0, gap_mm)), laid.height_mm + gap_mm)


def _rule(room_mm: float, *, y_mm: float, is_heavy: bool = False) -> Framed:
    thick_mm = _HEAVY_RULE_MM if is_heavy else _RULE_MM
    return Framed(x_mm=0.0, y_mm=y_mm, width_mm=room_mm, height_mm=thick_mm, line_mm=thick_mm)


def _table_head(sheet: _Sheet) -> Laid:
    columns, words = sheet.columns, sheet.words
    pieces: list[Piece] = [_rule(sheet.room_mm, y_mm=0.0, is_heavy=True)]
    for key, x_mm in (
        ("delivery-column-food", columns.food_mm),
        ("delivery-column-gtin", columns.numbers_mm),
        ("delivery-column-date", columns.date_mm),
    ):
        said = sheet.stack([parts.plain(words.say(key), is_bold=True)], size_pt=_SMALL_PT)
        pieces.extend(said.moved(x_mm, _PAD_MM))
    for key, x_mm in (
        ("delivery-column-units", columns.units_mm),
        ("delivery-column-net", columns.net_mm),
    ):
        ended = sheet.ends_at(words.say(key), x_mm, size_pt=_SMALL_PT, is_bold=True)
        pieces.extend(ended.moved(0.0, _PAD_MM))
    height_mm = line_mm(_SMALL_PT) + 2 * _PAD_MM
    return Laid((*pieces, _rule(sheet.room_mm, y_mm=height_mm)), height_mm + _RULE_MM)


def _row(line: DeliveryLine, sheet: _Sheet) -> Laid:
    """Lay out one line of the table, with a box to tick before it and a rule below."""
    columns, words = sheet.columns, sheet.words
    box = Framed(x_mm=0.0, y_mm=_PAD_MM, width_mm=_BOX_MM, height_mm=_BOX_MM, line_mm=0.3)
    cells = [
        (columns.food_mm, columns.food_room_mm, [parts.plain(line.food_name, is_bold=True)]),
        (columns.numbers_mm, columns.numbers_room_mm, parts.numbers(line, words=words)),
        (columns.date_mm, columns.date_room_mm, [parts.label_date(line, words=words)]),
    ]
    pieces: list[Piece] = [box]
    height_mm = _BOX_MM
    for x_mm, room_mm, paragraphs in cells:
        size_pt = _BODY_PT if x_mm == columns.food_mm else _SMALL_PT
        laid = sheet.stack(paragraphs, size_pt=size_pt, room_mm=room_mm)
        pieces.extend(laid.moved(x_mm, _PAD_MM))
        height_mm = max(height_mm, laid.height_mm)
    for text, x_mm in (
        (str(line.units), columns.units_mm),
        (parts.kilograms(line.net_mass_g, words=words), columns.net_mm),
    ):
        pieces.extend(sheet.ends_at(text, x_mm, size_pt=_BODY_PT, is_bold=True).moved(0.0, _PAD_MM))
    beneath = sheet.stack(
        parts.beneath(line, words=words), size_pt=_SMALL_PT, room_mm=columns.beneath_room_mm
    )
    pieces.extend(beneath.moved(columns.food_mm, _PAD_MM + height_mm))
    whole_mm = height_mm + beneath.height_mm + 2 * _PAD_MM
    return Laid((*pieces, _rule(sheet.room_mm, y_mm=whole_mm)), whole_mm + _RULE_MM)


def _ending(note: DeliveryNote, sheet: _Sheet) -> Laid:
    """Lay out totals, the law and where to sign, which stay together."""
    words = sheet.words
    total = sheet.stack([parts.total(note, words=words)], size_pt=_BODY_PT + 1)
    law = sheet.stack(parts.law(note, words=words), size_pt=_SMALL_PT)
    pieces: list[Piece] = []
    down_mm = 2.0
    for laid, gap_mm in ((total, _GAP_MM), (law, _GAP_MM)):
        pieces.extend(laid.moved(0.0, down_mm))
        down_mm += laid.height_mm + gap_mm
    for key in ("delivery-not-taken", "delivery-handed-over", "delivery-received"):
        pieces.extend(_to_write_on(key, sheet, down_mm=down_mm))
        down_mm += _SIGNATURE_MM
    return Laid(tuple(pieces), down_mm)


def _to_write_on(key: str, sheet: _Sheet, *, down_mm: float) -> Iterator[Piece]:
    """Lay out a line to write on; where somebody signs, with the day and time beside it."""
    halfway_mm = sheet.room_mm * 0.62
    is_signed = key != "delivery-not-taken"
    spans = [(key, 0.0, halfway_mm - _GAP_MM if is_signed else sheet.room_mm)]
    if is_signed:
        spans.append(("delivery-signed-on", halfway_mm, sheet.room_mm - halfway_mm))
    for said, x_mm, long_mm in spans:
        yield _rule(long_mm, y_mm=_SIGNATURE_MM - 5).moved(x_mm, down_mm)
        laid = sheet.stack([parts.plain(sheet.words.say(said))], size_pt=_SMALL_PT)
        yield from laid.moved(x_mm, down_mm + _SIGNATURE_MM - 4.5)


def _foot(note: DeliveryNote, sheet: _Sheet, *, page: int, pages: int) -> Iterator[Piece]:
    said = sheet.words.say("delivery-page", number=note.number, page=page, pages=pages)
    laid = sheet.ends_at(said, sheet.room_mm, size_pt=_SMALL_PT, is_bold=False)
    yield from laid.moved(0.0, sheet.most_mm + _FOOT_MM - laid.height_mm)
