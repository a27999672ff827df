"""Text keeps to its columns, and names to their line."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.printing.plain_text import columns, fitted, one_line, wrapped


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("Elm Row", "Elm Row"),
        ("Elm\nRow\r\n\tEnd", "Elm Row   End"),
        ("a\x00b\x1b[2Jc", "a\ufffdb\ufffd[2Jc"),
        ("turned \u202eround", "turned \ufffdround"),
        ("half \ud800", "half \ufffd"),
        ("É 漢 ש", "É 漢 ש"),
    ],
)
def test_a_name_becomes_one_line_that_moves_nothing(name: str, line: str) -> None:
    assert one_line(name) == line


def test_wide_letters_take_two_columns() -> None:
    assert columns("abc") == 3
    assert columns("漢字") == 4


@pytest.mark.parametrize(
    ("name", "most", "kept"),
    [
        ("Elm Row", 7, "Elm Row"),
        ("Elm Rows", 7, "Elm Ro…"),
        ("Elm Rows", 5, "Elm…"),
        ("漢字漢字", 8, "漢字漢字"),
        ("漢字漢字", 6, "漢字…"),
        ("", 4, ""),
    ],
)
def test_a_name_that_is_too_long_is_cut_and_says_so(name: str, most: int, kept: str) -> None:
    assert fitted(name, most) == kept


def test_a_line_holds_seventy_two_columns_and_no_more() -> None:
    assert list(wrapped("a" * 35 + " " + "b" * 36)) == ["a" * 35 + " " + "b" * 36]
    assert list(wrapped("a" * 35 + " " + "b" * 37)) == ["a" * 35, "b" * 37]


def test_what_follows_a_mark_stands_under_its_text() -> None:
    assert list(wrapped("a" * 40 + " " + "b" * 40, mark="- ")) == [
        "- " + "a" * 40,
        "  " + "b" * 40,
    ]


def test_a_word_longer_than_a_line_goes_on_on_the_next() -> None:
    assert list(wrapped("x " + "y" * 80, mark="  ")) == ["  x", "  " + "y" * 70, "  " + "y" * 10]


def test_nothing_is_no_line() -> None:
    assert list(wrapped("", mark="- ")) == []


@settings(deadline=None, derandomize=True, database=None)
@given(st.text(max_size=400), st.sampled_from(["", "  ", "  - "]))
def test_no_letter_is_lost_and_no_line_is_too_wide(text: str, mark: str) -> None:
    lines = list(wrapped(text, mark=mark))
    assert all(columns(line) <= 72 for line in lines)
    assert "".join(line[len(mark) :] for line in lines).replace(" ", "") == "".join(text.split())
