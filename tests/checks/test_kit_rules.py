"""Hold the rules of a kit against published guidance on emergency food, and common practice.

R   FEMA / American Red Cross, Food and Water in an Emergency: kit foods need no refrigeration,
    cooking, water or special preparation; a manual can opener goes with them; stored food is
    rotated every six months.
N   NIST Handbook 44, Appendix C (from memory): the US gallon is 3.785411784 L, and a teaspoon is
    a 768th of it.
F   21 CFR 101.12(b), reference amounts customarily consumed (2016, from memory).
P   common practice.
"""

from dataclasses import replace
from datetime import date
from typing import Final

import pytest

from daysworth.domain.built_in_patterns import built_in_patterns
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.foods import Food, MealRole, Preparation
from daysworth.domain.identifiers import FoodId, LotId, PatternId, PlaceId, StoreId
from daysworth.domain.kit_rules import (
    Diners,
    PackedFood,
    RuleFinding,
    RuleStatus,
    check_rules,
    wares_needed,
)
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Lot, Place
from daysworth.domain.meal_patterns import (
    Choice,
    MealPattern,
    MealRule,
    Served,
    Slot,
    SlotKind,
    Utensil,
    Waiver,
    Wanted,
)
from daysworth.domain.meal_rules import MealRules
from daysworth.domain.servings import servings
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import judge
from daysworth.domain.units import LITRES_PER_US_GALLON, gallons_to_l
from daysworth.domain.wares import WareKind
from daysworth.planners.packing_fills import ways_of
from daysworth.planners.packing_kinds import PackAsked, kinds_asked
from daysworth.planners.packing_stock import Stock

MARCH: Final = date(2026, 3, 1)
FAR: Final = date(2030, 1, 1)
FOUR: Final = Diners(persons=4, energy_kcal_day=8_400)


def packed(
    food: str, units: int = 1, *, until_day: date | None = FAR, served: Served = Served.PLATE
) -> PackedFood:
    chosen = generic_foods()[FoodId(food)]
    return PackedFood(food=chosen, units=units, last_good_day=until_day, served=served)


def finding(
    rule: MealRule,
    *foods: PackedFood,
    packed_on: date = MARCH,
    wares: dict[WareKind, int] | None = None,
    diners: Diners = FOUR,
) -> RuleFinding:
    found = check_rules(
        foods, wares=wares or {}, diners=diners, packed_on=packed_on, rules=MealRules()
    )
    return next(one for one in found if one.rule is rule)


def passes(rule: MealRule, *foods: PackedFood, **more: object) -> bool:
    return finding(rule, *foods, **more).status is RuleStatus.PASSED  # type: ignore[arg-type]


# --- R: no cooking, no water, and what is eaten as it is ---

COOKED_WITH_WATER = ["white_rice_dry", "pasta_dry", "lentils_dry", "maize_meal"]
EATEN_AS_THEY_ARE = ["tuna_in_water_tinned", "soda_crackers", "peaches_in_juice_tinned", "raisins"]


@pytest.mark.parametrize("food", COOKED_WITH_WATER)
def test_what_must_be_cooked_is_no_kit_food(food: str) -> None:
    """R: "foods that require no refrigeration, cooking, water or special preparation"."""
    for rule in (MealRule.NO_HEATING, MealRule.NO_ADDED_WATER):
        found = finding(rule, packed(food), packed("raisins"))
        assert (found.status, found.foods) == (RuleStatus.FAILED, (food,))


@pytest.mark.parametrize("food", ["milk_powder_skimmed", "couscous_dry", "ramen_noodles_dry"])
def test_what_only_needs_water_is_no_kit_food_either(food: str) -> None:
    """R."""
    assert not passes(MealRule.NO_ADDED_WATER, packed(food))


@pytest.mark.parametrize("food", EATEN_AS_THEY_ARE)
def test_the_ready_to_eat_foods_that_are_published_are_kit_foods(food: str) -> None:
    """R: names ready-to-eat canned meats, fruit and vegetables, crackers and dried fruit."""
    for rule in (MealRule.NO_HEATING, MealRule.NO_ADDED_WATER, MealRule.ONE_MEAL_PACKS):
        assert passes(rule, packed(food))


