"""QR codes against ISO/IEC 18004:2015, read back here by the standard's own steps.

Figures that are marked so are from memory of the standard: the table of capacities (table 7), the
sequence of the 15 format bits (annex C), the masks (table 10) and the order in which modules are
placed (7.7.3). The reader shares no code with what draws.
"""

import re
from collections.abc import Iterator
from xml.etree import ElementTree

import pytest

from daysworth.printing.qr import QUIET_ZONE, qr_svg

Modules = list[list[bool]]
"""Rows of a code without its quiet zone; a dark module is true."""

FINDER = (
    "#######",
    "#.....#",
    "#.###.#",
    "#.###.#",
    "#.###.#",
    "#.....#",
    "#######",
)
"""5.3.3.1: three squares, 7x7 dark, 5x5 light and 3x3 dark modules."""

FORMATS_M = (
    "101010000010010",
    "101000100100101",
    "101111001111100",
    "101101101001011",
    "100010111111001",
    "100000011001110",
    "100111110010111",
    "100101010100000",
)
"""Annex C, table C.1: the format bits of level M with masks 0 to 7, as placed. From memory."""

MOST_BYTES_M = {1: 14, 2: 26, 3: 42, 4: 62, 5: 84, 6: 106, 7: 122, 8: 152, 9: 180, 10: 213}
"""Table 7: the bytes that each version holds at level M. From memory."""

DATA_CODEWORDS_M = {1: 16, 2: 28, 3: 44}
"""Table 9: data codewords at level M in the versions that have one block. From memory."""


def read_svg(svg: bytes) -> Modules:
    """Read the modules from the picture's strokes, the quiet zone left in."""
    root = ElementTree.fromstring(svg)
    side = int(root.get("viewBox", "").split()[2])
    modules = [[False] * side for _ in range(side)]
    x = y = 0.0
    strokes = re.findall(r"([Mmh])(-?[\d.]+)(?: (-?[\d.]+))?", root[1].get("d", ""))
    for kind, first, second in strokes:
        if kind == "h":
            for column in range(int(x), int(x) + int(first)):
                modules[int(y)][column] = True
            x += float(first)
        else:
            x, y = (0.0, 0.0) if kind == "M" else (x, y)
            x, y = x + float(first), y + float(second)
    return modules


def inner(modules: Modules) -> Modules:
    return [row[QUIET_ZONE:-QUIET_ZONE] for row in modules[QUIET_ZONE:-QUIET_ZONE]]


def code(text: str) -> Modules:
    return inner(read_svg(qr_svg(text)))


def square(modules: Modules, row: int, column: int) -> tuple[str, ...]:
    rows = [line[column : column + 7] for line in modules[row : row + 7]]
    return tuple("".join("#" if dark else "." for dark in line) for line in rows)


def format_bits(modules: Modules) -> tuple[str, str]:
    """Give the 15 bits of both copies, most significant first (7.9.1, figure 25; from memory)."""
    side = len(modules)
    corner = [(8, x) for x in (0, 1, 2, 3, 4, 5, 7, 8)] + [(y, 8) for y in (7, 5, 4, 3, 2, 1, 0)]
    apart = [(side - 1 - n, 8) for n in range(7)] + [(8, side - 8 + n) for n in range(8)]
    one, other = ("".join(str(int(modules[y][x])) for y, x in copy) for copy in (corner, apart))
    return one, other


