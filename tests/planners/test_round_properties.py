"""Whatever a store holds, a round proposes all that is due, once, and nothing that it may not.

Each claim is counted anew from the snapshot, with nothing of how the planner counts.
"""

import random
from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from math import fsum
from typing import Final

from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.domain.acceptance import refusal
from daysworth.domain.ages import Stage, stage_of
from daysworth.domain.eaters import eater_of
from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.identifiers import FoodId, HouseholdId, KitId, PlaceId
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.meal_kits import KitItem, MealKit
from daysworth.domain.needs import daily_need
from daysworth.domain.offers import offer_of
from daysworth.domain.partners import AcceptanceRule, Partner
from daysworth.domain.people import Household
from daysworth.domain.servings import servings
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.suitability import judge
from daysworth.domain.verdicts import Verdict
from daysworth.planners.eat_first import EAT_FIRST_SHARE
from daysworth.planners.household_fit import fit, table_of
from daysworth.planners.rotation_round import plan_round
from daysworth.planners.round_proposals import DueLot, RoundAction, RoundPlan
from daysworth.planners.round_worklist import worklist
from tests.planners.how_many import times
from tests.planners.receiving import partner_on
from tests.planners.small_stores import AS_OF, small_store

STORES: Final = times(120)
many: Final = settings(max_examples=STORES, deadline=None, derandomize=True, database=None)
SEEDS: Final = st.integers(0, STORES - 1)
NEXT_ROUND: Final = date(2027, 9, 1)
CELLAR: Final = PlaceId("cellar")


def store_with_kits(seed: int) -> Snapshot:
    """Make a small store whose lots have more units, and whose units in kits are in kits."""
    snapshot, _ = small_store(seed)
    rng = random.Random(seed)
    lots = tuple(_more(rng, lot) for lot in snapshot.lots)
    # What is in a kit stands where the kit does.
    stands = tuple(replace(one, place=CELLAR) if one.units_in_kits else one for one in lots)
    snapshot = replace(snapshot, lots=stands)
    packed = [lot for lot in snapshot.lots if lot.units_in_kits]
    kits: list[MealKit] = []
    while packed:
        chosen = [packed.pop() for _ in range(min(len(packed), rng.randint(1, 3)))]
        home = rng.choice((None, *(home.id for home in snapshot.households)))
        items = tuple(KitItem(lot=lot.id, units=lot.units_in_kits) for lot in chosen)
        kit = MealKit(
            id=KitId(f"k{len(kits)}"),
            name="Supper",
            place=CELLAR,
            persons=rng.randint(1, 3),
            packed_on=AS_OF,
            items=items,
            household=home,
        )
        kits.append(kit)
    return replace(snapshot, kits=tuple(kits))


def _more(rng: random.Random, lot: Lot) -> Lot:
    units = lot.units * rng.choice((1, 1, 4))
    free = units - lot.units_promised - lot.units_in_kits
    in_kits = lot.units_in_kits + (rng.randint(0, min(free, 3)) if rng.random() < 0.4 else 0)
    return replace(lot, units=units, units_in_kits=in_kits)


def partners_of(seed: int) -> tuple[Partner, ...]:
    rng = random.Random(seed)
    chosen = (None, (FoodGroup.PREPARED_MEALS,), (FoodGroup.BABY_FOOD,))
    rules = ((), (AcceptanceRule(least_days_left=2),), (AcceptanceRule(least_days_left=-4),))
    return tuple(
        partner_on(
            *(AS_OF + timedelta(days=day) for day in rng.sample(range(-2, 12), rng.randint(1, 3))),
            name=f"Partner {n}",
            only=rng.choice(chosen),
            rules=rng.choice(rules),
            notice_days=rng.choice((0, 0, 3)),
        )
        for n in range(rng.randint(0, 4))
    )


@cache
def planned(seed: int) -> tuple[Snapshot, RoundPlan]:
    snapshot = replace(store_with_kits(seed), partners=partners_of(seed))
    return snapshot, plan_round(snapshot, AS_OF)


def last_day(snapshot: Snapshot, lot: Lot) -> date | None:
    return lot.last_good_day(food_of(snapshot, lot), grace_days=snapshot.settings.grace_days)


def food_of(snapshot: Snapshot, lot: Lot) -> Food:
    return next(food for food in snapshot.foods if food.id == lot.food)


