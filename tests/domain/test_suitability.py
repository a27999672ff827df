"""Safety is never inferred from silence: every cell of the decision table, and who it reaches."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from daysworth.domain.ages import Stage
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.eaters import eater_of, is_advised
from daysworth.domain.foods import Food, FoodGroup, MadeOf, Texture
from daysworth.domain.identifiers import FoodId, HouseholdId, MemberId
from daysworth.domain.people import AgeBand, Household, Member
from daysworth.domain.restrictions import (
    ADVISING,
    RULED_OUT,
    DeclaredFacts,
    Diet,
    Reach,
    Restriction,
    Substance,
    with_implied,
)
from daysworth.domain.suitability import (
    Demand,
    Eater,
    Judgement,
    Offer,
    Reason,
    Verdict,
    demand_words,
    judge,
)

AS_OF = date(2026, 6, 15)
PEANUT = frozenset({Substance.PEANUT})
NOTHING_READ = None
NAMES_NOTHING = DeclaredFacts()
ALL_CLEAR = DeclaredFacts(free_from=frozenset(Substance))

AVOIDS = Demand(allergy=Substance.PEANUT)
ACCEPTS = Demand(allergy=Substance.PEANUT, accepts_may_contain=True)
EITHER = pytest.mark.parametrize("demand", [AVOIDS, ACCEPTS], ids=["avoids", "accepts"])

OATS = Food(
    id=FoodId("oats"),
    name="Oats",
    group=FoodGroup.BREAKFAST_CEREALS,
    energy_kcal_100g=370,
    protein_g_100g=13,
    net_mass_g=500,
    texture=Texture.SOFT,
    made_of=MadeOf.MIXED,
)


def recipe(
    *contains: Substance, may_contain: tuple[Substance, ...] = (), made_of: MadeOf = MadeOf.MIXED
) -> Food:
    facts = DeclaredFacts(contains=frozenset(contains), may_contain=frozenset(may_contain))
    return replace(OATS, made_of=made_of, facts=facts)


def judged(
    food: Food,
    *demands: Demand,
    reading: DeclaredFacts | None = None,
    is_handled_here: bool = False,
    stage: Stage = Stage.FAMILY,
) -> Judgement:
    offer = Offer(food, reading, is_handled_here)
    return judge(offer, Eater(stage, frozenset(demands)))


def read(
    *,
    contains: frozenset[Substance] = frozenset(),
    may_contain: frozenset[Substance] = frozenset(),
) -> DeclaredFacts:
    """A label read in full: whatever it does not name was looked for and not found."""
    return DeclaredFacts(
        contains=contains,
        may_contain=may_contain,
        free_from=frozenset(Substance) - contains - may_contain,
    )


# The decision table, row by row.


@EITHER
@pytest.mark.parametrize("is_handled_here", [False, True])
@pytest.mark.parametrize(
    "claims", [frozenset[Substance](), PEANUT], ids=["no claim", "free-from claim"]
)
def test_contains_is_unsuitable_even_beside_a_free_from_claim(
    demand: Demand, *, is_handled_here: bool, claims: frozenset[Substance]
) -> None:
    reading = DeclaredFacts(contains=PEANUT, free_from=claims)
    found = judged(OATS, demand, reading=reading, is_handled_here=is_handled_here)
    assert found.verdict is Verdict.UNSUITABLE
    assert found.reasons == (Reason(Verdict.UNSUITABLE, "contains peanut"),)


@EITHER
@pytest.mark.parametrize("reading", [NOTHING_READ, NAMES_NOTHING, ALL_CLEAR])
def test_a_generic_recipe_can_show_a_food_unsuitable_whatever_a_label_claims(
    demand: Demand, reading: DeclaredFacts | None
) -> None:
    found = judged(recipe(Substance.PEANUT), demand, reading=reading)
    assert found.verdict is Verdict.UNSUITABLE


@pytest.mark.parametrize("claims", [frozenset[Substance](), PEANUT], ids=["alone", "and a claim"])
def test_a_precaution_is_unsuitable_unless_it_is_accepted(claims: frozenset[Substance]) -> None:
    reading = DeclaredFacts(may_contain=PEANUT, free_from=claims)
    assert judged(OATS, AVOIDS, reading=reading).verdict is Verdict.UNSUITABLE
    accepted = judged(OATS, ACCEPTS, reading=reading)
    assert accepted.verdict is Verdict.SUITABLE
    assert accepted.reasons[0].words == "the label says it may contain peanut"


@EITHER
def test_a_label_read_in_full_without_a_finding_suits(demand: Demand) -> None:
    found = judged(OATS, demand, reading=read())
    assert found.verdict is Verdict.SUITABLE
    assert found.reasons[0].words == "the label was read: no peanut declared"


def test_what_was_opened_or_repacked_here_is_unknown_unless_a_precaution_is_accepted() -> None:
    assert judged(OATS, AVOIDS, reading=read(), is_handled_here=True).verdict is Verdict.UNKNOWN
    assert judged(OATS, ACCEPTS, reading=read(), is_handled_here=True).verdict is Verdict.SUITABLE


def test_what_was_handled_here_is_no_better_than_its_source() -> None:
    unread = judged(OATS, ACCEPTS, reading=NOTHING_READ, is_handled_here=True)
    assert unread.verdict is Verdict.UNKNOWN
    warned = read(may_contain=PEANUT)
    assert judged(OATS, AVOIDS, reading=warned, is_handled_here=True).verdict is Verdict.UNSUITABLE


@EITHER
@pytest.mark.parametrize("reading", [NOTHING_READ, NAMES_NOTHING], ids=["unread", "names nothing"])
def test_silence_never_suits(demand: Demand, reading: DeclaredFacts | None) -> None:
    assert judged(OATS, demand, reading=reading).verdict is Verdict.UNKNOWN


@EITHER
def test_a_label_that_clears_other_substances_says_nothing_of_this_one(demand: Demand) -> None:
    reading = DeclaredFacts(free_from=frozenset(Substance) - PEANUT)
    assert judged(OATS, demand, reading=reading).verdict is Verdict.UNKNOWN


@pytest.mark.parametrize("substance", Substance)
def test_no_food_of_the_catalogue_suits_an_allergy_before_its_label_is_read(
    substance: Substance,
) -> None:
    demand = Demand(allergy=substance, accepts_may_contain=True)
    for food in generic_foods().values():
        for stage in Stage:
            found = judged(food, demand, stage=stage)
            assert found.verdict is not Verdict.SUITABLE, food.id


@pytest.mark.parametrize("substance", Substance)
def test_every_substance_a_recipe_contains_is_unsuitable_for_its_allergy(
    substance: Substance,
) -> None:
    for food in generic_foods().values():
        if substance in food.facts.contains:
            found = judged(food, Demand(allergy=substance), reading=ALL_CLEAR)
            assert found.verdict is Verdict.UNSUITABLE, food.id


def test_what_a_recipe_usually_contains_is_unknown_and_never_worse_or_better() -> None:
    food = recipe(may_contain=(Substance.PEANUT,))
    assert judged(food, AVOIDS).verdict is Verdict.UNKNOWN
    assert judged(food, AVOIDS, reading=read()).verdict is Verdict.SUITABLE


def test_wheat_is_gluten_and_pork_is_meat_and_not_the_other_way() -> None:
    gluten, wheat = Demand(allergy=Substance.GLUTEN), Demand(allergy=Substance.WHEAT)
    assert judged(recipe(Substance.WHEAT), gluten).verdict is Verdict.UNSUITABLE
    assert judged(recipe(Substance.GLUTEN), wheat).verdict is Verdict.UNKNOWN
    assert with_implied(frozenset({Substance.PORK})) == {Substance.PORK, Substance.MEAT}
    warned = DeclaredFacts(
        may_contain=frozenset({Substance.WHEAT}), free_from=frozenset({Substance.GLUTEN})
    )
    assert judged(OATS, gluten, reading=warned).verdict is Verdict.UNSUITABLE
    clear_of_wheat = DeclaredFacts(free_from=frozenset({Substance.WHEAT}))
    assert judged(OATS, gluten, reading=clear_of_wheat).verdict is Verdict.UNKNOWN


def test_coconut_is_no_tree_nut_and_still_suits_nobody_who_avoids_coconut() -> None:
    coconut = recipe(Substance.COCONUT)
    assert judged(coconut, Demand(allergy=Substance.COCONUT)).verdict is Verdict.UNSUITABLE
    nuts = Demand(allergy=Substance.TREE_NUT)
    reading = read(contains=frozenset({Substance.COCONUT}))
    assert judged(coconut, nuts, reading=reading).verdict is Verdict.SUITABLE


def test_a_verdict_is_as_bad_as_its_worst_reason_and_all_are_kept() -> None:
    milk, egg = Demand(allergy=Substance.MILK), Demand(allergy=Substance.EGG)
    reading = DeclaredFacts(contains=PEANUT, free_from=frozenset({Substance.MILK}))
    found = judged(OATS, AVOIDS, milk, egg, reading=reading)
    assert found.verdict is Verdict.UNSUITABLE
    assert {reason.verdict for reason in found.reasons} == set(Verdict)
    assert judged(OATS, milk, egg, reading=reading).verdict is Verdict.UNKNOWN
    assert judged(OATS, milk, reading=reading).verdict is Verdict.SUITABLE
    assert Judgement(()).verdict is Verdict.SUITABLE


def test_the_order_of_demands_changes_neither_the_verdict_nor_the_reasons() -> None:
    demands = [AVOIDS, Demand(diet=Diet.VEGAN), Demand(allergy=Substance.MILK)]
    assert judged(OATS, *demands) == judged(OATS, *reversed(demands))


# Diets.

BY_INGREDIENTS = [diet for diet in RULED_OUT if diet is not Diet.GLUTEN_FREE]


@pytest.mark.parametrize(
    ("diet", "substance", "verdict"),
    [
        (Diet.VEGETARIAN, Substance.MEAT, Verdict.UNSUITABLE),
        (Diet.VEGETARIAN, Substance.FISH, Verdict.UNSUITABLE),
        (Diet.VEGETARIAN, Substance.CRUSTACEAN, Verdict.UNSUITABLE),
        (Diet.VEGETARIAN, Substance.MOLLUSC, Verdict.UNSUITABLE),
        (Diet.VEGETARIAN, Substance.GELATINE, Verdict.UNSUITABLE),
        (Diet.VEGAN, Substance.MILK, Verdict.UNSUITABLE),
        (Diet.VEGAN, Substance.EGG, Verdict.UNSUITABLE),
        (Diet.VEGAN, Substance.HONEY, Verdict.UNSUITABLE),
        (Diet.VEGAN, Substance.PORK, Verdict.UNSUITABLE),
        (Diet.PESCATARIAN, Substance.MEAT, Verdict.UNSUITABLE),
        (Diet.PESCATARIAN, Substance.GELATINE, Verdict.UNSUITABLE),
        (Diet.HALAL, Substance.PORK, Verdict.UNSUITABLE),
        (Diet.HALAL, Substance.ALCOHOL, Verdict.UNSUITABLE),
        (Diet.HALAL, Substance.MEAT, Verdict.UNKNOWN),
        (Diet.HALAL, Substance.GELATINE, Verdict.UNKNOWN),
        (Diet.KOSHER, Substance.PORK, Verdict.UNSUITABLE),
        (Diet.KOSHER, Substance.CRUSTACEAN, Verdict.UNSUITABLE),
        (Diet.KOSHER, Substance.MOLLUSC, Verdict.UNSUITABLE),
        (Diet.KOSHER, Substance.MEAT, Verdict.UNKNOWN),
        (Diet.KOSHER, Substance.GELATINE, Verdict.UNKNOWN),
    ],
)
def test_what_a_diet_excludes_is_unsuitable_and_what_needs_a_mark_is_unknown(
    diet: Diet, substance: Substance, verdict: Verdict
) -> None:
    by_recipe = judged(recipe(substance), Demand(diet=diet), reading=ALL_CLEAR)
    by_label = judged(OATS, Demand(diet=diet), reading=read(contains=frozenset({substance})))
    assert by_recipe.verdict is verdict
    assert by_label.verdict is verdict
    assert substance.replace("_", " ") in by_label.reasons[0].words


@pytest.mark.parametrize(
    ("diet", "substance"),
    [
        (Diet.VEGETARIAN, Substance.MILK),
        (Diet.VEGETARIAN, Substance.EGG),
        (Diet.VEGETARIAN, Substance.HONEY),
        (Diet.PESCATARIAN, Substance.FISH),
        (Diet.PESCATARIAN, Substance.MOLLUSC),
        (Diet.HALAL, Substance.FISH),
        (Diet.KOSHER, Substance.FISH),
        (Diet.VEGAN, Substance.WHEAT),
    ],
)
def test_what_a_diet_allows_suits_once_the_label_was_read(diet: Diet, substance: Substance) -> None:
    found = judged(OATS, Demand(diet=diet), reading=read(contains=frozenset({substance})))
    assert found.verdict is Verdict.SUITABLE


@pytest.mark.parametrize("diet", BY_INGREDIENTS)
def test_a_mixed_food_is_unknown_until_its_label_is_read(diet: Diet) -> None:
    assert judged(OATS, Demand(diet=diet)).verdict is Verdict.UNKNOWN
    assert judged(OATS, Demand(diet=diet), reading=NAMES_NOTHING).verdict is Verdict.UNKNOWN
    assert judged(OATS, Demand(diet=diet), reading=read()).verdict is Verdict.SUITABLE


@pytest.mark.parametrize("diet", BY_INGREDIENTS)
def test_a_plain_plant_suits_by_its_kind_alone(diet: Diet) -> None:
    plant = recipe(made_of=MadeOf.PLAIN_PLANT)
    assert judged(plant, Demand(diet=diet)).verdict is Verdict.SUITABLE


@pytest.mark.parametrize(
    ("diet", "verdict"),
    [
        (Diet.PESCATARIAN, Verdict.SUITABLE),
        (Diet.HALAL, Verdict.SUITABLE),
        (Diet.KOSHER, Verdict.SUITABLE),
        (Diet.VEGETARIAN, Verdict.UNSUITABLE),
        (Diet.VEGAN, Verdict.UNSUITABLE),
    ],
)
def test_a_plain_fish_suits_the_diets_that_allow_fish(diet: Diet, verdict: Verdict) -> None:
    fish = recipe(Substance.FISH, made_of=MadeOf.PLAIN_FISH)
    assert judged(fish, Demand(diet=diet)).verdict is verdict


def test_shellfish_is_not_kosher_though_it_is_plain_fish_by_its_shelf() -> None:
    clams = recipe(Substance.MOLLUSC, made_of=MadeOf.PLAIN_FISH)
    assert judged(clams, Demand(diet=Diet.KOSHER)).verdict is Verdict.UNSUITABLE


@pytest.mark.parametrize("diet", BY_INGREDIENTS)
@pytest.mark.parametrize("made_of", [MadeOf.MIXED, MadeOf.MEAT, MadeOf.DAIRY, MadeOf.EGG])
def test_no_other_kind_suits_a_diet_by_itself(diet: Diet, made_of: MadeOf) -> None:
    assert judged(recipe(made_of=made_of), Demand(diet=diet)).verdict is Verdict.UNKNOWN


def test_what_a_plant_usually_holds_or_may_hold_leaves_a_diet_in_doubt() -> None:
    vegan = Demand(diet=Diet.VEGAN)
    usually = recipe(may_contain=(Substance.MILK,), made_of=MadeOf.PLAIN_PLANT)
    assert judged(usually, vegan).verdict is Verdict.UNKNOWN
    cleared = DeclaredFacts(free_from=frozenset({Substance.MILK}))
    assert judged(usually, vegan, reading=cleared).verdict is Verdict.SUITABLE
    warned = DeclaredFacts(may_contain=frozenset({Substance.MILK}))
    plant = recipe(made_of=MadeOf.PLAIN_PLANT)
    assert judged(plant, vegan, reading=warned).verdict is Verdict.UNKNOWN


@pytest.mark.parametrize("made_of", MadeOf)
def test_gluten_free_needs_a_label_whatever_the_food_is_made_of(made_of: MadeOf) -> None:
    """Flours and oats are plain plants and seldom free of stray wheat."""
    gluten_free = Demand(diet=Diet.GLUTEN_FREE)
    food = recipe(made_of=made_of)
    assert judged(food, gluten_free).verdict is Verdict.UNKNOWN
    assert judged(food, gluten_free, reading=read()).verdict is Verdict.SUITABLE
    handled = judged(food, gluten_free, reading=read(), is_handled_here=True)
    assert handled.verdict is Verdict.UNKNOWN


def test_gluten_free_excludes_wheat_gluten_and_a_precaution() -> None:
    gluten_free = Demand(diet=Diet.GLUTEN_FREE)
    for substance in (Substance.WHEAT, Substance.GLUTEN):
        named = frozenset({substance})
        for reading in (read(contains=named), read(may_contain=named)):
            assert judged(OATS, gluten_free, reading=reading).verdict is Verdict.UNSUITABLE
        assert judged(recipe(substance), gluten_free).verdict is Verdict.UNSUITABLE


@pytest.mark.parametrize(
    ("texture", "verdict"),
    [
        (Texture.SOFT, Verdict.SUITABLE),
        (Texture.FIRM, Verdict.UNSUITABLE),
        (None, Verdict.UNKNOWN),
    ],
)
@pytest.mark.parametrize("reading", [NOTHING_READ, ALL_CLEAR], ids=["unread", "read"])
def test_soft_food_goes_by_texture_and_not_by_the_label(
    texture: Texture | None, verdict: Verdict, reading: DeclaredFacts | None
) -> None:
    food = replace(OATS, texture=texture)
    assert judged(food, Demand(diet=Diet.SOFT), reading=reading).verdict is verdict


@pytest.mark.parametrize("texture", [*Texture, None])
def test_nothing_is_ever_marked_suitable_for_a_swallowing_diet(texture: Texture | None) -> None:
    found = judged(
        replace(OATS, texture=texture, made_of=MadeOf.PLAIN_PLANT),
        Demand(diet=Diet.PUREED),
        reading=ALL_CLEAR,
    )
    assert found.verdict is Verdict.UNKNOWN
    assert "care team" in found.reasons[0].words


@pytest.mark.parametrize("diet", sorted(ADVISING))
def test_a_medical_diet_advises_and_never_says_that_a_food_suits(diet: Diet) -> None:
    for food in (recipe(*Substance), OATS):
        assert judged(food, Demand(diet=diet), reading=ALL_CLEAR).reasons == ()


@pytest.mark.parametrize("diet", sorted(ADVISING))
def test_a_medical_diet_changes_nothing_about_the_other_needs(diet: Diet) -> None:
    for reading in (NOTHING_READ, read(), read(contains=PEANUT)):
        with_diet = judged(OATS, AVOIDS, Demand(diet=diet), reading=reading)
        assert with_diet == judged(OATS, AVOIDS, reading=reading)


# Stages.


@pytest.mark.parametrize("group", FoodGroup)
def test_each_stage_eats_its_own_shelves_and_no_other(group: FoodGroup) -> None:
    food = replace(OATS, group=group)
    formula, baby_food = group is FoodGroup.INFANT_FORMULA, group is FoodGroup.BABY_FOOD
    expected = {
        Stage.FORMULA: formula,
        Stage.BABY_FOOD: formula or baby_food,
        Stage.FAMILY: not (formula or baby_food),
    }
    for stage, is_eaten in expected.items():
        verdict = Verdict.SUITABLE if is_eaten else Verdict.UNSUITABLE
        assert judged(food, stage=stage).verdict is verdict


@pytest.mark.parametrize(
    ("stage", "verdict"),
    [(Stage.BABY_FOOD, Verdict.UNSUITABLE), (Stage.FORMULA, Verdict.UNSUITABLE)],
)
def test_nothing_with_honey_is_for_anyone_under_twelve_months(
    stage: Stage, verdict: Verdict
) -> None:
    food = replace(recipe(Substance.HONEY), group=FoodGroup.INFANT_FORMULA)
    assert judged(food, stage=stage).verdict is verdict
    sweetened = read(contains=frozenset({Substance.HONEY}))
    plain = replace(OATS, group=FoodGroup.INFANT_FORMULA)
    found = judged(plain, stage=stage, reading=sweetened)
    assert found.verdict is verdict
    assert "honey" in found.reasons[0].words


def test_honey_suits_whoever_eats_the_familys_food() -> None:
    assert judged(recipe(Substance.HONEY)).verdict is Verdict.SUITABLE


def test_the_type_of_formula_is_a_need_like_any_other() -> None:
    milk = replace(recipe(Substance.MILK), group=FoodGroup.INFANT_FORMULA)
    soya = replace(recipe(Substance.SOY), group=FoodGroup.INFANT_FORMULA)
    no_milk = Demand(allergy=Substance.MILK)
    reading = read(contains=frozenset({Substance.SOY}))
    assert judged(milk, no_milk, stage=Stage.FORMULA).verdict is Verdict.UNSUITABLE
    found = judged(soya, no_milk, stage=Stage.FORMULA, reading=reading)
    assert found.verdict is Verdict.SUITABLE


# Reach: whom a restriction binds.


def member(name: str, *restrictions: Restriction, age: int = 35) -> Member:
    band = AgeBand(from_years=age, to_years=age)
    return Member(id=MemberId(name), age_band=band, restrictions=restrictions)


def demands_on(one: Member, *others: Member) -> frozenset[Demand]:
    home = Household(id=HouseholdId("h01"), members=(one, *others))
    return eater_of(one, household=home, as_of=AS_OF).demands


@pytest.mark.parametrize(
    ("reach", "binds"), [(None, True), (Reach.HOME, True), (Reach.PERSON, False)]
)
def test_an_allergy_binds_the_home_unless_it_is_one_persons(
    reach: Reach | None, *, binds: bool
) -> None:
    has_it = member("has it", Restriction(allergy=Substance.PEANUT, reach=reach))
    assert demands_on(has_it, member("other")) == {AVOIDS}
    assert demands_on(member("other"), has_it) == ({AVOIDS} if binds else set())


@pytest.mark.parametrize(
    ("reach", "binds"), [(None, False), (Reach.HOME, True), (Reach.PERSON, False)]
)
def test_a_diet_binds_one_person_unless_it_is_the_homes(
    reach: Reach | None, *, binds: bool
) -> None:
    follows = member("follows", Restriction(diet=Diet.VEGAN, reach=reach))
    vegan = Demand(diet=Diet.VEGAN)
    assert demands_on(follows, member("other")) == {vegan}
    assert demands_on(member("other"), follows) == ({vegan} if binds else set())


def test_no_restriction_reaches_another_home() -> None:
    has_it = member("has it", Restriction(allergy=Substance.PEANUT))
    assert demands_on(has_it) == {AVOIDS}
    assert demands_on(member("next door")) == frozenset()


def test_the_stricter_holds_where_two_in_a_home_have_the_same_allergy() -> None:
    strict = member("strict", Restriction(allergy=Substance.PEANUT))
    lenient = member("lenient", Restriction(allergy=Substance.PEANUT, accepts_may_contain=True))
    for one, other in ((strict, lenient), (lenient, strict)):
        assert demands_on(one, other) == {AVOIDS}
    assert demands_on(lenient, member("other")) == {ACCEPTS}


def test_a_stricter_allergy_of_one_person_does_not_bind_the_others() -> None:
    strict = member("strict", Restriction(allergy=Substance.PEANUT, reach=Reach.PERSON))
    lenient = member("lenient", Restriction(allergy=Substance.PEANUT, accepts_may_contain=True))
    assert demands_on(strict, lenient) == {AVOIDS}
    assert demands_on(lenient, strict) == {ACCEPTS}


def test_an_eaters_stage_is_that_of_the_date() -> None:
    born_on = AS_OF - timedelta(days=170)
    baby = Member(id=MemberId("baby"), born_on=born_on)
    home = Household(id=HouseholdId("h01"), members=(baby,))
    stages = [
        eater_of(baby, household=home, as_of=day).stage
        for day in (AS_OF, AS_OF + timedelta(days=60), AS_OF + timedelta(days=300))
    ]
    assert stages == [Stage.FORMULA, Stage.BABY_FOOD, Stage.FAMILY]


@pytest.mark.parametrize("diet", Diet)
def test_a_home_is_advised_where_a_member_follows_a_medical_diet(diet: Diet) -> None:
    follows = member("follows", Restriction(diet=diet))
    home = Household(id=HouseholdId("h01"), members=(member("other"), follows))
    assert is_advised(home) is (diet in ADVISING)


@pytest.mark.parametrize(
    ("allergy", "diet"), [(None, None), (Substance.MILK, Diet.VEGAN)], ids=["neither", "both"]
)
def test_a_restriction_is_an_allergy_or_a_diet(
    allergy: Substance | None, diet: Diet | None
) -> None:
    with pytest.raises(ValueError, match="one of the two"):
        Restriction(allergy=allergy, diet=diet)


def test_only_an_allergy_can_accept_a_precaution() -> None:
    with pytest.raises(ValueError, match="only an allergy"):
        Restriction(diet=Diet.VEGAN, accepts_may_contain=True)


def test_a_demand_is_named_in_words() -> None:
    assert demand_words(Demand(allergy=Substance.TREE_NUT)) == "tree nut allergy"
    assert demand_words(Demand(diet=Diet.GLUTEN_FREE)) == "gluten-free"
    assert demand_words(Demand(diet=Diet.VEGAN)) == "vegan"
    words = {demand_words(Demand(diet=diet)) for diet in Diet}
    assert len(words) == len(Diet)
    assert not any("_" in word or not word for word in words)
