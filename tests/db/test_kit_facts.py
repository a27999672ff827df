"""Claims about when a kit must be looked at again, and what a home that leaves does to its kits."""

from dataclasses import replace
from functools import partial

import pytest
from sqlalchemy import Engine

from daysworth.db.foods import add_food, change_food
from daysworth.db.households import change_member, read_household
from daysworth.db.kit_facts import facts_now, to_be_looked_at
from daysworth.db.kits import KeptKit
from daysworth.db.leaving import OwnStock, erase_household
from daysworth.db.ledger import custody, handling, taking
from daysworth.db.ledger import kits as deeds
from daysworth.db.transactions import Writing
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.entries import KitState
from daysworth.domain.errors import NotAsItWas, StockRefused
from daysworth.domain.identifiers import FoodId, HouseholdId, KitId, LotId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.restrictions import Restriction, Substance
from tests.db.kit_grounds import (
    kit_of,
    kits_balance,
    lots_in,
    pack,
    to_pack,
)
from tests.grounds import (
    CELLAR,
    OTHER_HOME,
    PEANUT_HOME,
    SALMON,
    SHELF,
    box,
    change,
    look,
    put_up,
)


def to_look_at(engine: Engine, *kits: KeptKit) -> set[KitId]:
    """Find which of some kits must be looked at again, as they are now."""
    now = [kit_of(engine, kit.id) for kit in kits]
    return look(engine, partial(to_be_looked_at, kits=now))


def erase(engine: Engine, household: HouseholdId, *, own_stock: OwnStock | None = None) -> None:
    def leave(writing: Writing) -> None:
        revision = read_household(writing, household).revision
        erase_household(writing, household, own_stock=own_stock, if_revision=revision)

    change(engine, leave)


def test_a_kit_is_looked_at_again_when_what_is_in_it_is_found_to_be_otherwise(
    engine: Engine,
) -> None:
    lot, other = put_up(engine, box(4), box(4))
    kept, bystander = pack(engine, to_pack((lot, 2)), to_pack((other, 2)))
    (packed,) = lots_in(engine, kept)
    assert to_look_at(engine, kept, bystander) == set()
    redate = partial(
        handling.redate,
        lot=LotId(packed.id),
        label_kind=LabelKind.USE_BY,
        printed="2027-01",
        if_revision=packed.revision,
    )
    change(engine, redate)
    assert to_look_at(engine, kept, bystander) == {kept.id}
    confirm = partial(deeds.confirm_kit, kit=kept.id, why="looked at the tin")
    seen = change(engine, partial(confirm, if_revision=1))
    assert (seen.looked_why, seen.looked_by, seen.revision) == (
        "looked at the tin",
        "a coordinator",
        2,
    )
    assert to_look_at(engine, kept) == set()
    with pytest.raises(NotAsItWas, match="changed since you looked"):
        change(engine, partial(confirm, if_revision=1))


def test_a_kit_with_a_lot_that_is_not_sound_can_not_be_answered_for(engine: Engine) -> None:
    (lot,) = put_up(engine, box(4))
    (kept,) = pack(engine, to_pack((lot, 2)))
    (packed,) = lots_in(engine, kept)
    change(engine, partial(custody.quarantine, lot=LotId(packed.id), why="recalled?"))
    assert to_look_at(engine, kept) == {kept.id}
    confirm = partial(deeds.confirm_kit, kit=kept.id, why="seen", if_revision=1)
    with pytest.raises(StockRefused, match=f"lot '{packed.id}' is quarantined: unpack kit"):
        change(engine, confirm)
    change(engine, partial(custody.release, lot=LotId(packed.id), why="not ours"))
    assert to_look_at(engine, kept) == set()


def test_a_changed_food_reopens_every_kit_that_holds_it(engine: Engine) -> None:
    own = replace(generic_foods()[SALMON], id=FoodId("own-salmon"), name="Our salmon")
    change(engine, partial(add_food, food=own, gtin=None, label=None))
    lot, other = put_up(engine, box(4, food=own.id), box(4))
    kept, bystander = pack(engine, to_pack((lot, 2)), to_pack((other, 2)))
    assert to_look_at(engine, kept, bystander) == set()
    saltier = replace(own, sodium_mg_100g=900.0)
    change(engine, partial(change_food, food=saltier, gtin=None, label=None, if_revision=1))
    assert to_look_at(engine, kept, bystander) == {kept.id}


def test_a_members_changed_needs_reopen_their_homes_kits_and_no_others(engine: Engine) -> None:
    (lot,) = put_up(engine, box(9))
    theirs, anybodys, another = pack(
        engine,
        to_pack((lot, 1), household=PEANUT_HOME),
        to_pack((lot, 1)),
        to_pack((lot, 1), household=OTHER_HOME),
    )

    def add_fish(writing: Writing) -> None:
        (member,) = read_household(writing, PEANUT_HOME).members
        fish = (*member.facts.restrictions, Restriction(allergy=Substance.FISH))
        new = replace(member, facts=replace(member.facts, restrictions=fish))
        change_member(writing, PEANUT_HOME, member=new, if_revision=member.revision)

    change(engine, add_fish)
    assert to_look_at(engine, theirs, anybodys, another) == {theirs.id}
    assert look(engine, partial(facts_now, kit=theirs.id)) != theirs.facts


def test_units_and_places_are_no_facts_of_a_kit(engine: Engine) -> None:
    (lot,) = put_up(engine, box(9))
    (kept,) = pack(engine, to_pack((lot, 1)), place=SHELF)
    change(engine, partial(taking.eat, lot=LotId(lot.id), units=5))
    change(engine, partial(deeds.move_kit, kit=kept.id, place=CELLAR))
    assert look(engine, partial(facts_now, kit=kept.id)) == kept.facts


def test_a_home_that_leaves_has_its_kits_left_for_anybody_once_looked_at(engine: Engine) -> None:
    (lot,) = put_up(engine, box(9))
    kept, other = pack(engine, to_pack((lot, 2), household=PEANUT_HOME), to_pack((lot, 1)))
    confirm = partial(deeds.confirm_kit, kit=kept.id, why="they like it", if_revision=1)
    change(engine, confirm)
    erase(engine, PEANUT_HOME)
    left = kit_of(engine, kept.id)
    assert (left.kit.household, left.state, left.looked_why) == (None, KitState.CLOSED, None)
    assert kept.facts not in repr(left)
    assert to_look_at(engine, kept, other) == {kept.id}
    assert kits_balance(engine)


def test_what_a_leaving_home_has_in_kits_is_settled_first_or_given_with_them(
    engine: Engine,
) -> None:
    (lot,) = put_up(engine, box(9, owner=PEANUT_HOME, is_shared=False))
    (kept,) = pack(engine, to_pack((lot, 2), household=PEANUT_HOME))
    with pytest.raises(StockRefused, match="in kits or promised: settle that first"):
        erase(engine, PEANUT_HOME, own_stock=OwnStock.RETURNED)
    assert kit_of(engine, kept.id).kit.household == PEANUT_HOME
    erase(engine, PEANUT_HOME, own_stock=OwnStock.GIVEN)
    (packed,) = lots_in(engine, kept)
    assert (packed.owner, packed.is_shared, packed.units_in_kits) == (None, True, 2)
    assert kit_of(engine, kept.id).kit.household is None
    assert kits_balance(engine)
