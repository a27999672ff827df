"""A published table that has been edited wrongly is refused, and says where."""

import pytest

from daysworth.reference import energy, protein
from daysworth.reference.life_stages import (
    AgeSpan,
    one_of,
    refuse_broken_spans,
    row_at,
    span_of_months,
    span_of_years,
    stated,
)
from daysworth.reference.rows import ReferenceDataError


def test_a_span_holds_its_first_month_and_not_its_last() -> None:
    span = span_of_months("6", "12")
    assert [span.holds(months) for months in (5, 6, 11, 12)] == [False, True, True, False]


def test_a_span_without_an_end_holds_every_later_age() -> None:
    span = span_of_years("19", "")
    assert [span.holds(months) for months in (227, 228, 1440)] == [False, True, True]


@pytest.mark.parametrize(
    ("from_cell", "below_cell"), [("6", "6"), ("12", "6"), ("", "6"), ("six", ""), ("-1", "6")]
)
def test_a_span_that_is_not_one_is_refused(from_cell: str, below_cell: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        span_of_months(from_cell, below_cell)


@pytest.mark.parametrize("second_from", [5, 7], ids=["overlap", "gap"])
def test_age_groups_that_overlap_or_leave_a_gap_are_refused(second_from: int) -> None:
    spans = [("male", AgeSpan(0, 6)), ("male", AgeSpan(second_from, None))]
    with pytest.raises(ReferenceDataError, match=r"ages\.csv: the ages of male"):
        refuse_broken_spans("ages.csv", spans)


def test_an_age_group_after_one_without_an_end_is_refused() -> None:
    with pytest.raises(ReferenceDataError):
        refuse_broken_spans("ages.csv", [("all", AgeSpan(0, None)), ("all", AgeSpan(6, 12))])


def test_age_groups_of_different_keys_do_not_meet() -> None:
    spans = [("male", AgeSpan(0, 6)), ("female", AgeSpan(0, 6)), ("male", AgeSpan(6, None))]
    refuse_broken_spans("ages.csv", spans)


def test_a_word_outside_the_list_and_a_blank_source_are_refused() -> None:
    with pytest.raises(ValueError, match="'men' is none of female, male"):
        one_of("men", "female", "male")
    with pytest.raises(ValueError, match="blank"):
        stated("  ")


def test_an_age_without_a_published_figure_is_a_lookup_error() -> None:
    with pytest.raises(LookupError, match="24 months"):
        row_at(energy.toddler_energies(), months=24)


def test_what_is_not_published_is_a_lookup_error() -> None:
    with pytest.raises(LookupError):
        energy.eer_equation("pregnant", sex="male", activity="active")
    with pytest.raises(LookupError):
        energy.pregnancy_deposition_kcal("unknown")
    with pytest.raises(LookupError):
        energy.pregnancy_addition_kcal(4)
    with pytest.raises(LookupError):
        energy.reference_infant(12)
    with pytest.raises(LookupError):
        protein.protein_allowance(12, sex="unknown")
