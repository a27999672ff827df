"""Whatever is done, in whatever order, the books balance and no lot goes below nothing.

What lots have in kits is what closed kits hold of them, what is promised is what open promises
hold, and wares add up as lots do.
"""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from datetime import timedelta
from functools import cache, partial
from itertools import count

from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Engine, select

from daysworth.db.label_history import label_history
from daysworth.db.ledger import custody, handling, kits, labels, promises, taking
from daysworth.db.ledger.held import find
from daysworth.db.ledger.round_decisions import RoundDecision
from daysworth.db.ledger.rounds import settle_round
from daysworth.db.partners import add_partner
from daysworth.db.promises import open_promises, read_promise
from daysworth.db.readings_kept import readings_from, signed_readings
from daysworth.db.tables import KIT, LOT
from daysworth.db.transactions import Writing
from daysworth.db.wares import receive_wares
from daysworth.domain.entries import KitState, RoundOutcome
from daysworth.domain.errors import FieldsRefused, StoreRefused
from daysworth.domain.identifiers import HouseholdId, KitId, LotId, PlaceId, PromiseId, StoreId
from daysworth.domain.labels import LabelReading
from daysworth.domain.lots import MOST_READINGS
from daysworth.domain.meal_kits import KitItem, KitToPack, WareTaken
from daysworth.domain.wares import WareKind
from tests.databases import SQLITE, migrated
from tests.db.kit_grounds import kits_balance
from tests.db.promise_grounds import OPENS, PARTNER, visit
from tests.grounds import (
    CELLAR,
    PEANUT_HOME,
    SHELF,
    begin_ground,
    books_balance,
    box,
    change,
    look,
    lots_of,
    promises_balance,
    put_up,
    small_store,
    someone,
    version_of,
)

Deed = Callable[..., object]

UNITS = st.integers(1, 9)
FEW = st.integers(1, 4)
PLACES = st.sampled_from([SHELF, CELLAR])
READINGS = st.builds(lambda number: LabelReading(text=f"Ingredients: {number}"), st.integers(0, 9))
DEEDS: st.SearchStrategy[Deed] = st.one_of(
    st.builds(lambda units: partial(taking.eat, units=units), UNITS),
    st.builds(lambda units: partial(taking.discard, units=units, why="dented"), UNITS),
    st.builds(lambda units: partial(taking.give_back, units=units), UNITS),
    st.builds(lambda place: partial(handling.move, place=place, units=None), PLACES),
    st.builds(lambda place, n: partial(handling.move, place=place, units=n), PLACES, UNITS),
    st.builds(lambda n: partial(handling.open_units, units=n, opened_on=None), UNITS),
    st.builds(
        lambda n, into: partial(
            handling.repack, units=n, into_units=into, net_mass_g=50.0, repacked_on=None
        ),
        UNITS,
        UNITS,
    ),
    st.sampled_from([custody.share, custody.take_back]),
    st.builds(lambda: partial(custody.quarantine, why="recalled?")),
    st.builds(lambda: partial(custody.release, why="not ours")),
    st.builds(lambda reading: partial(labels.record, reading=reading), READINGS),
    st.builds(lambda number: partial(same_label, number=number), st.integers(0, 20)),
    st.builds(lambda number: partial(settled, number=number), st.integers(1, 8)),
    st.builds(lambda place, units: partial(counted, place=place, units=units), PLACES, UNITS),
    st.builds(lambda *said: partial(packed, said=said), PLACES, FEW, FEW, st.booleans()),
    st.builds(
        lambda place, n: partial(with_a_kit, deed=kits.move_kit, number=n, place=place), PLACES, FEW
    ),
    st.builds(
        lambda deed, n: partial(with_a_kit, deed=deed, number=n),
        st.sampled_from([kits.unpack_kit, kits.eat_kit]),
        FEW,
    ),
    st.builds(
        lambda n, units, outcome: partial(settled_round, number=n, units=units, outcome=outcome),
        FEW,
        UNITS,
        st.sampled_from(RoundOutcome),
    ),
    st.builds(lambda units: partial(corrected, units=units), UNITS),
    st.builds(lambda *said: partial(promised, said=said), UNITS, FEW),
    st.builds(lambda n, went: partial(handed_off, number=n, went=went), FEW, st.integers(0, 9)),
    st.builds(lambda n: partial(lapsed, number=n), FEW),
)
_numbers = count(1)


def counted(writing: Writing, lot: LotId, *, place: PlaceId, units: int) -> object:
    return taking.count_place(writing, place, units_by_lot={lot: units})


def same_label(writing: Writing, lot: LotId, *, number: int) -> object:
    chosen = select(LOT.c.id).where(LOT.c.store == writing.store).order_by(LOT.c.id)
    lots = writing.connection.scalars(chosen).all()
    return labels.same_label(writing, lot, as_lot=LotId(lots[number % len(lots)]))


def settled(writing: Writing, lot: LotId, *, number: int) -> object:
    revision = find(writing, lot).revision
    return labels.settle(writing, lot, keep=(number,), why="looked", if_revision=revision)