def test_a_dish_that_is_nicer_warm_may_be_eaten_cold() -> None:
    """P: a tinned stew is cooked in its tin."""
    stew = packed("beef_stew_tinned")
    assert stew.food.heating is Preparation.NICER
    assert passes(MealRule.NO_HEATING, stew)


# --- R: a manual can opener ---


def test_pull_tabs_and_pouches_need_no_opener_and_one_plain_tin_among_them_does() -> None:
    """R: "a manual can opener"; P: a pull tab needs none."""
    easy = [packed("sardines_in_oil_tinned", 4), packed("white_rice_ready_pouch", 4)]
    tin = packed("peaches_in_juice_tinned")
    assert passes(MealRule.OPENER, *easy)
    found = finding(MealRule.OPENER, *easy, tin)
    assert (found.status, found.foods) == (RuleStatus.FAILED, ("peaches_in_juice_tinned",))
    assert passes(MealRule.OPENER, *easy, tin, wares={WareKind.OPENER: 1})


# --- R: rotated every six months ---

KEPT = [
    # Put up on, last good day, and whether that is six calendar months.
    (date(2026, 3, 1), date(2026, 9, 1), True),
    (date(2026, 3, 1), date(2026, 8, 31), False),
    # 1 March and nine months more: an ordinary tin in a March round.
    (date(2026, 3, 1), date(2026, 12, 1), True),
    # The end of a month is clipped to the end of a shorter one.
    (date(2026, 8, 31), date(2027, 2, 28), True),
    (date(2026, 8, 31), date(2027, 2, 27), False),
    (date(2027, 8, 31), date(2028, 2, 29), True),
    (date(2027, 8, 31), date(2028, 2, 28), False),
    (date(2028, 2, 29), date(2028, 8, 29), True),
    (date(2028, 2, 29), date(2028, 8, 28), False),
    (date(2026, 9, 15), date(2027, 3, 15), True),
    (date(2026, 9, 15), date(2027, 3, 14), False),
]


@pytest.mark.parametrize(("packed_on", "until_day", "is_kept"), KEPT)
def test_food_keeps_six_calendar_months_from_the_day_of_packing(
    packed_on: date, until_day: date, *, is_kept: bool
) -> None:
    """R: "every six months", by the calendar: days reckoned by hand."""
    tin = packed("tuna_in_water_tinned", until_day=until_day)
    assert passes(MealRule.KEEPS, tin, packed_on=packed_on) is is_kept


def test_a_condiment_is_held_to_its_date_as_well_and_what_has_none_fails() -> None:
    """P: a kit is as good as the first thing in it that passes its date."""
    tin = packed("tuna_in_water_tinned")
    for until_day in (date(2026, 8, 1), None):
        found = finding(MealRule.KEEPS, tin, packed("ketchup", until_day=until_day))
        assert (found.status, found.foods) == (RuleStatus.FAILED, ("ketchup",))


# --- P: complete meals, and what they are eaten from ---


def test_a_tinned_dish_of_meat_and_vegetables_fills_two_parts_of_the_meal() -> None:
    """P: a ravioli is the protein and the starch; a fruit beside it makes the meal."""
    ravioli, peaches = packed("ravioli_with_meat_tinned", 3), packed("peaches_in_juice_tinned", 2)
    assert not passes(MealRule.COMPLETE, ravioli)
    assert passes(MealRule.COMPLETE, ravioli, peaches)


def test_a_meal_lacks_the_part_that_nothing_in_it_plays() -> None:
    """P: protein, starch, and fruit or vegetable, a serving of each for everyone."""
    tuna, crackers = packed("tuna_in_water_tinned", 4), packed("soda_crackers")
    found = finding(MealRule.COMPLETE, tuna, crackers, packed("ketchup"))
    assert [one.found >= one.asked for one in found.figures] == [True, True, False]
    assert [one.of for one in found.figures] == [role.value for role in MealRole]


