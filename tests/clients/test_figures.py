"""Figures are shown so that nobody counts on a day that is not there."""

import pytest

from daysworth_client.figures import count, day_in_words, in_words, one_line, tenths


@pytest.mark.parametrize(
    ("days", "shown"),
    [(2.96, "2.9"), (2.0, "2.0"), (0.0, "0.0"), (0.05, "0.0"), (9.99, "9.9"), (730.0, "730.0")],
)
def test_tenths_are_rounded_down(days: float, shown: str) -> None:
    assert tenths(days) == shown


def test_a_whole_tenth_is_shown_as_it_is_however_floats_hold_it() -> None:
    assert [k for k in range(7_301) if tenths(k / 10) != f"{k // 10}.{k % 10}"] == []


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (2.96, "2 days and some"),
        (2.0, "2 days"),
        (1.0, "1 day"),
        (1.5, "1 day and some"),
        (0.4, "0 days and some"),
        (0.0, "0 days"),
        (7.99, "7 days and some"),
    ],
)
def test_days_in_words_are_whole_days_and_some(days: float, words: str) -> None:
    assert in_words(days) == words


@pytest.mark.parametrize(("days", "words"), [(180.0, "at least 180 days"), (1.0, "at least 1 day")])
def test_days_at_the_horizon_read_at_least(days: float, words: str) -> None:
    assert in_words(days, at_least=True) == words


@pytest.mark.parametrize("days", [7.999999, 7.999998, 8.0, 8.000001, 0.999999])
def test_the_words_and_the_tenths_of_one_figure_agree(days: float) -> None:
    whole = in_words(days).split()[0]
    assert whole == tenths(days).split(".")[0]


def test_a_count_has_its_noun_in_the_right_number() -> None:
    assert count(1, "household") == "1 household"
    assert count(0, "household") == "0 households"
    assert count(1, "person", many="people") == "1 person"
    assert count(3, "person", many="people") == "3 people"
    assert count(12_345, "unit") == "12,345 units"


@pytest.mark.parametrize(
    ("iso", "words"),
    [
        ("2027-03-01", "1 March 2027"),
        ("2024-02-29", "29 February 2024"),
        ("2026-12-31", "31 December 2026"),
    ],
)
def test_a_date_in_words_cannot_be_read_two_ways(iso: str, words: str) -> None:
    assert day_in_words(iso) == words


def test_a_name_on_one_line_keeps_its_letters_and_loses_what_moves_the_cursor() -> None:
    assert one_line("Grüße 豆 № 5") == "Grüße 豆 № 5"
    assert one_line("a\nb\x1b[2J\u202ec") == "a\ufffdb\ufffd[2J\ufffdc"
