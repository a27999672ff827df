"""A household is warned of all it must not have, worst first, and told what to give instead."""

import random
from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.domain.errors import NotThere
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import HouseholdId, LotId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import Claim
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.people import Household, Member
from daysworth.domain.restrictions import Diet, FormulaKind, Reach, Restriction, Substance
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.verdicts import Verdict
from daysworth.planners.household_fit import WORST_FIRST
from daysworth.planners.warnings import (
    has_infant,
    plan_warnings,
    with_needs,
)
from tests.planners import small_stores
from tests.planners.one_home import also, home, lot, store, woman
from tests.planners.small_stores import AS_OF, food
from tests.planners.warned_homes import (
    BABY,
    BEANS,
    CLEAR,
    DOUBT,
    FISH,
    PEANUT,
    POWDER,
    PROTEIN,
    READY,
    SOY,
    SPREAD,
    STEW,
    SYRUP,
    TRACES,
    VEGETARIAN,
    avoiding,
    infant,
    of,
    peanut_home,
    read,
    warned,
)

few = settings(max_examples=60, deadline=None, derandomize=True, database=None)

# --- what is listed, and in which order ---


def test_the_worst_comes_first_and_what_is_contained_before_what_may_be() -> None:
    snapshot = peanut_home(
        lot(STEW, 1),
        read(FISH, label=DOUBT),
        read(BEANS, label=TRACES),
        lot(SPREAD, 1),
        read(SYRUP),
    )
    listed = [(one.verdict, one.offer.food.id) for one in warned(snapshot).warnings]
    assert listed == [
        (Verdict.UNSUITABLE, "spread"),
        (Verdict.UNSUITABLE, "beans"),
        (Verdict.UNKNOWN, "fish"),
        (Verdict.UNKNOWN, "stew"),
    ]
    assert [(one.id, units) for one, units in warned(snapshot).suitable] == [("syrup", 1)]


def listed(snapshot: Snapshot) -> list[str]:
    return [one.offer.food.id for one in warned(snapshot).warnings]


def test_an_allergy_comes_before_a_diet_though_the_diet_binds_the_home() -> None:
    with_meat = replace(CLEAR, text="Ingredients: beef.")
    lots = [read(BEANS, label=with_meat), read(STEW, label=TRACES)]
    needs = (replace(PEANUT, reach=Reach.PERSON), replace(VEGETARIAN, reach=Reach.HOME))
    assert listed(store([home(avoiding(*needs))], lots)) == ["stew", "beans"]


def test_what_is_not_known_comes_before_what_may_be_given_with_a_warning() -> None:
    needs = (replace(PEANUT, accepts_may_contain=True), Restriction(diet=Diet.HALAL))
    lots = [read(BEANS, label=TRACES), lot(STEW, 1)]
    sure = replace(lots[0].readings[0], claims=frozenset({Claim.HALAL_CERTIFIED}))
    lots[0] = replace(lots[0], readings=(sure,))
    found = warned(store([home(avoiding(*needs))], lots)).warnings
    assert [(one.verdict, one.offer.food.id) for one in found] == [
        (Verdict.UNKNOWN, "stew"),
        (Verdict.SUITABLE, "beans"),
    ]


def test_what_binds_the_home_comes_before_what_is_one_members() -> None:
    milk = Restriction(allergy=Substance.MILK, reach=Reach.PERSON)
    people = (avoiding(milk), avoiding(PEANUT, id_="b"))
    with_milk = replace(CLEAR, text="Ingredients: milk.")
    lots = [read(BEANS, label=with_milk), lot(SPREAD, 1)]
    assert listed(store([home(*people)], lots)) == ["spread", "beans"]


def test_a_label_that_leaves_it_open_comes_before_one_that_nobody_read() -> None:
    assert listed(peanut_home(lot(BEANS, 1), read(STEW, label=DOUBT))) == ["stew", "beans"]


def test_food_that_is_for_nobody_in_the_home_is_not_said_to_suit_it() -> None:
    found = warned(peanut_home(read(READY), read(STEW)))
    assert [food.id for food, _ in found.suitable] == ["stew"]


def test_what_one_member_must_not_have_is_told_for_that_member_alone() -> None:
    alone = replace(PEANUT, reach=Reach.PERSON)
    people = (woman("a"), avoiding(alone, id_="b"))
    (finding,) = of(store([home(*people)], [lot(SPREAD, 1)]), SPREAD).findings
    assert (finding.members, finding.binds_home) == (("b",), False)


def test_what_binds_the_home_is_told_for_everybody_in_it() -> None:
    people = (woman("a"), avoiding(PEANUT, id_="b"))
    (finding,) = of(store([home(*people)], [lot(SPREAD, 1)]), SPREAD).findings
    assert (finding.members, finding.binds_home) == (("a", "b"), True)


