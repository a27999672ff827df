"""Letters of labels: what is lacking is seen to be, and other scripts run and join as they should.

Forms of Arabic letters are from the charts of the Unicode Standard (Arabic Presentation Forms B),
from memory.
"""

import pytest

from daysworth.printing.joined_letters import joined_letters
from daysworth.printing.label_letters import LACKING, TURN_BACK, Letters, as_drawn


@pytest.fixture(scope="module")
def letters() -> Letters:
    return Letters()


@pytest.mark.parametrize("lacking", ["中", "\U0001f34e", "\x07", "\ue000", "\ud800"])
def test_a_letter_that_is_lacking_is_drawn_as_a_sign(letters: Letters, lacking: str) -> None:
    assert letters.drawable(f"a{lacking}b") == f"a{LACKING}b"
    assert letters.ems(LACKING, is_bold=True) > 0.5


def test_latin_greek_cyrillic_and_hebrew_are_all_there(letters: Letters) -> None:
    for text in ("Crème brûlée", "φακές", "гречка", "חומוס", "½ × 3 °C"):
        assert letters.drawable(text) == text


def test_an_accent_that_stands_apart_is_put_on_its_letter(letters: Letters) -> None:
    assert letters.drawable("cafe\u0301") == "café"


def test_marks_that_turn_text_round_are_taken_out(letters: Letters) -> None:
    assert letters.drawable("a\u202eb\u200dc\ufeff") == "abc"


def test_bold_letters_are_wider_than_others(letters: Letters) -> None:
    assert letters.ems("Supper", is_bold=True) > letters.ems("Supper", is_bold=False) > 3


def test_arabic_letters_take_the_forms_of_their_places() -> None:
    # Hah, meem, sad: at the beginning, between, at the end.
    assert joined_letters("حمص") == "\ufea3\ufee4\ufeba"
    # Reh joins what is before it and nothing after it.
    assert joined_letters("أرز") == "\ufe83\ufead\ufeaf"
    assert joined_letters("بر") == "\ufe91\ufeae"


def test_lam_and_alef_are_one_letter() -> None:
    assert joined_letters("لا") == "\ufefb"
    assert joined_letters("بلا") == "\ufe91\ufefc"


def test_a_mark_above_a_letter_does_not_part_it_from_the_next() -> None:
    assert joined_letters("حّم") == "\ufea3\u0651\ufee2"


def test_text_without_arabic_letters_is_kept() -> None:
    assert joined_letters("Supper, חומוס") == "Supper, חומוס"


def test_what_is_read_from_the_right_is_drawn_from_the_left() -> None:
    assert as_drawn("אבג") == "גבא"
    assert as_drawn("for אבג now") == "for גבא now"


def test_brackets_in_text_from_the_right_open_to_the_left() -> None:
    assert as_drawn("א(ב)ג") == "ג(ב)א"


def test_a_figure_after_a_name_stays_behind_it() -> None:
    assert as_drawn(f"2 × אב{TURN_BACK}, 400 g") == "2 × בא, 400 g"


def test_text_from_the_left_is_drawn_as_it_is_read() -> None:
    assert as_drawn("2 × Rice (400 g)") == "2 × Rice (400 g)"