def home_of(snapshot: Snapshot, id_: HouseholdId) -> Household:
    return next(home for home in snapshot.households if home.id == id_)


def suits_everybody(lot: Lot, food: Food, home: Household) -> bool:
    """Judge for each member by itself: suitable, or for another age; and for somebody suitable."""
    offer = offer_of(lot, food)
    found = [judge(offer, eater_of(one, household=home, as_of=AS_OF)) for one in home.members]
    said = [one for one in found if not any(reason.is_by_stage for reason in one.reasons)]
    return bool(said) and all(one.verdict is Verdict.SUITABLE for one in said)


@many
@given(SEEDS)
def test_all_that_is_due_is_proposed_once_and_nothing_that_is_packed_or_promised(
    seed: int,
) -> None:
    snapshot, plan = planned(seed)
    expected = {}
    for lot in snapshot.lots:
        day = last_day(snapshot, lot)
        free = lot.units - lot.units_in_kits - lot.units_promised
        is_by_date = lot.condition is Condition.SOUND and day is not None and day < NEXT_ROUND
        if free > 0 and (lot.condition is Condition.DAMAGED or is_by_date):
            expected[lot.id] = free
    assert {due.item.lot.id: due.units for due in plan.lots} == expected
    assert len(plan.lots) == len(expected)
    for due in plan.lots:
        said = due.proposal
        assert said.units >= 1
        assert (said.rest_action is None) is (said.rest_on is None) is (said.rest_units == 0)
        if said.action is RoundAction.EAT_FIRST:
            assert sum(portion.units for portion in said.portions) == said.units
            assert all(portion.units >= 1 for portion in said.portions)
            assert len({portion.household for portion in said.portions}) == len(said.portions)
        else:
            assert said.portions == ()
            assert said.rest_units == 0


@many
@given(SEEDS)
def test_nobody_is_proposed_what_is_unsuitable_or_unknown_or_kept_by_others(seed: int) -> None:
    snapshot, plan = planned(seed)
    for due in plan.lots:
        lot, food = due.item.lot, due.item.food
        for portion in due.proposal.portions:
            home = home_of(snapshot, portion.household)
            assert lot.is_shared or lot.owner == home.id
            if not food.is_water:
                assert fit(offer_of(lot, food), table_of(home, AS_OF)).verdict is Verdict.SUITABLE
                assert suits_everybody(lot, food, home)
    for due_kit in plan.kits:
        if due_kit.household is not None:
            home = home_of(snapshot, due_kit.household)
            assert due_kit.kit.household in (None, home.id)
            for item in due_kit.items:
                assert item.lot.is_shared or item.lot.owner == home.id
                assert item.food.is_water or suits_everybody(item.lot, item.food, home)
                assert item.last_good_day is not None
                assert item.last_good_day >= AS_OF
                assert item.lot.condition is Condition.SOUND


@many
@given(SEEDS)
def test_no_home_is_proposed_more_than_half_of_what_it_eats_by_any_day(seed: int) -> None:
    snapshot, plan = planned(seed)
    given_to: dict[tuple[HouseholdId, bool], list[tuple[date, float]]] = {}
    for due in plan.lots:
        food, day = due.item.food, due.proposal.action_on
        energy_kcal = food.energy_kcal(due.item.lot.net_mass_g)
        for portion in due.proposal.portions:
            key = portion.household, food.is_for_infants
            given_to.setdefault(key, []).append((day, portion.units * energy_kcal))
    for kit in plan.kits:
        if kit.household is not None and kit.pull_by_day is not None:
            eaten = (kit.pull_by_day, kit.figures.energy_kcal)
            given_to.setdefault((kit.household, False), []).append(eaten)
    basis = snapshot.settings.needs_basis
    for (id_, is_for_infants), eaten_by in given_to.items():
        need_kcal = fsum(
            daily_need(member, as_of=AS_OF, basis=basis, ration=1).energy_kcal
            for member in home_of(snapshot, id_).members
            if (stage_of(member, AS_OF) is not Stage.TABLE_FOOD) is is_for_infants
        )
        for day, _ in eaten_by:
            so_far = fsum(energy for by, energy in eaten_by if by <= day)
            most = EAT_FIRST_SHARE * need_kcal * ((day - AS_OF).days + 1)
            assert so_far <= most * (1 + 1e-9)