def test_packs_that_are_eaten_from_need_no_plate_and_fruit_on_the_side_brings_one() -> None:
    """P."""
    own = [(one, Served.OWN_PACK) for one in (tin("sardines_in_oil_tinned"), tin("apple_puree"))]
    by_hand = wares_needed(own, persons=2, utensil=Utensil.SPOON)
    assert by_hand == {WareKind.SPOON: 2, WareKind.NAPKIN: 2, WareKind.BAG: 1}
    beside = [*own, (tin("pears_in_juice_tinned"), Served.PLATE)]
    with_fruit = wares_needed(beside, persons=2, utensil=Utensil.SPOON)
    assert with_fruit == {**by_hand, WareKind.PLATE: 2, WareKind.OPENER: 1}


def tin(food: str) -> Food:
    return generic_foods()[FoodId(food)]


def test_what_is_eaten_from_packs_passes_without_plates_and_what_is_not_fails() -> None:
    """P: as the wares are put in, so they are checked."""
    own = packed("apple_puree", 4, served=Served.OWN_PACK)
    assert passes(MealRule.PLATES, own)
    assert not passes(MealRule.PLATES, own, packed("pears_in_juice_tinned"))
    assert passes(MealRule.PLATES, own, packed("pears_in_juice_tinned"), wares={WareKind.PLATE: 4})


def test_a_catering_tin_for_four_leaves_food_to_refrigerate_and_a_jar_of_spread_does_not() -> None:
    """R: no refrigeration; a No. 10 tin holds 2.7 kg and more (can sizes, from memory)."""
    catering = replace(packed("peaches_in_juice_tinned"), net_mass_g=2_720.0)
    assert not passes(MealRule.ONE_MEAL_PACKS, catering)
    assert passes(MealRule.ONE_MEAL_PACKS, packed("peaches_in_juice_tinned"))
    assert passes(MealRule.ONE_MEAL_PACKS, replace(packed("jam"), net_mass_g=2_720.0))


# --- N: bags and spoons ---


@pytest.mark.parametrize(("gallons", "litres"), [(2, 7.57), (2.5, 9.46)])
def test_bags_of_two_gallons_and_of_two_and_a_half_hold_the_published_litres(
    gallons: float, litres: float
) -> None:
    """N."""
    assert gallons_to_l(gallons) == pytest.approx(litres, abs=0.005)


def test_the_usual_bag_is_one_of_two_gallons() -> None:
    """N, P: the default is printed in litres to one decimal, 7.6."""
    assert MealRules().bag_l == pytest.approx(gallons_to_l(2), rel=0.005)


TEASPOON_ML: Final = LITRES_PER_US_GALLON * 1000 / 768


def test_one_to_two_teaspoons_are_4_9_to_9_9_ml() -> None:
    """N."""
    assert round(TEASPOON_ML, 1) == 4.9
    assert round(2 * TEASPOON_ML, 1) == 9.9


def test_the_menu_with_soured_cream_asks_for_vinegar_to_sour_a_tin() -> None:
    """P: one to two teaspoons of vinegar sour a tin of cream; vinegar weighs 1.01 g a millilitre.

    That mass is from memory, for vinegar of 5 %.
    """
    pattern = next(one for id_, one in built_in_patterns().items() if "soured" in id_)
    asked_g = {
        wanted.food: slot.grams_in_all
        for slot in pattern.slots
        for choice in slot.choices
        for wanted in choice.foods
    }
    assert 2 * TEASPOON_ML * 1.01 <= (asked_g[FoodId("white_vinegar")] or 0) <= 11
    milk_g = asked_g[FoodId("evaporated_milk_tinned")]
    assert milk_g is not None
    assert milk_g <= tin("evaporated_milk_tinned").net_mass_g


def test_a_vial_of_two_millilitres_does_not_hold_the_vinegar_and_three_do() -> None:
    """N, P: one teaspoon, 4.9 mL, of a vinegar that is taken for water (1 g a millilitre).

    A slot is filled in whole packs, and never with too little.
    """
    vial = replace(tin("white_vinegar"), id=FoodId("vinegar_vial"), net_mass_g=2.0)
    slot = Slot(
        kind=SlotKind.EXTRA,
        choices=(Choice(foods=(Wanted(food=vial.id),)),),
        grams_in_all=round(TEASPOON_ML, 1),
        served=Served.MIXED_IN,
    )
    assert fill_units(slot, vial) == {3}
    assert fill_units(replace(slot, grams_in_all=round(2 * TEASPOON_ML, 1)), vial) == {5}
    assert fill_units(replace(slot, grams_in_all=2.0), vial) == {1}


