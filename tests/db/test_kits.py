"""Claims about kits: put up, moved, unpacked, eaten, each in one write or not at all."""

from dataclasses import replace
from datetime import date, timedelta
from functools import partial

import pytest
from sqlalchemy import Engine

from daysworth.db.kit_facts import to_be_looked_at
from daysworth.db.kits import KeptKit, KitChoice, all_kits
from daysworth.db.ledger import handling, taking
from daysworth.db.ledger import kits as deeds
from daysworth.db.stock import list_entries
from daysworth.domain.entries import EntryKind, KitState
from daysworth.domain.errors import FieldsRefused, NotThere, StockRefused
from daysworth.domain.identifiers import HouseholdId, KitId, LotId, PlaceId
from daysworth.domain.lots import Condition
from tests.db.kit_grounds import (
    STEPS,
    kit_of,
    kits_balance,
    kits_of,
    lots_in,
    pack,
    stock_wares,
    to_pack,
    wares_of,
    with_wares,
)
from tests.grounds import (
    CELLAR,
    NOON,
    OTHER_HOME,
    PEANUT_HOME,
    SALMON,
    SHELF,
    books_balance,
    box,
    change,
    look,
    lots_of,
    put_up,
    version_of,
)


def to_look_at(engine: Engine, *kits: KeptKit) -> set[KitId]:
    """Find which of some kits must be looked at again, as they are now."""
    now = [kit_of(engine, kit.id) for kit in kits]
    return look(engine, partial(to_be_looked_at, kits=now))


def kinds_of(engine: Engine, lot: str) -> list[tuple[str, int]]:
    page = look(engine, partial(list_entries, lot=LotId(lot), after=(0, -1), limit=50))
    return [(entry.kind, entry.units) for entry in page.items]


def test_a_kit_takes_units_of_a_lot_into_a_lot_of_its_own_in_its_place(engine: Engine) -> None:
    (lot,) = put_up(engine, box(10, net_mass_g=170.0))
    stock_wares(engine)
    before = version_of(engine)
    first, second = pack(engine, with_wares((lot, 2)), with_wares((lot, 3), persons=3))
    held = lots_of(engine)
    assert held[lot.id].units == 5
    (packed,) = lots_in(engine, first)
    assert lots_in(engine, second) == [packed]
    assert (packed.place, packed.units, packed.units_in_kits) == (CELLAR, 5, 5)
    assert (packed.printed, packed.net_mass_g, packed.food) == ("2028-09", 170.0, SALMON)
    assert kinds_of(engine, packed.id) == [(EntryKind.PACKED, 5)]
    assert kinds_of(engine, lot.id)[-1] == (EntryKind.PACKED, -5)
    assert wares_of(engine) == {("shelf", "opener"): 8, ("shelf", "fork"): 6, ("shelf", "bag"): 8}
    assert version_of(engine) == before + 1
    assert kits_balance(engine)
    assert books_balance(engine)


def test_a_kit_is_kept_as_it_was_asked_for(engine: Engine) -> None:
    (lot,) = put_up(engine)
    stock_wares(engine)
    asked = with_wares((lot, 2), household=PEANUT_HOME, may_be_warmed="The fish, in hot water.")
    (kept,) = pack(engine, asked)
    kit = kept.kit
    assert kept == kit_of(engine, kept.id)
    assert (kept.state, kept.revision, kept.packed_by) == (KitState.CLOSED, 1, "a coordinator")
    assert (kit.household, kit.packed_on, kit.place) == (PEANUT_HOME, NOON.date(), CELLAR)
    assert (kit.steps, kit.waivers, kit.may_be_warmed) == (
        STEPS,
        asked.waivers,
        asked.may_be_warmed,
    )
    assert kit.wares == {ware.kind: ware.units for ware in asked.wares}
    assert [(item.units, item.served) for item in kit.items] == [(2, asked.items[0].served)]


def test_where_the_lot_stands_in_the_kits_place_it_stays_one_lot(engine: Engine) -> None:
    (lot,) = put_up(engine, box(6))
    (kept,) = pack(engine, to_pack((lot, 4)), place=SHELF)
    assert [item.lot for item in kept.kit.items] == [lot.id]
    held = lots_of(engine)
    assert len(held) == 1
    assert (held[lot.id].units, held[lot.id].units_in_kits) == (6, 4)
    assert kinds_of(engine, lot.id)[-1] == (EntryKind.PACKED, 0)
    with pytest.raises(StockRefused, match="3 asked for, and 2 are there to take"):
        change(engine, partial(taking.eat, lot=LotId(lot.id), units=3))
    assert kits_balance(engine)


def test_too_few_units_over_all_kits_together_change_nothing(engine: Engine) -> None:
    (lot,) = put_up(engine, box(5))
    stock_wares(engine)
    before, wares = lots_of(engine), wares_of(engine)
    with pytest.raises(StockRefused, match=f"6 of lot '{lot.id}' .* asked for, and 5 are free"):
        pack(engine, with_wares((lot, 3)), with_wares((lot, 3)))
    assert lots_of(engine) == before
    assert wares_of(engine) == wares
    assert kits_of(engine) == []


