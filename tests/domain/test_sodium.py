"""A food is low in sodium by its reference amount, and that excludes only when a member says so."""

from dataclasses import replace

import pytest

from daysworth.domain.demands import Demand
from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.labels import Claim, LabelReading
from daysworth.domain.restrictions import Diet
from daysworth.domain.sodium import sodium_of
from daysworth.domain.verdicts import Shown, Verdict
from daysworth.reference.reference_amounts import reference_amounts
from tests.domain.offers import MEAL, judged, label, reason

ADVISED = Demand(diet=Diet.LOW_SODIUM)
EXCLUDES = Demand(diet=Diet.LOW_SODIUM, is_excluding=True)


def salted(group: FoodGroup, sodium_mg_100g: float | None) -> Food:
    return replace(MEAL, group=group, sodium_mg_100g=sodium_mg_100g)


def test_every_shelf_has_its_reference_amount() -> None:
    assert set(reference_amounts()) == set(FoodGroup)


@pytest.mark.parametrize(
    ("group", "low_mg_100g", "high_mg_100g"),
    [
        (FoodGroup.PREPARED_MEALS, 140, 141),  # a meal: 140 mg in 100 g
        (FoodGroup.FRUIT, 100, 101),  # 140 g at once: 140 mg
        (FoodGroup.FISH, 164, 165),  # 85 g at once: 139.4 and 140.25 mg
        (FoodGroup.SWEETS, 280, 281),  # 30 g at once, so 50 g: 140 mg
        (FoodGroup.CONDIMENTS, 280, 281),  # 15 g at once, so 50 g
        (FoodGroup.BREAKFAST_CEREALS, 350, 351),  # 40 g at once: 140 mg, no small amount
    ],
)
def test_low_is_140_mg_in_the_amount_or_in_50_g_of_what_is_eaten_in_small_amounts(
    group: FoodGroup, low_mg_100g: float, high_mg_100g: float
) -> None:
    for sodium_mg_100g, verdict in (
        (low_mg_100g, Verdict.SUITABLE),
        (high_mg_100g, Verdict.UNSUITABLE),
    ):
        assert reason(EXCLUDES, food=salted(group, sodium_mg_100g)).verdict is verdict
        assert reason(ADVISED, food=salted(group, sodium_mg_100g)).verdict is Verdict.SUITABLE


def test_what_is_shown_is_the_sodium_in_the_amount_that_is_eaten() -> None:
    found = sodium_of(salted(FoodGroup.CONDIMENTS, 1_000))
    assert found is not None
    assert (found.amount_g, found.sodium_mg, found.is_low) == (15, 150, False)
    told = reason(EXCLUDES, food=salted(FoodGroup.CONDIMENTS, 1_000)).words
    assert told == "150 mg sodium in 15 g; low is 140 mg"


def test_sodium_that_is_not_recorded_is_unknown_unless_the_label_claims_that_it_is_low() -> None:
    unrecorded = salted(FoodGroup.FRUIT, None)
    assert sodium_of(unrecorded) is None
    assert reason(EXCLUDES, food=unrecorded).verdict is Verdict.UNKNOWN
    claimed = LabelReading(claims=frozenset({Claim.LOW_SODIUM}))
    assert reason(EXCLUDES, claimed, food=unrecorded).verdict is Verdict.SUITABLE
    for other in frozenset(Claim) - {Claim.LOW_SODIUM}:
        beside = LabelReading(claims=frozenset({other}))
        assert reason(EXCLUDES, beside, food=unrecorded).verdict is Verdict.UNKNOWN


def test_a_claim_does_not_outdo_the_figure() -> None:
    claimed = label("Low sodium. Ingredients: beans, salt.")
    assert reason(EXCLUDES, claimed, food=salted(FoodGroup.FRUIT, 900)).verdict is (
        Verdict.UNSUITABLE
    )


def test_low_sodium_advises_unless_the_member_says_that_it_excludes() -> None:
    salty = salted(FoodGroup.FRUIT, 900)
    assert judged(salty, ADVISED).shown is Shown.ASK_CARE_TEAM
    assert judged(salty, EXCLUDES).shown is Shown.UNSUITABLE
    assert judged(salted(FoodGroup.FRUIT, 5), EXCLUDES).shown is Shown.SUITABLE
