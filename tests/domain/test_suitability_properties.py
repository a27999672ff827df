"""What must hold of any label and any demand, whatever words stand on the label.

Worse is meant by the order suitable, unknown, unsuitable.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from daysworth.domain.ages import Stage
from daysworth.domain.demands import Demand, Eater
from daysworth.domain.eaters import eater_of
from daysworth.domain.foods import Food, FoodGroup, MadeOf, Texture
from daysworth.domain.identifiers import HouseholdId, MemberId
from daysworth.domain.labels import Claim, LabelReading, Regime
from daysworth.domain.offers import Offer
from daysworth.domain.people import Household, Member
from daysworth.domain.restrictions import (
    DeclaredFacts,
    Diet,
    DietLevel,
    FormulaKind,
    Reach,
    Restriction,
    Substance,
)
from daysworth.domain.suitability import judge, reason_for
from daysworth.domain.verdicts import Reason, Verdict
from tests.domain.offers import MEAL, reason
from tests.planners.how_many import times

many = settings(max_examples=times(75), deadline=None, derandomize=True, database=None)

BADNESS = {Verdict.SUITABLE: 0, Verdict.UNKNOWN: 1, Verdict.UNSUITABLE: 2}
SUIT_BY_KIND = {MadeOf.WATER, MadeOf.PLAIN_PLANT, MadeOf.PLAIN_FISH}
"""Foods that suit some needs without a label, so that a label can only raise a doubt."""
NUTS = ("almonds", "cashews")
INGREDIENTS = (
    *("rice", "water", "salt", "sugar", "kiwi", "corn starch", "red dye", "sunflower oil"),
    *("milk", "whey", "egg white", "tuna", "prawns", "wheat flour", "barley malt", "oats"),
    *("peanuts", "soybean oil", "soy lecithin", "highly refined soybean oil", "sesame seeds"),
    *("celery", "mustard", "squid", "sulphur dioxide", "coconut", "honey", "gelatin", "beef"),
    *("lard", "red wine", "carmine", "rennet", "E471", "natural flavoring", "spices"),
    *("modified food starch", "yeast extract", "lecithin", "lactitol", "isinglass", "nuts"),
    *("vegetable oil", "cocoa butter", "coconut milk", "penuts", *NUTS),
)
STATED = ("milk", "soy", "wheat", "peanuts", "tree nuts", "egg", "fish", "sesame")
OWN_WORDS = ("kiwi", "coconut", "red dye", "corn", "almond", "milk", "groundnut", "nuts")

texts = st.builds(
    lambda listed, contains, warned, claims: " ".join(
        [
            f"Ingredients: {', '.join(listed)}.",
            *([f"Contains: {', '.join(contains)}."] if contains else []),
            *([f"May contain {', '.join(warned)}."] if warned else []),
            *claims,
        ]
    ),
    st.lists(st.sampled_from(INGREDIENTS), min_size=1, max_size=6, unique=True),
    st.lists(st.sampled_from(STATED), max_size=2, unique=True),
    st.lists(st.sampled_from(STATED), max_size=2, unique=True),
    st.lists(st.sampled_from(("Gluten-free.", "Vegan.", "Halal certified.")), max_size=2),
)
substances = st.sampled_from(sorted(Substance))
packed_days = st.sampled_from((None, date(2016, 1, 1), date(2023, 6, 1), date(2026, 1, 1)))
regimes = st.sampled_from((None, *Regime))
claims = st.frozensets(st.sampled_from(sorted(Claim)), max_size=2)
copied = st.builds(
    LabelReading,
    text=texts,
    is_whole=st.booleans(),
    regime=regimes,
    packed_on=packed_days,
    claims=claims,
)


@st.composite
def ticked(draw: st.DrawFn) -> LabelReading:
    """Tick some of what a label may say."""
    contains = draw(st.frozensets(substances, max_size=3))
    may_contain = draw(st.frozensets(substances, max_size=3)) - contains
    clear = frozenset(Substance) - contains - may_contain
    return LabelReading(
        contains=contains,
        may_contain=may_contain,
        not_declared=draw(st.sampled_from((clear, frozenset[Substance]()))),
        is_whole=draw(st.booleans()),
        regime=draw(regimes),
        packed_on=draw(packed_days),
        claims=draw(claims),
    )


readings = st.one_of(copied, ticked())
demands = st.one_of(
    st.builds(Demand, allergy=substances, accepts_may_contain=st.booleans()),
    st.builds(Demand, words=st.sampled_from(OWN_WORDS), accepts_may_contain=st.booleans()),
    st.builds(Demand, diet=st.sampled_from(sorted(Diet)), is_certified_only=st.booleans()),
    st.just(Demand(diet=Diet.LOW_SODIUM, is_excluding=True)),
)
foods = st.builds(
    lambda group, made_of, texture, contains, usually: replace(
        MEAL,
        group=group,
        made_of=made_of,
        texture=texture,
        facts=DeclaredFacts(contains=contains, may_contain=usually - contains),
    ),
    st.sampled_from((FoodGroup.PREPARED_MEALS, FoodGroup.MEAT_AND_POULTRY, FoodGroup.FRUIT)),
    st.sampled_from(sorted(MadeOf)),
    st.sampled_from((*Texture, None)),
    st.frozensets(substances, max_size=1),
    st.frozensets(substances, max_size=2),
)


def badness(demand: Demand, *given_readings: LabelReading, food: Food = MEAL) -> int:
    return BADNESS[reason(demand, *given_readings, food=food).verdict]


def without_claims(reading: LabelReading) -> LabelReading:
    """Take the claims off, ticked and printed."""
    text = reading.text
    for claim in ("Gluten-free.", "Vegan.", "Halal certified."):
        text = text.replace(claim, "")
    return replace(reading, text=text, claims=frozenset())


# More on the label.


@many
@given(copied, st.sampled_from(INGREDIENTS), demands, foods)
def test_one_ingredient_more_never_makes_a_food_better(
    reading: LabelReading, more: str, demand: Demand, food: Food
) -> None:
    """Save that a nut named beside "tree nuts" tells that no coconut was meant by those words."""
    assume(more not in NUTS or not (demand.allergy is Substance.COCONUT or demand.words))
    longer = replace(reading, text=reading.text.replace("Ingredients: ", f"Ingredients: {more}, "))
    assert badness(demand, longer, food=food) >= badness(demand, reading, food=food)


@many
@given(readings, readings, demands, foods)
def test_one_reading_more_never_clears_what_another_found(
    one: LabelReading, other: LabelReading, demand: Demand, food: Food
) -> None:
    alone = reason(demand, one, food=food)
    together = reason(demand, one, other, food=food)
    if alone.verdict is Verdict.UNSUITABLE:
        assert together.verdict is Verdict.UNSUITABLE or demand.diet is not None
    if demand.allergy is not None and alone.verdict is Verdict.UNSUITABLE:
        assert together.substances == alone.substances


@many
@given(readings, readings, demands, foods)
def test_the_order_of_readings_changes_no_verdict(
    one: LabelReading, other: LabelReading, demand: Demand, food: Food
) -> None:
    assert badness(demand, one, other, food=food) == badness(demand, other, one, food=food)


@many
@given(readings, demands, foods)
def test_the_same_reading_twice_changes_nothing(
    reading: LabelReading, demand: Demand, food: Food
) -> None:
    once = reason(demand, reading, food=food)
    twice = reason(demand, reading, reading, food=food)
    assert (once.verdict, once.words) == (twice.verdict, twice.words)


# Less evidence.


@many
@given(readings, demands, foods)
def test_with_less_evidence_nothing_that_was_unknown_becomes_suitable(
    reading: LabelReading, demand: Demand, food: Food
) -> None:
    before = badness(demand, reading, food=food)
    weaker = (
        replace(reading, is_whole=False),
        replace(reading, regime=Regime.OTHER),
        replace(reading, regime=None),
        without_claims(reading),
        replace(reading, packed_on=None),
        replace(reading, not_declared=frozenset()),
        replace(reading, language="de"),
    )
    for less in weaker:
        if before == BADNESS[Verdict.UNKNOWN]:
            assert badness(demand, less, food=food) > BADNESS[Verdict.SUITABLE], less
    if before and food.made_of not in SUIT_BY_KIND:
        assert badness(demand, food=food) > 0


@many
@given(readings, demands, foods)
def test_less_evidence_of_absence_never_makes_a_food_better(
    reading: LabelReading, demand: Demand, food: Food
) -> None:
    before = badness(demand, reading, food=food)
    for less in (
        replace(reading, is_whole=False),
        replace(reading, packed_on=None),
        replace(reading, not_declared=frozenset()),
        without_claims(reading),
    ):
        assert badness(demand, less, food=food) >= before, less


@many
@given(st.one_of(copied, ticked()), demands)
def test_nothing_is_cleared_by_a_label_that_follows_no_known_law(
    reading: LabelReading, demand: Demand
) -> None:
    assume(demand.allergy is not None or demand.words is not None)
    bare = without_claims(replace(reading, regime=Regime.OTHER))
    found = reason(demand, bare)
    assert found.verdict is not Verdict.SUITABLE or found.is_warning
    assert found.verdict is not Verdict.SUITABLE or demand.accepts_may_contain


# What makes no difference.


@many
@given(copied, demands, st.randoms(use_true_random=False))
def test_case_white_space_and_the_order_of_ingredients_change_no_verdict(
    reading: LabelReading, demand: Demand, rng: object
) -> None:
    head, _, tail = reading.text.removeprefix("Ingredients: ").partition(".")
    listed = head.split(", ")
    before = badness(demand, reading)
    for text in (
        reading.text.upper(),
        reading.text.replace(" ", "  ").replace("Ingredients:", "\n Ingredients:\t"),
        reading.text.replace(", ", " ,\n"),
        f"Ingredients: {', '.join(reversed(listed))}.{tail}",
        f"Ingredients: {', '.join(sorted(listed))}.{tail}",
    ):
        assert badness(demand, replace(reading, text=text)) == before, text


@many
@given(st.lists(readings, max_size=3), demands, foods, st.booleans())
def test_accepting_may_contain_never_makes_a_food_worse(
    given_readings: list[LabelReading], demand: Demand, food: Food, is_handled_here: bool
) -> None:
    assume(demand.allergy is not None or demand.words is not None)
    offer = Offer(food, tuple(given_readings), is_handled_here)
    avoids, accepts = (
        reason_for(offer, replace(demand, accepts_may_contain=one)) for one in (False, True)
    )
    assert BADNESS[accepts.verdict] <= BADNESS[avoids.verdict]
    assert accepts.verdict in (avoids.verdict, Verdict.UNKNOWN) or accepts.is_warning


@many
@given(st.lists(readings, max_size=2), demands, foods)
def test_opening_or_repacking_never_makes_a_food_better(
    given_readings: list[LabelReading], demand: Demand, food: Food
) -> None:
    closed = reason(demand, *given_readings, food=food)
    handled = reason(demand, *given_readings, food=food, is_handled_here=True)
    assert BADNESS[handled.verdict] >= BADNESS[closed.verdict]
    if demand.allergy is not None and not demand.accepts_may_contain:
        assert handled.verdict is not Verdict.SUITABLE


@many
@given(readings, foods)
def test_a_medical_diet_is_never_told_that_a_food_suits(reading: LabelReading, food: Food) -> None:
    for diet in (Diet.DIABETIC, Diet.RENAL, Diet.PUREED):
        eater = Eater(Stage.TABLE_FOOD, frozenset({Demand(diet=diet)}))
        assert judge(Offer(food, (reading,)), eater).shown != "suitable"


# Merging households.

restrictions = st.one_of(
    st.builds(Restriction, allergy=substances, accepts_may_contain=st.booleans()),
    st.builds(Restriction, allergy=substances, reach=st.just(Reach.PERSON)),
    st.builds(Restriction, words=st.sampled_from(OWN_WORDS), accepts_may_contain=st.booleans()),
    st.builds(
        Restriction,
        diet=st.sampled_from((Diet.HALAL, Diet.KOSHER)),
        level=st.sampled_from((None, *DietLevel)),
        reach=st.sampled_from((None, Reach.HOME)),
    ),
    st.builds(
        Restriction, diet=st.sampled_from(sorted(Diet)), reach=st.sampled_from((None, Reach.HOME))
    ),
    st.builds(Restriction, formula=st.sampled_from(sorted(FormulaKind))),
)


def home(name: str, given_restrictions: Sequence[Restriction]) -> Household:
    members = tuple(
        Member(id=MemberId(f"{name}{n}"), born_on=date(1990, 1, 1), restrictions=(one,))
        for n, one in enumerate(given_restrictions)
    )
    return Household(id=HouseholdId(name), members=members)


homes = st.lists(restrictions, min_size=1, max_size=3)


def reasons_against(household: Household, member: Member, *, offer: Offer) -> list[Reason]:
    eater = eater_of(member, household=household, as_of=date(2026, 1, 1))
    return [one for one in judge(offer, eater).reasons if one.verdict is not Verdict.SUITABLE]


@many
@given(homes, homes, st.lists(readings, max_size=2), foods, st.booleans())
def test_merging_two_households_loses_no_warning(
    first: list[Restriction],
    second: list[Restriction],
    given_readings: list[LabelReading],
    food: Food,
    is_handled_here: bool,
) -> None:
    offer = Offer(food, tuple(given_readings), is_handled_here)
    apart = [home("a", first), home("b", second)]
    merged = Household(
        id=HouseholdId("m"), members=tuple(one for each in apart for one in each.members)
    )
    for each in apart:
        for member in each.members:
            after = reasons_against(merged, member, offer=offer)
            for reason_before in reasons_against(each, member, offer=offer):
                assert any(_still_says(one, reason_before) for one in after)
    # What binds a home is found for everybody in it.
    bound = [one for one in (*first, *second) if one.binds_home]
    for restriction in bound:
        alone = home("x", [restriction])
        for told in reasons_against(alone, alone.members[0], offer=offer):
            for member in merged.members:
                after = reasons_against(merged, member, offer=offer)
                assert any(_still_says(one, told) for one in after)


def _still_says(after: Reason, before: Reason) -> bool:
    """Tell whether a reason is about the same thing and at least as bad as another."""
    if after.demand is None or before.demand is None:
        return after == before
    same = ("allergy", "words", "diet", "formula")
    return (
        all(getattr(after.demand, one) == getattr(before.demand, one) for one in same)
        and BADNESS[after.verdict] >= BADNESS[before.verdict]
    )


# Every verdict occurs, so that the claims above are about something.


def test_the_labels_that_are_made_lead_to_every_verdict() -> None:
    found: dict[Verdict, int] = dict.fromkeys(Verdict, 0)

    @settings(max_examples=300, deadline=None, derandomize=True, database=None)
    @given(readings, demands)
    def count(reading: LabelReading, demand: Demand) -> None:
        found[reason(demand, reading).verdict] += 1

    count()
    assert min(found.values()) > 20, found
