"""Claims about the answer on what to bring: totals, what is asked, and who sees whom it fails."""

from datetime import date
from typing import Final

import pytest

from daysworth.answers.wish_list import (
    MOST_NAMED,
    WishListAnswer,
    answer_wish_list,
    wish_list_json,
    wish_list_seen_by,
)
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.domain.entries import Role
from daysworth.planners.scenario import Scenario
from daysworth.planners.wish_candidates import Wish
from tests.grounds import someone

AS_OF: Final = date(2026, 11, 25)


@pytest.fixture(scope="module")
def answer() -> WishListAnswer:
    return answer_wish_list(
        neighbourhood(AS_OF), AS_OF, scenario=Scenario(), wish=Wish(target_days=30)
    )


def test_totals_are_those_of_the_lines(answer: WishListAnswer) -> None:
    assert answer.totals.units == sum(line.units for line in answer.lines)
    mass_g = sum(line.units * line.unit_mass_g for line in answer.lines)
    assert answer.totals.mass_kg == pytest.approx(mass_g / 1000)
    assert answer.amount == pytest.approx(answer.totals.mass_kg)
    assert answer.amount_at_least <= answer.amount


def test_only_coordinators_are_told_whom_nothing_helps(answer: WishListAnswer) -> None:
    assert answer.lacking
    assert wish_list_seen_by(someone(Role.COORDINATOR), answer) == answer
    for role in (Role.SCRIPT, Role.VOLUNTEER, Role.HOUSEHOLD):
        seen = wish_list_seen_by(someone(role), answer)
        assert seen.lacking == []
        assert all(one.need not in wish_list_json(seen) for one in answer.lacking)


def test_few_foods_that_may_suit_are_named_and_all_are_counted(answer: WishListAnswer) -> None:
    for one in answer.lacking:
        assert len(one.may_suit) == min(one.may_suit_count, MOST_NAMED)


def test_the_same_question_gives_the_same_bytes(answer: WishListAnswer) -> None:
    again = answer_wish_list(
        neighbourhood(AS_OF), AS_OF, scenario=Scenario(), wish=Wish(target_days=30)
    )
    assert wish_list_json(again) == wish_list_json(answer)