def test_what_binds_a_home_is_warned_of_before_whoever_brings_it_is_born() -> None:
    coming = avoiding(PEANUT, born_on=AS_OF - timedelta(days=9))
    snapshot = store([home(coming)], [lot(SPREAD, 1)])
    before = AS_OF - timedelta(days=20)
    (found,) = plan_warnings(snapshot, before, household=HouseholdId("h")).warnings
    (finding,) = found.findings
    assert (finding.members, finding.binds_home) == ((), True)


def test_that_food_is_for_another_age_or_for_a_care_team_to_judge_is_no_warning() -> None:
    snapshot = store([home(avoiding(Restriction(diet=Diet.DIABETIC)))], [lot(READY, 1)])
    assert warned(snapshot).warnings == ()
    assert warned(store([home(infant(3))], [lot(STEW, 1)])).warnings == ()


def test_honey_is_warned_of_where_there_is_an_infant() -> None:
    sweet = replace(CLEAR, text="Ingredients: honey.")
    snapshot = store([home(woman(), infant(8))], [read(SYRUP, label=sweet)])
    found = of(snapshot, SYRUP)
    assert (found.verdict, found.findings[0].members) == (Verdict.UNSUITABLE, ("b",))


def test_damaged_and_empty_lots_and_water_are_left_out() -> None:
    snapshot = peanut_home(
        lot(SPREAD, 1, condition=Condition.DAMAGED), lot(SPREAD, 0), *store().lots
    )
    assert warned(snapshot).warnings == ()


@pytest.mark.parametrize(
    "held",
    [
        {"condition": Condition.QUARANTINED},
        {"printed": "2020"},
        {"label_kind": LabelKind.UNLABELLED, "printed": None},
        {"units_promised": 1},
    ],
    ids="-".join,
)
def test_what_can_not_be_given_today_is_warned_of_and_never_given_instead(
    held: dict[str, object],
) -> None:
    assert of(peanut_home(replace(lot(SPREAD, 1), **held)), SPREAD).units == 1  # type: ignore[arg-type]
    aside = replace(read(STEW), **held)  # type: ignore[arg-type]
    snapshot = peanut_home(lot(SPREAD, 1), aside)
    assert of(snapshot, SPREAD).instead is None
    assert warned(snapshot).suitable == ()


def test_what_another_household_keeps_is_neither_warned_of_nor_given_instead() -> None:
    kept = {"owner": HouseholdId("k"), "is_shared": False}
    lots = [
        *(replace(one, **kept) for one in (lot(SPREAD, 1), read(STEW))),  # type: ignore[arg-type]
        lot(SPREAD, 2),
    ]
    snapshot = store([home(avoiding(PEANUT)), home(woman("k"), id_="k")], lots)
    found = of(snapshot, SPREAD)
    assert (found.units, found.instead) == (2, None)
    own = [replace(one, owner=HouseholdId("h")) for one in snapshot.lots if not one.is_shared]
    mine = of(replace(snapshot, lots=(*own, snapshot.lots[2])), SPREAD)
    assert mine.units == 3
    assert mine.instead is not None


def test_a_household_that_is_not_there_is_refused() -> None:
    with pytest.raises(NotThere):
        warned(store(), "nobody")


def test_homes_that_must_avoid_something_are_listed_infants_homes_too() -> None:
    homes = [
        home(woman("c"), id_="c"),
        home(avoiding(PEANUT, id_="d"), id_="b"),
        home(woman("a"), infant(3), id_="a"),
    ]
    assert with_needs(store(homes), AS_OF) == ["a", "b"]
    later = AS_OF + timedelta(days=400)
    assert not has_infant(homes[2], later)
    assert with_needs(store(homes), later) == ["b"]


# --- instead ---


def instead_of(chosen: Food, *lots: Lot, people: Iterable[Member] = ()) -> str | None:
    """Name the lot that is given instead, by its position among the lots."""
    members = tuple(people) or (avoiding(PEANUT),)
    found = of(store([home(*members)], [*lots]), chosen).instead
    return None if found is None else found.lot.id


def test_another_label_of_the_same_food_comes_first_then_what_is_nearest() -> None:
    same, near, far = read(SPREAD, label=CLEAR), read(STEW), read(SYRUP)
    unread = replace(SPREAD, facts=STEW.facts, id="plain", name="plain")  # type: ignore[arg-type]
    also(unread)
    plain = read(unread)
    assert instead_of(unread, far, near, plain, lot(unread, 1)) == "2"
    assert instead_of(unread, far, near, lot(unread, 1)) == "1"
    assert instead_of(SPREAD, far, read(BEANS), lot(SPREAD, 1)) == "1"
    assert instead_of(SPREAD, far, lot(SPREAD, 1)) is None
    assert instead_of(SPREAD, same) is None


