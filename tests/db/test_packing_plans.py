"""Claims about plans for packing: packed once, and only while all they were made of stands."""

from dataclasses import replace
from datetime import timedelta
from functools import partial

import pytest
from sqlalchemy import Engine, func, select

from daysworth.db import transactions
from daysworth.db.foods import add_food, change_food
from daysworth.db.households import change_member, read_household
from daysworth.db.leaving import erase_household
from daysworth.db.ledger import custody, handling, labels, taking
from daysworth.db.ledger.kits import pack_plan
from daysworth.db.packing_plans import MOST_UNPACKED, KeptPlan, PlanMade, keep_plan, read_plan
from daysworth.db.snapshots import load_snapshot
from daysworth.db.tables import PACKING_PLAN
from daysworth.db.transactions import Writing
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.errors import NotAsItWas, NotThere, StockRefused
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import LabelReading
from daysworth.domain.meal_kits import KitToPack
from daysworth.domain.meal_patterns import MealRule, Waiver
from tests.db.kit_grounds import kits_balance, kits_of, stock_wares, to_pack, wares_of, with_wares
from tests.grounds import (
    CELLAR,
    NOON,
    PEANUT_HOME,
    SALMON,
    SHELF,
    STORE_ID,
    box,
    change,
    look,
    lots_of,
    put_up,
    someone,
    version_of,
)


def plan(engine: Engine, *kits: KitToPack, minutes: int = 0) -> KeptPlan:
    """Keep a plan that was made on the store as it is."""
    made = PlanMade(
        told="{}", snapshot=look(engine, partial(load_snapshot, at=NOON)), place=CELLAR, kits=kits
    )
    at = NOON + timedelta(minutes=minutes)
    keep = partial(keep_plan, made=made, by=someone(), at=at)
    return transactions.write_beside(engine, keep, store=STORE_ID)


def packed(engine: Engine, kept: KeptPlan) -> int:
    return len(change(engine, partial(pack_plan, plan=kept.id)))


def erase(engine: Engine, household: HouseholdId) -> None:
    def leave(writing: Writing) -> None:
        revision = read_household(writing, household).revision
        erase_household(writing, household, own_stock=None, if_revision=revision)

    change(engine, leave)


def test_a_plan_is_kept_as_it_was_made_and_raises_no_version(engine: Engine) -> None:
    (lot,) = put_up(engine)
    before = version_of(engine)
    kits = (with_wares((lot, 2), household=PEANUT_HOME), to_pack((lot, 1)))
    kept = plan(engine, *kits)
    assert version_of(engine) == kept.version == before
    found = look(engine, partial(read_plan, plan=kept.id))
    assert found == kept
    assert (found.kits, found.place, found.made_by) == (kits, CELLAR, "a coordinator")
    assert found.packed_at is None


def test_a_plan_is_packed_once(engine: Engine) -> None:
    (lot,) = put_up(engine)
    stock_wares(engine)
    kept = plan(engine, with_wares((lot, 2)), with_wares((lot, 1)))
    assert packed(engine, kept) == 2
    before, wares = lots_of(engine), wares_of(engine)
    with pytest.raises(StockRefused, match="packed already, on 2026-09-01 by a coordinator"):
        packed(engine, kept)
    assert (lots_of(engine), wares_of(engine)) == (before, wares)
    assert len(kits_of(engine)) == 2
    assert look(engine, partial(read_plan, plan=kept.id)).packed_by == "a coordinator"
    assert kits_balance(engine)


def test_units_may_go_elsewhere_as_long_as_enough_are_free(engine: Engine) -> None:
    (lot,) = put_up(engine, box(6))
    enough, too_few = plan(engine, to_pack((lot, 2))), plan(engine, to_pack((lot, 4)))
    change(engine, partial(taking.eat, lot=LotId(lot.id), units=2))
    assert packed(engine, enough) == 1
    before = lots_of(engine)
    with pytest.raises(StockRefused, match=r"4 of lot .* asked for, and 2 are free"):
        packed(engine, too_few)
    assert lots_of(engine) == before
    assert look(engine, partial(read_plan, plan=too_few.id)).packed_at is None


READ = LabelReading(text="Ingredients: salmon, peanuts.")


@pytest.mark.parametrize(
    "deed",
    [
        partial(handling.move, place=CELLAR, units=None),
        partial(custody.quarantine, why="recalled?"),
        partial(labels.record, reading=READ),
        partial(handling.redate, label_kind=LabelKind.BEST_BY, printed="2028-08", if_revision=1),
        partial(
            custody.correct,
            correction=custody.Correction(net_mass_g=99.0),
            why="weighed",
            if_revision=1,
        ),
        partial(
            custody.correct,
            correction=custody.Correction(food=FoodId("tuna_in_water_tinned")),
            why="it is tuna",
            if_revision=1,
        ),
    ],
)
def test_a_lot_that_was_changed_since_fails_the_plan_whole(
    engine: Engine, deed: partial[object]
) -> None:
    lot, other = put_up(engine, box(4), box(4))
    stock_wares(engine)
    kept = plan(engine, with_wares((other, 1)), with_wares((lot, 1)))
    change(engine, partial(deed, lot=LotId(lot.id)))
    before, wares = lots_of(engine), wares_of(engine)
    with pytest.raises(NotAsItWas, match="plan again"):
        packed(engine, kept)
    assert (lots_of(engine), wares_of(engine)) == (before, wares)
    assert kits_of(engine) == []


