"""What nobody would see in a text is shown as a sign; all that a person reads stays."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from daysworth.pages.harmless import REPLACEMENT, harmless


@pytest.mark.parametrize(
    "text",
    [
        "milk, salt",
        "crème brûlée",
        "молоко",
        "مِلح",
        "می\u200cخواهم",
        "牛乳",
        "\U0001f469\u200d\U0001f33e",
        "a\n\tb",
        "½ l ≥ 3 %",
    ],
)
def test_what_a_person_reads_is_left_as_it_is(text: str) -> None:
    assert harmless(text) == text


@pytest.mark.parametrize("mark", ["\x00", "\x07", "\x1b", "\x9b", "\u202e", "\u2066", "\u200b"])
def test_what_nobody_sees_becomes_a_sign(mark: str) -> None:
    assert harmless(f"a{mark}b") == f"a{REPLACEMENT}b"


@pytest.mark.parametrize("line_break", ["\r\n", "\r", "\u2028", "\u2029", "\x0b", "\x85"])
def test_every_kind_of_line_break_is_one(line_break: str) -> None:
    assert harmless(f"a{line_break}b") == "a\nb"


@given(st.text())
def test_no_text_at_all_turns_its_surroundings_around_or_controls_anything(text: str) -> None:
    shown = harmless(text)
    directions = {unicodedata.bidirectional(one) for one in shown}
    assert directions.isdisjoint({"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"})
    assert not [one for one in shown if unicodedata.category(one) == "Cc" and one not in "\n\t"]
    assert harmless(shown) == shown