def fill_units(slot: Slot, food: Food) -> set[int]:
    """Give the units by which the planner would fill a slot from a shelf of one food."""
    waivers = tuple(Waiver(rule=rule, why="One slot alone.") for rule in MealRule)
    pattern = MealPattern(
        id=PatternId("sour"), name="Sour", persons=4, slots=(slot,), waivers=waivers
    )
    lot = Lot(
        id=LotId("vials"),
        food=food.id,
        place=PlaceId("hall"),
        units=50,
        label_kind=LabelKind.USE_BY,
        printed="2030",
    )
    snapshot = Snapshot(
        store=StoreId("s"),
        store_name="A store",
        taken_on=MARCH,
        foods=(food,),
        places=(Place(id=PlaceId("hall"), name="Hall"),),
        lots=(lot,),
    )
    kinds = kinds_asked(snapshot, MARCH, asked=[PackAsked(pattern=pattern, wanted=1)])
    goods = Stock(snapshot, MARCH, kinds=kinds, judge=judge).goods()
    ways = ways_of(kinds[0], goods, has_few_openers=False)
    return {fill.units for way in ways for part in way.parts for fill in part.fills}


# --- F: servings ---

SERVINGS = [
    # A pack, its net grams, and the published amount that it is a multiple of.
    ("black_beans_tinned", 425, 130),
    ("chickpeas_tinned", 425, 130),
    ("green_beans_tinned", 411, 130),
    ("peaches_in_juice_tinned", 411, 140),
    ("raisins", 43, 40),
    ("soda_crackers", 454, 30),
    ("beef_stew_tinned", 425, 245),
    ("cashews_roasted", 227, 30),
    ("white_rice_ready_pouch", 240, 140),
    ("pasta_dry", 454, 55),
    ("lentils_dry", 454, 35),
    ("corn_flakes", 340, 40),
    ("whole_milk_long_life", 244, 240),
]


@pytest.mark.parametrize(("food", "net_g", "amount_g"), SERVINGS)
def test_a_pack_holds_as_many_servings_as_the_published_amount_goes_into_it(
    food: str, net_g: float, amount_g: float
) -> None:
    """F: canned in liquid 130 g, fruit 140 g, dried fruit 40 g, crackers 30 g, soups 245 g, nuts
    30 g, prepared rice 140 g, dry pasta 55 g, dry beans 35 g, flakes 40 g, milk 240 mL.
    """
    assert servings(tin(food), net_g) == pytest.approx(net_g / amount_g)


def test_fish_goes_by_what_is_left_when_it_is_drained() -> None:
    """F: canned fish 85 g; a tin of 142 g holds about 99 g of fish (USDA can weights, 0.70)."""
    assert servings(tin("tuna_in_water_tinned"), 142) == pytest.approx(142 * 0.70 / 85)


def test_a_tin_of_beans_has_the_servings_that_its_labels_print() -> None:
    """21 CFR 101.9(b)(8), from memory: rounded to the nearest half from two to five; P: labels of
    15 oz print "about 3.5".
    """
    assert round(servings(tin("black_beans_tinned"), 15 * 28.35) * 2) / 2 == 3.5


# --- P: kits count meals ---


def test_five_kits_are_one_and_two_thirds_days() -> None:
    """P: a kit is one meal of three a day."""
    assert MealRules().days_of(5) == pytest.approx(5 / 3)
    assert MealRules().days_of(3) == pytest.approx(1)


def test_a_kit_gives_everyone_a_third_of_the_days_energy() -> None:
    """Sphere Handbook (2011): 2,100 kcal a person and day, so that a meal has 700."""
    peanut_butter = packed("peanut_butter_smooth")
    just = Diners(persons=4, energy_kcal_day=3 * peanut_butter.energy_kcal)
    over = replace(just, energy_kcal_day=just.energy_kcal_day + 3)
    assert passes(MealRule.ENERGY, peanut_butter, diners=just)
    found = finding(MealRule.ENERGY, peanut_butter, diners=over)
    assert found.status is RuleStatus.FAILED
    (figure,) = finding(MealRule.ENERGY, peanut_butter, diners=FOUR).figures
    assert figure.asked == pytest.approx(4 * 700)
