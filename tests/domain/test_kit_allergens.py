"""Of every allergen it is told whether it is in a kit, may be in it, or is not known."""

from dataclasses import replace
from typing import Final

from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.domain.kit_allergens import KitAllergens, allergens_of
from daysworth.domain.labels import Regime
from daysworth.domain.offers import Offer
from daysworth.domain.regimes import named_by_a_law
from daysworth.domain.restrictions import Substance
from tests.domain.offers import MEAL, label, recipe

PLAIN: Final = label("Ingredients: water, salt, sugar.")
CLEAR: Final = Offer(MEAL, (PLAIN,))
NUTS: Final = Offer(recipe(Substance.PEANUT))
MILKY: Final = Offer(MEAL, (label("Ingredients: water, milk, salt. Contains milk."),))
TRACES: Final = Offer(MEAL, (label("Ingredients: water, salt. May contain sesame."),))
USUAL: Final = Offer(recipe(may_contain=(Substance.SOY,)))


def test_what_one_food_contains_is_in_the_kit() -> None:
    found = allergens_of([CLEAR, MILKY, NUTS])
    assert {Substance.PEANUT, Substance.MILK} <= set(found.present)
    assert Substance.PEANUT not in (*found.may_be_present, *found.not_known)


def test_a_warning_on_a_label_and_a_usual_ingredient_may_be_in_it() -> None:
    found = allergens_of([TRACES, USUAL])
    assert {Substance.SESAME, Substance.SOY} <= set(found.may_be_present)


def test_what_is_contained_in_one_and_may_be_in_another_is_contained() -> None:
    found = allergens_of([TRACES, Offer(recipe(Substance.SESAME))])
    assert Substance.SESAME in found.present
    assert Substance.SESAME not in found.may_be_present


def test_one_label_that_nobody_read_leaves_the_rest_not_known() -> None:
    read = allergens_of([CLEAR])
    unread = allergens_of([CLEAR, Offer(MEAL)])
    assert Substance.PEANUT not in read.not_known
    assert read.is_read
    assert Substance.PEANUT in unread.not_known
    assert not unread.is_read


def test_a_whole_label_clears_only_what_its_law_has_declared() -> None:
    """A label of the United States need not name mustard, so its silence says nothing of it."""
    found = allergens_of([CLEAR])
    assert Substance.MUSTARD in found.not_known
    european = allergens_of([Offer(MEAL, (replace(PLAIN, regime=Regime.EU),))])
    assert Substance.MUSTARD not in european.not_known


def test_what_was_opened_or_repacked_here_may_have_met_anything() -> None:
    handled = Offer(MEAL, (PLAIN,), is_handled_here=True)
    assert Substance.PEANUT in allergens_of([handled]).not_known


def test_a_kit_with_nothing_in_it_has_nothing_to_tell() -> None:
    assert allergens_of([]) == KitAllergens(
        present=(), may_be_present=(), not_known=(), is_read=True
    )


ANY: Final = st.lists(st.sampled_from([CLEAR, NUTS, MILKY, TRACES, USUAL, Offer(MEAL)]), min_size=1)


def places(found: KitAllergens) -> dict[Substance, int]:
    """Rank each allergen, the worst highest."""
    ranked = (found.not_known, found.may_be_present, found.present)
    return {one: rank for rank, held in enumerate(ranked, start=1) for one in held}


@given(offers=ANY, more=ANY)
@settings(max_examples=60, deadline=None, derandomize=True, database=None)
def test_another_food_never_makes_an_allergen_look_safer(
    offers: list[Offer], more: list[Offer]
) -> None:
    before, after = places(allergens_of(offers)), places(allergens_of([*offers, *more]))
    assert all(after.get(one, 0) >= rank for one, rank in before.items())
    assert set(after) <= named_by_a_law()


@given(offers=ANY)
@settings(max_examples=30, deadline=None, derandomize=True, database=None)
def test_the_order_of_the_foods_changes_nothing(offers: list[Offer]) -> None:
    assert allergens_of(offers) == allergens_of(reversed(offers))
