"""Hold names to one word for one thing, and figures to their units."""

from tests.house.name_rules import figures_without_unit, second_words
from tests.house.source_tree import ALL, OURS


def test_no_name_is_a_second_word_for_what_has_one() -> None:
    assert [offence for source in ALL for offence in second_words(source)] == []


def test_every_figure_in_a_field_says_its_unit() -> None:
    assert [offence for source in OURS for offence in figures_without_unit(source)] == []
