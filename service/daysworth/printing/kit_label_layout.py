"""Fit a kit's label to its sheet: first smaller letters, then fewer parts, never without its head.

The head is tried at full size, then smaller, until the rest gets comfortable letters below it. What
does not fit in the smallest letters is left out, part by part: figures and cautions before the head
gets smaller still, and the others after that.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from daysworth.printing.kit_label_head import LEAST_PT, lay_head
from daysworth.printing.kit_label_parts import Column, Head, Part, Rank, order_of_keeping
from daysworth.printing.label_paragraphs import POINT_MM, Paragraph, Typesetter, Written
from daysworth.printing.label_pieces import Framed, Laid, lay_stack
from daysworth.printing.label_sheets import SheetGeometry


@dataclass(frozen=True, slots=True)
class _Try:
    """How large a head is drawn, and what is settled for under it.

    `head` is a share of its full size. `body` is the least share of the body's size, which is never
    below `LEAST_PT`. `last` is the rank up to which parts may be left out; None: no part may.
    """

    head: float
    body: float
    last: Rank | None


_TRIES: Final = (
    _Try(1.0, 0.7, None),
    _Try(0.85, 0.65, None),
    _Try(0.72, 0.6, None),
    _Try(0.72, 0.6, Rank.CAUTION),
    _Try(0.72, 0.0, Rank.CAUTION),
    _Try(0.55, 0.0, Rank.STEPS),
    _Try(0.4, 0.0, Rank.STEPS),
    _Try(0.3, 0.0, Rank.STEPS),
)
"""What is tried in turn, until something fits (our judgement of what is read best)."""

_STEP_PT: Final = 0.25
_LEFT_SHARE: Final = 0.42
"""The left column's share of the width: contents are shorter lines than steps."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelLayout:
    """Where everything on a label stands, from the upper left corner of the label itself."""

    pieces: tuple[Written | Framed, ...]
    code_x_mm: float
    code_y_mm: float
    code_mm: float


@dataclass(frozen=True, slots=True)
class _Arranged:
    """Stacks, each with its place below the head, and the height of them all."""

    stacks: tuple[tuple[float, float, Laid], ...]
    height_mm: float

    def pieces(self) -> tuple[Written | Framed, ...]:
        return tuple(piece for x_mm, y_mm, laid in self.stacks for piece in laid.moved(x_mm, y_mm))