def packed(writing: Writing, lot: LotId, *, said: tuple[PlaceId, int, int, bool]) -> object:
    """Put up two kits of one lot, for its owner, with a bag or without."""
    place, first, second, has_bag = said
    owner = find(writing, lot).owner
    bags = (WareTaken(kind=WareKind.BAG, place=SHELF, units=1),) if has_bag else ()
    asked = [
        KitToPack(
            name="kit",
            persons=1,
            items=(KitItem(lot=lot, units=units),),
            wares=bags,
            household=None if owner is None else HouseholdId(owner),
        )
        for units in (first, second)
    ]
    return kits.put_up(writing, asked, place=place)


def any_kit(writing: Writing, number: int) -> KitId:
    """Choose a closed kit; one that is not there where there is none."""
    closed = (KIT.c.store == writing.store, KIT.c.state == KitState.CLOSED)
    chosen = select(KIT.c.id).where(*closed).order_by(KIT.c.id)
    found = writing.connection.scalars(chosen).all()
    return KitId(found[number % len(found)] if found else "K-none")


def with_a_kit(
    writing: Writing, lot: LotId, *, deed: Deed, number: int, place: PlaceId | None = None
) -> object:
    """Do something with a kit, whichever lot it is."""
    kit = any_kit(writing, number)
    return deed(writing, kit) if place is None else deed(writing, kit, place=place)


def settled_round(
    writing: Writing, lot: LotId, *, number: int, units: int, outcome: RoundOutcome
) -> object:
    """Record a round of two decisions, on a lot and on a kit, or on the one that it can be on."""
    on_lot = RoundDecision(lot=lot, outcome=outcome, units=units, why="due", to="the next town")
    on_kit = RoundDecision(kit=any_kit(writing, number), outcome=outcome)
    decisions = {
        RoundOutcome.EATEN: [on_lot, on_kit],
        RoundOutcome.UNPACKED: [on_kit, replace(on_lot, outcome=RoundOutcome.DISCARDED)],
    }.get(outcome, [on_lot])
    return settle_round(writing, writing.today, decisions=decisions)


def corrected(writing: Writing, lot: LotId, *, units: int) -> object:
    revision = find(writing, lot).revision
    correction = custody.Correction(units=units)
    return custody.correct(writing, lot, correction=correction, why="seen", if_revision=revision)


def promised(writing: Writing, lot: LotId, *, said: tuple[int, int]) -> object:
    """Promise units of one lot for two visits."""
    held = find(writing, lot)
    first, second = said
    later = OPENS + timedelta(days=14)
    return promises.promise(writing, [visit((held, first)), visit((held, second), opens_at=later)])


def any_promise(writing: Writing, number: int) -> PromiseId:
    """Choose an open promise; one that is not there where there is none."""
    found = open_promises(writing.connection, writing.store)
    return found[number % len(found)].id if found else PromiseId("R-none")


def handed_off(writing: Writing, lot: LotId, *, number: int, went: int) -> object:
    """Hand off some units, or too many, of a promise, whichever lot it is."""
    kept = read_promise(writing, any_promise(writing, number))
    units = {line.lot: went for line in kept.lines}
    return promises.hand_off(writing, kept.id, went=units, why="no room", if_revision=kept.revision)


def lapsed(writing: Writing, lot: LotId, *, number: int) -> object:
    """Let a promise lapse, whichever lot it is."""
    return promises.lapse(writing, any_promise(writing, number), why=None, if_revision=1)


def ever_read(engine: Engine, lot: LotId, *, store: StoreId) -> set[LabelReading]:
    entries = look(engine, partial(label_history, lot=lot), store=store)
    return {reading for entry in entries for reading in (*entry.readings, *entry.no_longer)}


@cache
def _engine() -> Engine:
    return migrated(SQLITE)


@settings(max_examples=60, deadline=None)
@given(deeds=st.lists(st.tuples(st.integers(0, 20), DEEDS), max_size=25))
def test_after_any_deeds_the_books_balance_and_every_label_has_its_history(
    deeds: list[tuple[int, Deed]],
) -> None:
    engine, store = _engine(), StoreId(f"store-{next(_numbers)}")
    begin_ground(engine, small_store(store))
    us = someone(store=store)
    first, _ = put_up(engine, box(9), box(4, owner=PEANUT_HOME), by=us)
    change(engine, partial(receive_wares, kind=WareKind.BAG, place=SHELF, units=5), by=us)
    asked = partial(packed, lot=LotId(first.id), said=(CELLAR, 2, 1, True))
    change(engine, asked, by=us)
    change(engine, partial(add_partner, partner=PARTNER), by=us)
    change(engine, partial(promised, lot=LotId(first.id), said=(1, 2)), by=us)
    version, done = version_of(engine, store), 0
    for number, deed in deeds:
        lots = sorted(lots_of(engine, store))
        lot = LotId(lots[number % len(lots)])
        with suppress(StoreRefused, FieldsRefused):
            change(engine, lambda writing: deed(writing, lot=lot), by=us)  # noqa: B023
            done += 1
        assert books_balance(engine, store)
        assert kits_balance(engine, store)
        assert promises_balance(engine, store)
    for id_, held in lots_of(engine, store).items():
        standing = readings_from(held.reading)
        assert len(standing) == len(set(standing)) <= MOST_READINGS
        assert len(signed_readings(held.reading, held.read_by)) == len(standing)
        assert set(standing) <= ever_read(engine, LotId(id_), store=store)
    assert version_of(engine, store) == version + done
