"""Claims about rules and figures in words: what is lacking is said, and by how much."""

from datetime import date

import pytest

from daysworth.answers.kit_words import day_words, listed, number_words, rule_in_words, ware_words
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.identifiers import FoodId
from daysworth.domain.kit_rules import Diners, PackedFood, RuleStatus, check_rules
from daysworth.domain.meal_patterns import MealRule, Served, Waiver
from daysworth.domain.meal_rules import MealRules
from daysworth.domain.wares import WareKind

PACKED_ON = date(2026, 9, 1)
SALMON = FoodId("salmon_pink_tinned")
NAMES = {id_: food.name for id_, food in generic_foods().items()}


def said(
    *foods: PackedFood, wares: dict[WareKind, int] | None = None, waivers: tuple[Waiver, ...] = ()
) -> dict[MealRule, tuple[RuleStatus, str]]:
    """Judge foods as a kit for two who need 4,000 kcal a day, and give every rule's words."""
    found = check_rules(
        foods,
        wares=wares or {},
        diners=Diners(persons=2, energy_kcal_day=4_000.0),
        packed_on=PACKED_ON,
        rules=MealRules(),
        waivers=waivers,
    )
    return {one.rule: (one.status, rule_in_words(one, names=NAMES)) for one in found}


def packed(
    food: str,
    units: int = 1,
    *,
    day: date | None = date(2028, 9, 30),
    served: Served = Served.PLATE,
) -> PackedFood:
    """Give units of a generic food that keeps for two years unless told otherwise."""
    return PackedFood(
        food=generic_foods()[FoodId(food)], units=units, last_good_day=day, served=served
    )


def test_what_lacks_says_what_there_is_and_what_is_asked_for() -> None:
    rules = said(packed(SALMON), wares={WareKind.FORK: 1})
    assert rules[MealRule.ENERGY][1].endswith("kcal, 1,333 asked for: too little")
    assert "starch: 0 servings, 2 asked for: too little" in rules[MealRule.COMPLETE][1]
    assert rules[MealRule.UTENSILS][1] == "forks or spoons: 1 of 2; napkins: 0 of 2"
    assert rules[MealRule.PLATES][1] == "plates: 0 of 2"
    assert rules[MealRule.BAG][1].endswith("a bag holds 7.6 L; bags: 0 of 1")


def test_foods_at_fault_are_named() -> None:
    rules = said(packed("pasta_dry"), packed("white_rice_dry", day=date(2026, 12, 1)))
    assert rules[MealRule.NO_HEATING][1] == (
        f"heating is needed by {NAMES[FoodId('pasta_dry')]} and {NAMES[FoodId('white_rice_dry')]}"
    )
    assert rules[MealRule.KEEPS][1] == (
        f"fewer than 6 months from packing: {NAMES[FoodId('white_rice_dry')]} (3)"
    )


def test_what_is_waived_says_so_and_what_passes_says_what_it_goes_by() -> None:
    waiver = Waiver(rule=MealRule.BAG, why="two bags are carried")
    rules = said(packed(SALMON, 2), wares={WareKind.OPENER: 1}, waivers=(waiver,))
    assert rules[MealRule.BAG][0] is RuleStatus.WAIVED
    assert rules[MealRule.KEEPS][1] == "every food keeps at least 6 months from packing"
    assert rules[MealRule.NO_ADDED_WATER][1] == "nothing needs added water"
    own = said(packed(SALMON, served=Served.OWN_PACK))
    assert own[MealRule.PLATES][1] == "everything is eaten from its own pack"


@pytest.mark.parametrize(
    ("value", "words"),
    [(0.0, "0"), (2.0, "2"), (1.26, "1.3"), (1333.33, "1,333"), (99.96, "100.0"), (-1.5, "-1.5")],
)
def test_a_figure_is_written_for_reading(value: float, words: str) -> None:
    assert number_words(value) == words


def test_lists_days_and_wares_are_written_as_people_write_them() -> None:
    assert [listed("abc"[:n]) for n in range(4)] == ["", "a", "a and b", "a, b and c"]
    assert day_words(date(2026, 10, 2)) == "2 October 2026"
    assert [ware_words(kind, units=1) for kind in WareKind] == [
        "tin opener",
        "plate",
        "bowl",
        "fork",
        "spoon",
        "napkin",
        "bag",
    ]
