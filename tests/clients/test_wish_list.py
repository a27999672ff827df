"""Claims about a wish list as text, and about the names that the client gives its parts."""

import json
from dataclasses import replace
from datetime import date
from typing import Final

import pytest

from daysworth.answers.wish_list import WishListAnswer as Written
from daysworth.answers.wish_list import answer_wish_list, wish_list_json
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.domain.identifiers import FoodId
from daysworth.planners.scenario import Scenario
from daysworth.planners.wish_candidates import Least, Wish
from daysworth_client.wish_list import wish_list_summary
from daysworth_client.wish_list_answers import WishListAnswer
from tests.clients.test_names_of_answers import differences

AS_OF: Final = date(2026, 11, 25)
PRICES: Final = {FoodId("pasta_dry"): 1.25, FoodId("sunflower_seed_butter"): 4.0}


def written(wish: Wish, scenario: Scenario | None = None) -> Written:
    return answer_wish_list(neighbourhood(AS_OF), AS_OF, scenario=scenario or Scenario(), wish=wish)


def text_of(answer: Written) -> str:
    return wish_list_summary(json.loads(wish_list_json(answer)))


@pytest.mark.parametrize(
    "wish",
    [
        Wish(target_days=30),
        Wish(target_days=30, least=Least.COST, prices=PRICES),
        Wish(target_days=1),
    ],
    ids=["mass", "cost", "one day"],
)
def test_the_json_is_just_what_the_client_says_and_the_text_fits(wish: Wish) -> None:
    answer = written(wish)
    found = differences(json.loads(wish_list_json(answer)), WishListAnswer, where="answer")
    assert [one for one in found if not one.startswith("answer.wish.prices")] == []
    assert max(len(line) for line in text_of(answer).splitlines()) <= 80


def test_the_text_says_what_to_bring_and_whom_it_does_not_help() -> None:
    answer = written(Wish(target_days=30))
    text = text_of(answer)
    assert answer.outcome == "some_lack"
    assert "No food on offer feeds all of them for 30 days." in text
    assert "Whom none of this helps for long enough" in text
    assert all(f"{line.units:,}" in text for line in answer.lines)


def test_a_list_above_its_bound_says_what_is_proved() -> None:
    answer = replace(
        written(Wish(target_days=30)), is_least=False, amount=1234.5, amount_at_least=1234.0
    )
    assert "Proved: no list with less than 1,234.00 of 1,234.50 is enough." in " ".join(
        text_of(answer).split()
    )


def test_what_is_met_already_says_so() -> None:
    answer = replace(written(Wish(target_days=30)), outcome="met", lines=[], lacking=[])
    text = text_of(answer)
    assert "Nothing need be brought: everyone can eat for" in text
    assert "Whom none of this helps" not in text


def test_a_price_gives_the_list_its_cost() -> None:
    heated = Scenario(heating=True, running_water=True)
    answer = written(Wish(target_days=30, least=Least.COST, prices=PRICES), heated)
    assert answer.totals.cost == pytest.approx(answer.amount)
    assert f"at a cost of {answer.amount:,.2f}" in text_of(answer)