def test_too_few_wares_change_nothing_and_say_how_many_there_are(engine: Engine) -> None:
    (lot,) = put_up(engine, box(9))
    stock_wares(engine, 3)
    before = lots_of(engine)
    with pytest.raises(StockRefused, match="4 of ware 'fork' asked for, and 3 are in place"):
        pack(engine, with_wares((lot, 1)), with_wares((lot, 1)))
    with pytest.raises(StockRefused, match="1 of ware 'bag' asked for, and 0 are in place"):
        pack(engine, with_wares((lot, 1), place=CELLAR))
    assert lots_of(engine) == before


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"food": None, "words": "fish"}, "waits for somebody to say what food it is"),
        ({"condition": Condition.DAMAGED}, "is damaged"),
        ({"owner": OTHER_HOME, "is_shared": False}, "is kept by a household for itself"),
    ],
)
def test_a_lot_that_must_not_go_into_a_kit_is_named(
    engine: Engine, changed: dict[str, object], words: str
) -> None:
    (lot,) = put_up(engine, box(5, **changed))
    with pytest.raises(StockRefused, match=f"'{lot.id}'.*{words}"):
        pack(engine, to_pack((lot, 1), household=PEANUT_HOME))
    assert kits_of(engine) == []


def test_an_opened_lot_goes_into_no_kit_and_a_repacked_one_keeps_its_day(engine: Engine) -> None:
    (lot,) = put_up(engine, box(5))
    open_one = partial(handling.open_units, lot=LotId(lot.id), units=1, opened_on=None)
    _, opened = change(engine, open_one)
    with pytest.raises(StockRefused, match="was opened on 2026-09-01"):
        pack(engine, to_pack((opened, 1)))
    repack = partial(
        handling.repack,
        lot=LotId(lot.id),
        units=1,
        into_units=3,
        net_mass_g=50.0,
        repacked_on=None,
    )
    _, packs = change(engine, repack)
    (kept,) = pack(engine, to_pack((packs, 2)))
    change(engine, partial(deeds.unpack_kit, kit=kept.id))
    (back,) = lots_in(engine, kept)
    assert (back.repacked_on, back.units_free, back.place) == (NOON.date(), 2, CELLAR)


def test_a_home_may_have_its_own_in_its_kit(engine: Engine) -> None:
    (lot,) = put_up(engine, box(5, owner=PEANUT_HOME, is_shared=False))
    (kept,) = pack(engine, to_pack((lot, 2), household=PEANUT_HOME))
    (packed,) = lots_in(engine, kept)
    assert (packed.owner, packed.is_shared) == (PEANUT_HOME, False)


def test_what_is_not_there_is_named_by_number(engine: Engine) -> None:
    (lot,) = put_up(engine)
    gone = replace(lot, id="L-none")
    with pytest.raises(FieldsRefused) as refused:
        pack(engine, to_pack((lot, 1)), to_pack((gone, 1), household=HouseholdId("H-none")))
    assert [fault.where for fault in refused.value.faults] == [
        "kits number 2 > household",
        "kits number 2 > items number 1 > lot",
    ]
    with pytest.raises(NotThere, match="no place"):
        pack(engine, to_pack((lot, 1)), place=PlaceId("attic"))
    with pytest.raises(FieldsRefused, match="there is no kit to put up"):
        pack(engine)


def test_a_kit_is_put_up_today_or_on_a_day_that_was(engine: Engine) -> None:
    (lot,) = put_up(engine)
    yesterday = NOON.date() - timedelta(days=1)
    work = partial(deeds.put_up, kits=[to_pack((lot, 1))], place=CELLAR)
    (kept,) = change(engine, partial(work, packed_on=yesterday))
    assert kept.kit.packed_on == yesterday
    for day in (NOON.date() + timedelta(days=1), date(1999, 12, 31)):
        with pytest.raises(FieldsRefused, match="packed_on"):
            change(engine, partial(work, packed_on=day))


def test_an_unpacked_kit_gives_back_what_was_in_it(engine: Engine) -> None:
    (lot,) = put_up(engine, box(10))
    stock_wares(engine)
    first, second = pack(engine, with_wares((lot, 2)), with_wares((lot, 3)))
    ended = change(engine, partial(deeds.unpack_kit, kit=first.id, why="not wanted"))
    assert (ended.state, ended.ended_at) == (KitState.UNPACKED, "2026-09-01T12:00:00.000000Z")
    assert ended.kit.items == first.kit.items
    (back,) = lots_in(engine, first)
    assert (back.units, back.units_free, back.printed) == (5, 2, "2028-09")
    wares = wares_of(engine)
    assert (wares["cellar", "bag"], wares["cellar", "opener"], wares["cellar", "fork"]) == (1, 1, 2)
    assert [kit.id for kit in kits_of(engine)] == [second.id]
    assert kits_balance(engine)
    assert books_balance(engine)