def test_the_earliest_date_goes_first_and_what_is_disliked_last() -> None:
    late, soon = read(STEW, printed="2028-05"), read(STEW, printed="2027-08")
    assert instead_of(SPREAD, late, soon, lot(SPREAD, 1)) == "1"
    picky = (avoiding(PEANUT, dislikes=("stews",)),)
    other = read(replace(STEW, id="beans"), printed="2029")  # type: ignore[arg-type]
    assert instead_of(SPREAD, soon, lot(SPREAD, 1), people=picky) == "0"
    potted = also(food("pot", kcal=100, protein_g=8, roles=PROTEIN))
    assert instead_of(SPREAD, soon, read(potted, printed="2029"), lot(SPREAD, 1)) == "0"
    assert instead_of(SPREAD, soon, read(potted), lot(SPREAD, 1), people=picky) == "1"
    assert other.food == "beans"


def test_what_is_given_instead_suits_everybody_in_the_home() -> None:
    alone = Restriction(allergy=Substance.FISH, reach=Reach.PERSON)
    people = (avoiding(PEANUT), avoiding(alone, id_="b"))
    with_fish = replace(CLEAR, text="Ingredients: stew with fish.")
    assert instead_of(SPREAD, read(STEW, label=with_fish), lot(SPREAD, 1), people=people) is None


def test_ready_to_feed_formula_comes_before_powder_whatever_was_warned_of() -> None:
    fed = Restriction(formula=FormulaKind.MILK)
    people = (woman(), infant(3, restrictions=(fed,)))
    for order in ((read(POWDER), read(READY)), (read(READY), read(POWDER))):
        chosen = instead_of(SOY, *order, lot(SOY, 1), people=people)
        assert order[int(chosen or "")].food == "ready"
    milk = (avoiding(PEANUT), infant(3, restrictions=(fed,)))
    assert instead_of(POWDER, read(POWDER), read(READY), lot(POWDER, 1), people=milk) == "1"


def test_food_for_infants_and_food_for_others_never_stand_in_for_one_another() -> None:
    people = (avoiding(PEANUT), infant(8))
    assert instead_of(SPREAD, read(BABY), lot(SPREAD, 1), people=people) is None
    assert instead_of(BABY, read(STEW), lot(BABY, 1), people=people) is None


@few
@given(st.integers(0, 10**6))
def test_in_any_store_what_is_given_instead_can_be_given_and_is_not_warned_of(seed: int) -> None:
    snapshot, _ = small_stores.small_store(seed)
    for one in snapshot.households:
        found = plan_warnings(snapshot, AS_OF, household=one.id)
        at_fault = {item.lot.id for warning in found.warnings for item in warning.lots}
        for item in (warning.instead for warning in found.warnings):
            if item is not None:
                assert item.lot.id not in at_fault
                assert item.lot.is_shared or item.lot.owner == one.id
                assert item.lot.condition is Condition.SOUND
                assert item.last_good_day is not None
                assert item.last_good_day >= AS_OF
                assert item.lot.units_to_eat > 0


# --- order, and merging homes ---


@few
@given(st.integers(0, 10**6))
def test_no_order_of_lots_readings_or_households_changes_the_list(seed: int) -> None:
    snapshot, _ = small_stores.small_store(seed)
    rng = random.Random(seed)
    lots = [replace(one, readings=one.readings[::-1]) for one in snapshot.lots]
    mixed = replace(
        snapshot,
        lots=tuple(rng.sample(lots, len(lots))),
        households=tuple(rng.sample(snapshot.households, len(snapshot.households))),
    )
    for one in snapshot.households:
        before, after = (
            [
                (
                    warning.mark,
                    warning.verdict,
                    sorted(item.lot.id for item in warning.lots),
                    None if warning.instead is None else warning.instead.lot.id,
                )
                for warning in plan_warnings(asked, AS_OF, household=one.id).warnings
            ]
            for asked in (snapshot, mixed)
        )
        assert before == after


@few
@given(st.integers(0, 10**6))
def test_merging_two_households_loses_no_warning(seed: int) -> None:
    snapshot, _ = small_stores.small_store(seed)
    first, *others = snapshot.households
    for other in others:
        one_home = merged(snapshot, first, other)
        together = told_of(one_home, first)
        for before in (first, other):
            for lot_id, verdict in told_of(snapshot, before).items():
                assert WORST_FIRST.index(together[lot_id]) <= WORST_FIRST.index(verdict)


def told_of(snapshot: Snapshot, household: Household) -> dict[LotId, Verdict]:
    """Give the verdict on every lot that a household is warned of."""
    found = plan_warnings(snapshot, AS_OF, household=household.id)
    return {item.lot.id: one.verdict for one in found.warnings for item in one.lots}


def merged(snapshot: Snapshot, first: Household, other: Household) -> Snapshot:
    """Put the people of one household, with what they keep, into another."""
    both = replace(first, members=(*first.members, *other.members))
    kept = tuple(one for one in snapshot.households if one.id not in (first.id, other.id))
    lots = tuple(
        replace(one, owner=first.id) if one.owner == other.id else one for one in snapshot.lots
    )
    return replace(snapshot, households=(both, *kept), lots=lots)
