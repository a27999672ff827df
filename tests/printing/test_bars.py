"""Households' days as bars: each as long as its days, in black and grey, the same every time."""

import re
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.printing.bars import MOST_BARS, Home, bars_left_out, days_bars
from daysworth.printing.plain_text import fitted
from daysworth.wording.catalogue import catalogue

ROOT: Final = Path(__file__).parents[2]
SVG: Final = "{http://www.w3.org/2000/svg}"
HOMES: Final[list[Home]] = [
    ("H03", 28.0, False),
    ("H01", 7.19, False),
    ("H04", None, False),
    ("H02", 14.0, False),
]
NAMES: Final = st.text(min_size=1, max_size=40)


def drawn(homes: list[Home], *, floor_days: int = 14, horizon_days: int = 180) -> bytes:
    words = catalogue("en-GB")
    return days_bars(homes, horizon_days=horizon_days, floor_days=floor_days, words=words)


@dataclass(frozen=True)
class Picture:
    """What is in a picture: its texts top to bottom, its bars, its lines, and where they stand."""

    root: ElementTree.Element
    texts: list[str]
    bars: list[tuple[float, str]]
    """The length in points and the colour of each bar."""
    lines: list[float]
    """How far across each upright line is, in points."""


def read(svg: bytes) -> Picture:
    root = ElementTree.fromstring(svg)
    texts = sorted(root.iter(f"{SVG}text"), key=lambda text: (at(text, "y"), at(text, "x")))
    bars, lines = [], []
    for path in root.iter(f"{SVG}path"):
        across = [float(found) for found in re.findall(r"[ML] (\S+) ", path.get("d", ""))]
        style = path.get("style", "")
        width = max(across) - min(across)
        if "stroke-dasharray" in style:
            lines.append(across[0])
        # The widest is the paper; what clips a text to its column has no style at all.
        elif width < 200 and "clip-path" in path.attrib:
            colour = re.search("fill: (#[0-9a-f]+)", style)
            bars.append((width, colour.group(1) if colour else "#000000"))
    return Picture(root, [text.text or "" for text in texts], bars, lines)


def at(text: ElementTree.Element, side: str) -> float:
    return float(text.get(side, "nan"))


@cache
def usual() -> Picture:
    return read(drawn(HOMES))


def test_the_worst_off_stand_first_and_those_without_a_need_last() -> None:
    assert usual().texts == [
        "Days of food by household, worst first",
        "floor: 14 days",
        *("H01", "7.1"),
        *("H02", "14.0"),
        *("H03", "28.0"),
        *("H04", "no need of its own"),
    ]


def test_a_bar_is_as_long_as_its_days() -> None:
    lengths = [length for length, _ in usual().bars]
    assert len(lengths) == 3
    assert lengths[0] / lengths[2] == pytest.approx(7.19 / 28.0, abs=1e-4)
    assert lengths[1] / lengths[2] == pytest.approx(0.5, abs=1e-4)


def test_what_is_below_the_floor_is_black_and_what_meets_it_is_grey() -> None:
    assert [colour for _, colour in usual().bars] == ["#000000", "#808080", "#808080"]


def test_the_line_at_the_floor_stands_where_a_bar_of_the_floor_ends() -> None:
    (line,) = usual().lines
    title = min(at(text, "x") for text in usual().root.iter(f"{SVG}text"))
    assert title == 4.0
    assert line - 74.0 == pytest.approx(usual().bars[1][0], abs=1e-4)


def test_a_floor_beyond_every_bar_is_still_in_the_picture() -> None:
    picture = read(drawn([("H01", 7.0, False)], floor_days=70))
    assert picture.lines[0] - 74.0 == pytest.approx(10 * picture.bars[0][0], abs=1e-3)
    assert picture.lines[0] < 240.0


def test_without_a_floor_there_is_no_line_and_nothing_is_short() -> None:
    picture = read(drawn(HOMES, floor_days=0))
    assert picture.lines == []
    assert "floor" not in " ".join(picture.texts)
    assert {colour for _, colour in picture.bars} == {"#808080"}


def test_days_at_the_horizon_are_marked_and_the_mark_is_explained() -> None:
    picture = read(drawn([("H01", 7.0, False), ("H02", 180.0, True)]))
    assert picture.texts[-2:] == ["180+", "+: at least 180 days, as far as is counted"]
    assert "+" not in "".join(usual().texts)


def test_a_household_at_the_horizon_is_not_called_short_of_a_floor_beyond_it() -> None:
    picture = read(drawn([("H02", 180.0, True)], floor_days=365))
    assert [colour for _, colour in picture.bars] == ["#808080"]