class _Body:
    """The parts there may be room for, laid out below a head in any size of letters."""

    def __init__(
        self,
        parts: tuple[Part, ...],
        sheet: SheetGeometry,
        *,
        more: Paragraph,
        letters: Typesetter,
    ) -> None:
        self._parts = parts
        self._sheet = sheet
        self._more = Part(rank=Rank.STEPS, column=Column.WHOLE, paragraphs=(more,))
        self._letters = letters
        # A part is the same in any company: each is set once in a size and a width.
        self._set: dict[tuple[int, float, float], Laid] = {}

    def fitted(self, one: _Try, *, room_mm: float) -> _Arranged | None:
        """Lay out as much as fits in a height, in letters as large as fit; None: not enough fits.

        What matters most is kept first; what is too long for the room that is left is passed over.
        """
        least_pt = max(LEAST_PT, one.body * self._sheet.most_body_pt)
        kept = frozenset(
            index
            for index, part in enumerate(self._parts)
            if one.last is None or part.rank > one.last
        )
        if self._arranged(kept, size_pt=least_pt).height_mm > room_mm:
            return None
        too_long: set[Rank] = set()
        for index in order_of_keeping(self._parts):
            rank = self._parts[index].rank
            # Of several cautions, those that follow one without room do not take its place.
            if index in kept or rank in too_long:
                continue
            if self._arranged(kept | {index}, size_pt=least_pt).height_mm <= room_mm:
                kept |= {index}
            else:
                too_long.add(rank)
        return self._largest(kept, least_pt=least_pt, room_mm=room_mm)

    def _largest(self, kept: frozenset[int], *, least_pt: float, room_mm: float) -> _Arranged:
        # Between a size that fits and one that does not, each try halves what is left.
        fits, fails = 0, int((self._sheet.most_body_pt - least_pt) / _STEP_PT) + 1
        largest = self._arranged(kept, size_pt=least_pt)
        while fails - fits > 1:
            middle = (fits + fails) // 2
            tried = self._arranged(kept, size_pt=least_pt + middle * _STEP_PT)
            if tried.height_mm <= room_mm:
                fits, largest = middle, tried
            else:
                fails = middle
        return largest

    def _arranged(self, kept: frozenset[int], *, size_pt: float) -> _Arranged:
        """Lay out parts in rows: whole ones, and columns where there is width for two."""
        stacks: list[tuple[float, float, Laid]] = []
        gap_mm = 0.45 * size_pt * POINT_MM
        down_mm = 2 * gap_mm
        for _, row in groupby(sorted(kept), key=lambda index: self._column(index) is Column.WHOLE):
            foot_mm = down_mm
            for column, x_mm, room_mm in self._columns(indices := list(row), size_pt=size_pt):
                y_mm = down_mm
                for index in indices:
                    if column in (None, self._column(index)):
                        laid = self._stack(index, size_pt=size_pt, room_mm=room_mm)
                        stacks.append((x_mm, y_mm, laid))
                        y_mm += laid.height_mm + gap_mm
                foot_mm = max(foot_mm, y_mm)
            down_mm = foot_mm
        if len(kept) < len(self._parts):
            more = self._stack(-1, size_pt=size_pt, room_mm=self._sheet.room_width_mm)
            stacks.append((0.0, down_mm, more))
            down_mm += more.height_mm + gap_mm
        return _Arranged(tuple(stacks), down_mm - gap_mm)

    def _columns(
        self, row: Sequence[int], *, size_pt: float
    ) -> Iterator[tuple[Column | None, float, float]]:
        """Give the columns of a row, each with its left edge and width; None: one for all."""
        room_mm = self._sheet.room_width_mm
        if not self._sheet.is_wide or len({self._column(index) for index in row}) == 1:
            yield None, 0.0, room_mm
            return
        gutter_mm = 1.5 * size_pt * POINT_MM
        left_mm = (room_mm - gutter_mm) * _LEFT_SHARE
        yield Column.LEFT, 0.0, left_mm
        yield Column.RIGHT, left_mm + gutter_mm, room_mm - gutter_mm - left_mm

    def _column(self, index: int) -> Column:
        return self._parts[index].column

    def _stack(self, index: int, *, size_pt: float, room_mm: float) -> Laid:
        """Set a part once; the index before the first is of what says that some are left out."""
        key = (index, size_pt, room_mm)
        if key not in self._set:
            part = self._more if index < 0 else self._parts[index]
            small_pt = max(LEAST_PT, part.scale * size_pt)
            self._set[key] = lay_stack(
                part.paragraphs, self._letters, size_pt=small_pt, room_mm=room_mm
            )
        return self._set[key]


def lay_label(
    head: Head,
    parts: tuple[Part, ...],
    *,
    more: Paragraph,
    sheet: SheetGeometry,
    letters: Typesetter,
    quiet_mm: float,
) -> LabelLayout | None:
    """Lay out a label; None where even its head alone does not fit."""
    body = _Body(parts, sheet, more=more, letters=letters)
    for one in _TRIES:
        laid, corner = lay_head(
            head, sheet=sheet, letters=letters, shrink=one.head, quiet_mm=quiet_mm
        )
        under = body.fitted(one, room_mm=sheet.room_height_mm - laid.height_mm)
        if under is not None:
            return _placed(laid, under, corner=corner, sheet=sheet)
    return None


def _placed(
    head: Laid, body: _Arranged, *, corner: tuple[float, float], sheet: SheetGeometry
) -> LabelLayout:
    pad_mm = sheet.padding_mm
    below_mm = pad_mm + head.height_mm
    return LabelLayout(
        pieces=(
            *head.moved(pad_mm, pad_mm),
            *(piece.moved(pad_mm, below_mm) for piece in body.pieces()),
        ),
        code_x_mm=pad_mm + corner[0],
        code_y_mm=pad_mm + corner[1],
        code_mm=sheet.qr_mm,
    )