def test_a_shared_lot_that_is_taken_back_fails_the_plan(engine: Engine) -> None:
    (lot,) = put_up(engine, box(4, owner=PEANUT_HOME))
    kept = plan(engine, to_pack((lot, 1)))
    change(engine, partial(custody.take_back, lot=LotId(lot.id)))
    with pytest.raises(NotAsItWas):
        packed(engine, kept)


def test_a_changed_food_fails_the_plans_that_hold_it(engine: Engine) -> None:
    own = replace(generic_foods()[SALMON], id=FoodId("own-salmon"))
    change(engine, partial(add_food, food=own, gtin=None, label=None))
    lot, other = put_up(engine, box(4, food=own.id), box(4))
    kept, bystander = plan(engine, to_pack((lot, 1))), plan(engine, to_pack((other, 1)))
    saltier = replace(own, sodium_mg_100g=900.0)
    change(engine, partial(change_food, food=saltier, gtin=None, label=None, if_revision=1))
    with pytest.raises(NotAsItWas):
        packed(engine, kept)
    assert packed(engine, bystander) == 1


def test_a_member_whose_needs_changed_fails_the_plans_for_their_home(engine: Engine) -> None:
    (lot,) = put_up(engine)
    kept = plan(engine, to_pack((lot, 1), household=PEANUT_HOME))
    bystander = plan(engine, to_pack((lot, 1)))

    def relieve(writing: Writing) -> None:
        (member,) = read_household(writing, PEANUT_HOME).members
        new = replace(member, facts=replace(member.facts, restrictions=()))
        change_member(writing, PEANUT_HOME, member=new, if_revision=member.revision)

    change(engine, relieve)
    with pytest.raises(NotAsItWas):
        packed(engine, kept)
    assert packed(engine, bystander) == 1


def test_what_changed_between_the_snapshot_and_the_keeping_fails_the_plan(engine: Engine) -> None:
    (lot,) = put_up(engine)
    snapshot = look(engine, partial(load_snapshot, at=NOON))
    change(engine, partial(custody.quarantine, lot=LotId(lot.id), why="recalled?"))
    change(engine, partial(custody.release, lot=LotId(lot.id), why="not ours"))
    change(engine, partial(labels.record, lot=LotId(lot.id), reading=READ))
    made = PlanMade(told="{}", snapshot=snapshot, place=CELLAR, kits=(to_pack((lot, 1)),))
    keep = partial(keep_plan, made=made, by=someone(), at=NOON)
    kept = transactions.write_beside(engine, keep, store=STORE_ID)
    with pytest.raises(NotAsItWas):
        packed(engine, kept)


def test_a_plan_goes_with_a_home_that_it_names_and_none_is_kept_of_one_that_left(
    engine: Engine,
) -> None:
    (lot,) = put_up(engine, box(9))
    theirs = plan(engine, to_pack((lot, 1), household=PEANUT_HOME), to_pack((lot, 1)))
    done = plan(engine, to_pack((lot, 1), household=PEANUT_HOME))
    packed(engine, done)
    other = plan(engine, to_pack((lot, 1)))
    snapshot = look(engine, partial(load_snapshot, at=NOON))
    erase(engine, PEANUT_HOME)
    for gone in (theirs, done):
        with pytest.raises(NotThere, match="plan again"):
            look(engine, partial(read_plan, plan=gone.id))
    assert packed(engine, other) == 1
    made = PlanMade(told="{}", snapshot=snapshot, place=SHELF, kits=theirs.kits)
    keep = partial(keep_plan, made=made, by=someone(), at=NOON)
    with pytest.raises(NotAsItWas, match="a household has left"):
        transactions.write_beside(engine, keep, store=STORE_ID)


def test_a_plan_is_packed_later_only_while_its_food_still_keeps_until_the_round(
    engine: Engine,
) -> None:
    (lot,) = put_up(engine, box(9, printed="2027-03-03"))
    waived = (Waiver(rule=MealRule.KEEPS, why="It is eaten this week."),)
    held, eaten = plan(engine, to_pack((lot, 1))), plan(engine, to_pack((lot, 1), waivers=waived))
    with pytest.raises(NotAsItWas, match="does not keep 6 months from today any more: plan again"):
        change(engine, partial(pack_plan, plan=held.id), at=NOON + timedelta(days=3))
    assert len(change(engine, partial(pack_plan, plan=eaten.id), at=NOON + timedelta(days=3))) == 1
    assert len(change(engine, partial(pack_plan, plan=held.id), at=NOON + timedelta(days=2))) == 1


def test_the_oldest_plans_that_nobody_packed_go_first(engine: Engine) -> None:
    (lot,) = put_up(engine)
    first = plan(engine, to_pack((lot, 1)))
    packed(engine, first)
    kept = [plan(engine, to_pack((lot, 1)), minutes=n) for n in range(1, MOST_UNPACKED + 3)]
    for gone in kept[:2]:
        with pytest.raises(NotThere):
            packed(engine, gone)
    assert packed(engine, kept[2]) == 1
    assert look(engine, partial(read_plan, plan=first.id)).packed_at is not None
    counted = select(func.count()).select_from(PACKING_PLAN)
    rows = look(engine, lambda r: r.connection.execute(counted).scalar_one())
    assert rows == MOST_UNPACKED + 1