@pytest.mark.parametrize(("count", "left_out"), [(40, 0), (41, 1), (45, 5)])
def test_forty_households_are_drawn_and_the_rest_are_counted(count: int, left_out: int) -> None:
    homes: list[Home] = [(f"H{number:02}", float(number), False) for number in range(1, count + 1)]
    picture = read(drawn(homes))
    assert MOST_BARS == 40
    assert bars_left_out(homes) == left_out
    assert len(picture.bars) == 40
    assert [text for text in picture.texts if text.startswith("H")][-1] == "H40"
    more = [text for text in picture.texts if text.startswith("and ")]
    assert more == (
        [f"and {left_out} more household" + ("s" if left_out > 1 else "")] if left_out else []
    )


def test_without_a_household_the_picture_says_so() -> None:
    assert read(drawn([])).texts == [
        "Days of food by household, worst first",
        "No household to show.",
    ]


def test_without_a_need_there_is_no_bar_and_no_floor() -> None:
    picture = read(drawn([("H01", None, False)]))
    assert (picture.bars, picture.lines) == ([], [])
    assert picture.texts[1:] == ["H01", "no need of its own"]


def test_nobody_with_a_day_left_is_a_picture_too() -> None:
    assert read(drawn([("H01", 0.0, False)], floor_days=0)).texts[1:] == ["H01", "0.0"]


def test_the_picture_is_a_telephone_wide_scales_and_can_be_read_on_it() -> None:
    root = usual().root
    assert root.get("width") == "240pt"
    width = float(root.get("viewBox", "").split()[2])
    assert width == 240.0
    sizes = {
        float(size)
        for text in root.iter(f"{SVG}text")
        for size in re.findall(r"font-size: ([\d.]+)px", text.get("style", ""))
    }
    assert min(sizes) * 320 / width >= 11


def test_the_text_is_text_in_a_letter_without_serifs() -> None:
    styles = [text.get("style", "") for text in usual().root.iter(f"{SVG}text")]
    assert styles
    assert all(re.search("font-family: [^;]*sans-serif", style) for style in styles)
    assert list(usual().root.iter(f"{SVG}use")) == []


def test_there_is_no_colour_but_black_white_and_grey() -> None:
    colours = set(re.findall("#[0-9a-f]{6}", drawn(HOMES).decode()))
    assert {"#808080", "#ffffff"} <= colours
    assert all(colour[1:3] == colour[3:5] == colour[5:7] for colour in colours)


def test_the_picture_has_a_title_and_no_date() -> None:
    title = usual().root.find(f"{SVG}title")
    assert title is not None
    assert title.text == "Days of food by household, worst first"
    assert b"<dc:date>" not in drawn(HOMES)


@pytest.mark.parametrize(
    "name",
    ["<b>&", "$x$", "$\\frac{1}{0}$", "שלום", "漢字", "\U0001f34e\ue000", "a\x00\x1b\nb", "\ud800"],
)
def test_a_name_is_drawn_as_it_is_written(name: str) -> None:
    picture = read(drawn([(name, 3.0, False)]))
    assert picture.texts[2:] == [fitted(name, 13), "3.0"]


def test_a_long_name_is_cut_and_kept_off_the_bars() -> None:
    svg = drawn([("W" * 64, 3.0, False)])
    assert read(svg).texts[2] == "W" * 12 + "…"
    (clip,) = [one for one in read(svg).root.iter(f"{SVG}rect") if one.get("x") == "0"]
    assert float(clip.get("width", "nan")) < 74.0


@settings(max_examples=30, deadline=None, derandomize=True, database=None)
@given(st.lists(st.tuples(NAMES, st.none() | st.floats(0, 180), st.booleans()), max_size=3))
def test_any_names_and_days_give_a_picture_that_can_be_read(homes: list[Home]) -> None:
    picture = read(drawn(homes))
    assert [fitted(name, 13) in picture.texts for name, _, _ in homes] == [True] * len(homes)


@cache
def elsewhere() -> subprocess.CompletedProcess[bytes]:
    """Draw the usual households in a process of its own, which tells what it loaded, and when."""
    program = (
        "import sys; from tests.printing.test_bars import HOMES, drawn;"
        "before = 'matplotlib' in sys.modules; sys.stdout.buffer.write(drawn(HOMES));"
        "after = ['matplotlib' in sys.modules, 'matplotlib.pyplot' in sys.modules];"
        "print(before, *after, file=sys.stderr)"
    )
    return subprocess.run(
        [sys.executable, "-W", "error", "-c", program], capture_output=True, check=True, cwd=ROOT
    )


def test_the_same_households_give_the_same_bytes_in_any_order_and_process() -> None:
    assert drawn(HOMES[::-1]) == drawn(HOMES)
    assert elsewhere().stdout == drawn(HOMES)


def test_the_library_is_loaded_by_the_first_picture_and_its_windows_never() -> None:
    assert elsewhere().stderr.split() == [b"False", b"True", b"False"]


def test_pictures_drawn_at_once_are_as_those_drawn_alone() -> None:
    stores: list[list[Home]] = [[(f"H{number}", number, False)] for number in range(1, 17)]
    alone = [drawn(homes) for homes in stores]
    with ThreadPoolExecutor(8) as pool:
        assert list(pool.map(drawn, stores)) == alone