@many
@given(SEEDS)
def test_nobody_is_proposed_more_than_a_serving_of_one_food_a_day_by_any_day(seed: int) -> None:
    snapshot, plan = planned(seed)
    given_to: dict[tuple[HouseholdId, FoodId], list[tuple[date, float]]] = {}
    for due in plan.lots:
        food, day = due.item.food, due.proposal.action_on
        if food.is_water or food.is_for_infants:
            continue
        for portion in due.proposal.portions:
            many = portion.units * servings(food, due.item.lot.net_mass_g)
            given_to.setdefault((portion.household, food.id), []).append((day, many))
    for (id_, _), eaten_by in given_to.items():
        stages = [stage_of(member, AS_OF) for member in home_of(snapshot, id_).members]
        persons = stages.count(Stage.TABLE_FOOD)
        for day, _ in eaten_by:
            so_far = fsum(many for by, many in eaten_by if by <= day)
            assert so_far <= persons * ((day - AS_OF).days + 1) * (1 + 1e-9)


@many
@given(SEEDS)
def test_what_is_handed_off_is_taken_then_and_by_nobody_before(seed: int) -> None:
    snapshot, plan = planned(seed)
    visits = [
        (day, partner)
        for partner in snapshot.partners
        for window in partner.windows
        for day in (window.recurrence.starts_at, *window.recurrence.also_at)
        if (day.date() - AS_OF).days >= window.notice_days
    ]
    for due in plan.lots:
        said, lot, food = due.proposal, due.item.lot, due.item.food
        taken = [
            (day.date(), partner.name)
            for day, partner in visits
            if refusal(partner, lot, food=food, on=day.date()) is None
        ]
        is_handed_off = RoundAction.HAND_OFF in (said.action, said.rest_action)
        assert (said.partner_name is not None) is is_handed_off
        if said.action is RoundAction.EAT_FIRST and not said.rest_units:
            assert not is_handed_off
            continue
        assert is_handed_off is bool(taken)
        if is_handed_off:
            on = said.action_on if said.action is RoundAction.HAND_OFF else said.rest_on
            assert (on, said.partner_name) in taken
            assert on == min(day for day, _ in taken)
            assert (lot.is_shared, lot.is_handled_here, lot.condition) == (True, False, "sound")


@many
@given(SEEDS, st.randoms(use_true_random=False))
def test_the_order_of_everything_in_a_store_changes_nothing(
    seed: int, shuffling: random.Random
) -> None:
    snapshot, plan = planned(seed)
    again = replace(
        snapshot,
        lots=tuple(shuffling.sample(snapshot.lots, len(snapshot.lots))),
        households=tuple(shuffling.sample(snapshot.households, len(snapshot.households))),
        foods=tuple(shuffling.sample(snapshot.foods, len(snapshot.foods))),
        places=tuple(shuffling.sample(snapshot.places, len(snapshot.places))),
        kits=tuple(shuffling.sample(snapshot.kits, len(snapshot.kits))),
        partners=tuple(shuffling.sample(snapshot.partners, len(snapshot.partners))),
    )
    other = plan_round(again, AS_OF)
    assert other == plan
    assert worklist(other, again) == worklist(plan, snapshot)


@many
@given(SEEDS)
def test_totals_and_the_worklist_hold_each_due_thing_once(seed: int) -> None:
    snapshot, plan = planned(seed)
    totals = plan.totals
    of_lots = sum(due.units for due in plan.lots)
    of_kits = sum(item.units for due in plan.kits for item in due.kit.items)
    assert sum(figures.units for figures in totals.values()) == of_lots + of_kits
    work = worklist(plan, snapshot)
    lines: Counter[str] = Counter()
    for place in work:
        for line in place.lines:
            if isinstance(line, DueLot):
                lines[line.item.lot.id] += 1
                assert line.item.lot.place == place.place.id
            else:
                lines[line.kit.id] += 1
                assert line.kit.place == place.place.id
    ids = [due.item.lot.id for due in plan.lots] + [due.kit.id for due in plan.kits]
    assert lines == Counter(ids)
    looked_at = sorted(item.lot.id for place in work for item in place.looked_at)
    assert looked_at == sorted(item.lot.id for item in plan.looked_at)