def is_masked(mask: int, *, row: int, column: int) -> bool:
    """Say whether a mask turns a module over (table 10; from memory)."""
    both = row * column
    return (
        (row + column) % 2,
        row % 2,
        column % 3,
        (row + column) % 3,
        (row // 2 + column // 3) % 2,
        both % 2 + both % 3,
        (both % 2 + both % 3) % 2,
        ((row + column) % 2 + both % 3) % 2,
    )[mask] == 0


def is_function(row: int, *, column: int, side: int) -> bool:
    """Say whether a module of versions 1 to 3 is no data: finders, format, timing, alignment."""
    finders = (row < 9 and column < 9) or (row < 9 and column >= side - 8)
    finders = finders or (row >= side - 8 and column < 9)
    alignment = side > 21 and abs(row - (side - 7)) <= 2 and abs(column - (side - 7)) <= 2
    return finders or row == 6 or column == 6 or alignment


def placed(modules: Modules) -> Iterator[bool]:
    """Give the data modules in the order of placing: pairs of columns from the right, up, down."""
    side = len(modules)
    upward = True
    for right in [*range(side - 1, 6, -2), 5, 3, 1]:
        for row in range(side - 1, -1, -1) if upward else range(side):
            for column in (right, right - 1):
                if not is_function(row, column=column, side=side):
                    mask = FORMATS_M.index(format_bits(modules)[0])
                    yield modules[row][column] ^ is_masked(mask, row=row, column=column)
        upward = not upward


def decoded(modules: Modules) -> str:
    """Read the text of a code in byte mode (7.4.5: mode 0100, a count of eight bits, the bytes)."""
    bits = "".join(str(int(bit)) for bit in placed(modules))
    assert bits[:4] == "0100"
    count = int(bits[4:12], 2)
    found = bytes(int(bits[12 + 8 * n : 20 + 8 * n], 2) for n in range(count))
    end = 12 + 8 * count
    # 7.4.9: zeros end the text where there is room for them; what fills the rest is not read.
    last = 8 * DATA_CODEWORDS_M[(len(modules) - 17) // 4]
    assert set(bits[end : min(end + 4, last)]) <= {"0"}
    return found.decode("ascii")


@pytest.mark.parametrize(
    "text",
    [
        "http://a.xy/1",
        "https://elm.example/17",
        "https://elm-row.example/lots/17",
        "https://elm-row.example/lots/0123456789abc",
        "http://127.0.0.1:8017/lots/x?y=1&z=%20",
    ],
)
def test_what_is_drawn_reads_back_as_the_address(text: str) -> None:
    assert decoded(code(text)) == text


@pytest.mark.parametrize(("version", "most"), MOST_BYTES_M.items())
def test_a_code_has_17_modules_and_four_for_each_version_5_3_1(version: int, most: int) -> None:
    # Lower-case letters are in byte mode: one more than a version holds wants the next.
    assert len(code("a" * most)) == 17 + 4 * version
    assert len(code("a" * (most + 1))) == 17 + 4 * (version + 1)


def test_the_largest_code_is_version_40_with_2331_bytes_table_7() -> None:
    assert len(code("a" * 2331)) == 177


@pytest.mark.parametrize("length", [5, 30, 200])
def test_a_finder_stands_in_three_corners_and_not_in_the_fourth_6_3_3(length: int) -> None:
    modules = code("a" * length)
    far = len(modules) - 7
    assert [square(modules, *corner) for corner in ((0, 0), (0, far), (far, 0))] == [FINDER] * 3
    assert square(modules, far, far) != FINDER


@pytest.mark.parametrize("length", [5, 30, 200])
def test_the_separators_about_the_finders_are_light_6_3_4(length: int) -> None:
    modules = code("a" * length)
    far = len(modules) - 8
    for n in range(8):
        assert not any((modules[7][n], modules[n][7], modules[7][far + n], modules[n][far]))
        assert not any((modules[far][n], modules[far + n][7]))


@pytest.mark.parametrize("length", [5, 30, 200])
def test_timing_alternates_between_the_finders_6_3_5(length: int) -> None:
    modules = code("a" * length)
    between = range(8, len(modules) - 8)
    assert [modules[6][n] for n in between] == [n % 2 == 0 for n in between]
    assert [modules[n][6] for n in between] == [n % 2 == 0 for n in between]


@pytest.mark.parametrize("length", [5, 30, 200])
def test_the_quiet_zone_is_four_light_modules_on_every_side_6_3_8(length: int) -> None:
    modules = read_svg(qr_svg("a" * length))
    side = len(modules)
    assert QUIET_ZONE == 4
    edge = [*range(4), *range(side - 4, side)]
    assert not any(modules[y][x] or modules[x][y] for y in edge for x in range(side))
    assert all(any(row[4:-4]) for row in modules[4:-4])


@pytest.mark.parametrize("length", [5, 30, 200])
def test_both_copies_of_the_format_say_level_m_and_a_mask_7_9(length: int) -> None:
    one, other = format_bits(code("a" * length))
    assert one == other
    assert one in FORMATS_M
