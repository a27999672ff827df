"""What an eater demands can be judged one demand at a time, and the reasons be kept."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from daysworth.domain.ages import Stage
from daysworth.domain.demands import Demand, Eater
from daysworth.domain.foods import FoodGroup
from daysworth.domain.labels import LabelReading
from daysworth.domain.offers import Offer
from daysworth.domain.suitability import REASONS_REMEMBERED, apart, judge, reason_for
from tests.domain.offers import MEAL
from tests.domain.test_suitability_properties import BADNESS, demands, foods, many, readings

eaters = st.builds(Eater, st.sampled_from(Stage), st.frozensets(demands, max_size=4), st.booleans())
offers = st.builds(
    lambda food, group, is_choking_hazard, read, is_handled_here: Offer(
        replace(food, group=group, is_choking_hazard=is_choking_hazard), read, is_handled_here
    ),
    foods,
    st.sampled_from((FoodGroup.PREPARED_MEALS, FoodGroup.INFANT_FORMULA, FoodGroup.BABY_FOOD)),
    st.booleans(),
    st.lists(readings, max_size=2).map(tuple),
    st.booleans(),
)


@many
@given(offers, eaters)
def test_a_verdict_is_the_worst_of_those_for_the_eater_taken_apart(
    offer: Offer, eater: Eater
) -> None:
    parts = apart(eater)
    assert all(len(part.demands) <= 1 for part in parts)
    verdicts = [judge(offer, part).verdict for part in parts]
    assert judge(offer, eater).verdict is max(verdicts, key=lambda verdict: BADNESS[verdict])


@many
@given(eaters)
def test_what_is_taken_apart_is_not_taken_apart_further(eater: Eater) -> None:
    assert all(apart(part) == (part,) for part in apart(eater))


def test_an_offer_keeps_few_reasons_and_still_gives_the_same() -> None:
    reading = LabelReading(text="Ingredients: rice, kiwi 7, salt.", is_whole=True)
    asked = [Demand(words=f"kiwi {number}") for number in range(2 * REASONS_REMEMBERED)]
    kept = Offer(MEAL, (reading,))
    found = [reason_for(kept, demand) for demand in asked]
    assert len(kept.decided) <= REASONS_REMEMBERED
    assert found == [reason_for(Offer(MEAL, (reading,)), demand) for demand in asked]