def test_an_eaten_kit_uses_up_its_tableware_and_gives_back_its_opener(engine: Engine) -> None:
    (lot,) = put_up(engine, box(10))
    stock_wares(engine)
    (kept,) = pack(engine, with_wares((lot, 2)))
    ended = change(engine, partial(deeds.eat_kit, kit=kept.id))
    assert ended.state is KitState.EATEN
    (eaten,) = lots_in(engine, kept)
    assert (eaten.units, eaten.units_in_kits) == (0, 0)
    assert kinds_of(engine, eaten.id) == [(EntryKind.PACKED, 2), (EntryKind.EATEN, -2)]
    wares = wares_of(engine)
    assert wares["cellar", "opener"] == 1
    assert ("cellar", "fork") not in wares
    assert ("cellar", "bag") not in wares
    assert kits_balance(engine)


def test_a_kit_that_has_ended_is_not_used_again(engine: Engine) -> None:
    (lot,) = put_up(engine)
    eaten, unpacked = pack(engine, to_pack((lot, 1)), to_pack((lot, 1)))
    change(engine, partial(deeds.eat_kit, kit=eaten.id))
    change(engine, partial(deeds.unpack_kit, kit=unpacked.id))
    before = lots_of(engine)
    for kit, words in ((eaten, "was eaten on 2026-09-01"), (unpacked, "was unpacked on 2026-09")):
        for deed in (
            partial(deeds.eat_kit, kit=kit.id),
            partial(deeds.unpack_kit, kit=kit.id),
            partial(deeds.move_kit, kit=kit.id, place=SHELF),
            partial(deeds.confirm_kit, kit=kit.id, why="seen", if_revision=2),
        ):
            with pytest.raises(StockRefused, match=words):
                change(engine, deed)
    assert lots_of(engine) == before
    with pytest.raises(NotThere, match="there is no kit 'K-none'"):
        change(engine, partial(deeds.eat_kit, kit=KitId("K-none")))


def test_a_moved_kit_takes_what_is_in_it_along_and_no_more(engine: Engine) -> None:
    (lot,) = put_up(engine, box(10))
    first, second = pack(engine, to_pack((lot, 2)), to_pack((lot, 3)))
    moved = change(engine, partial(deeds.move_kit, kit=first.id, place=SHELF))
    assert (moved.kit.place, moved.revision) == (SHELF, 2)
    (its,), (left,) = lots_in(engine, moved), lots_in(engine, kit_of(engine, second.id))
    assert (its.place, its.units, its.units_in_kits) == (SHELF, 2, 2)
    assert (left.place, left.units, left.units_in_kits) == (CELLAR, 3, 3)
    number = len(lots_of(engine))
    change(engine, partial(deeds.move_kit, kit=second.id, place=SHELF))
    assert len(lots_of(engine)) == number
    assert lots_of(engine)[left.id].place == SHELF
    assert to_look_at(engine, first, second) == set()
    with pytest.raises(StockRefused, match="stands there already"):
        change(engine, partial(deeds.move_kit, kit=second.id, place=SHELF))
    with pytest.raises(NotThere, match="no place"):
        change(engine, partial(deeds.move_kit, kit=second.id, place=PlaceId("attic")))
    assert kits_balance(engine)
    assert books_balance(engine)


def test_what_is_in_a_kit_moves_with_it_alone(engine: Engine) -> None:
    (lot,) = put_up(engine, box(6))
    pack(engine, to_pack((lot, 4)), place=SHELF)
    for units in (None, 6, 3):
        with pytest.raises(StockRefused, match="in kits"):
            change(engine, partial(handling.move, lot=LotId(lot.id), place=CELLAR, units=units))
    change(engine, partial(handling.move, lot=LotId(lot.id), place=CELLAR, units=2))
    assert kits_balance(engine)


def test_kits_are_chosen_by_place_home_and_state(engine: Engine) -> None:
    (lot,) = put_up(engine, box(9))
    one, two, three = pack(engine, *(to_pack((lot, 1), household=PEANUT_HOME) for _ in range(3)))
    (four,) = pack(engine, to_pack((lot, 1)), place=SHELF)
    change(engine, partial(deeds.eat_kit, kit=three.id))

    def chosen(choice: KitChoice) -> set[KitId]:
        return {kit.id for kit in look(engine, partial(all_kits, choice=choice))}

    assert chosen(KitChoice()) == {one.id, two.id, four.id}
    assert chosen(KitChoice(place=SHELF)) == {four.id}
    assert chosen(KitChoice(household=PEANUT_HOME)) == {one.id, two.id}
    assert chosen(KitChoice(state=KitState.EATEN)) == {three.id}
    assert chosen(KitChoice(state=None)) == {one.id, two.id, three.id, four.id}
