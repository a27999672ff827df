"""Claims about readings of labels: they stand beside one another, and none is ever lost."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from functools import partial

import pytest
from sqlalchemy import Engine

from daysworth.db.label_history import LabelEntry, food_labels, label_history
from daysworth.db.ledger import custody, handling, labels
from daysworth.db.ledger.held import Held
from daysworth.db.ledger.intake import receive
from daysworth.db.readings_kept import readings_from, signed_readings
from daysworth.db.snapshots import load_snapshot
from daysworth.db.transactions import Writing
from daysworth.domain.entries import Credential, Role
from daysworth.domain.errors import FieldsRefused, NotAsItWas, NotThere, StockRefused
from daysworth.domain.identifiers import FoodId, LotId
from daysworth.domain.intake import Warned
from daysworth.domain.labels import Claim, LabelReading, Regime
from daysworth.domain.lots import MOST_READINGS
from daysworth.domain.restrictions import Substance
from tests.grounds import (
    CELLAR,
    NOON,
    PEANUT_HOME,
    SALMON,
    books_balance,
    box,
    change,
    look,
    lots_of,
    put_up,
    someone,
    version_of,
)

FISH = frozenset({Substance.FISH})
PLAIN = LabelReading(contains=FISH, text="Ingredients: salmon, salt.", is_whole=True)
EVERYTHING = LabelReading(
    contains=FISH,
    may_contain=frozenset({Substance.MILK}),
    free_from=frozenset({Substance.GLUTEN}),
    not_declared=frozenset({Substance.PEANUT, Substance.EGG}),
    claims=frozenset({Claim.GLUTEN_FREE, Claim.KOSHER_CERTIFIED}),
    text="Ingredients:\tsalmon,\r\nsalt \x1b[2J \u202e eau salée \U0001f41f",
    is_whole=True,
    language="fr-CA",
    regime=Regime.EU,
    packed_on=date(2026, 9, 1),
)
BARLEY = FoodId("pearl_barley_dry")
HOME = someone(Role.HOUSEHOLD)


def numbered(number: int) -> LabelReading:
    return replace(PLAIN, text=f"Ingredients: salmon, salt. Tin {number}.")


def record(engine: Engine, lot: Held, reading: LabelReading, by: Credential | None = None) -> Held:
    deed = partial(labels.record, lot=LotId(lot.id), reading=reading)
    return change(engine, deed, by=by)


def standing(lot: Held) -> tuple[LabelReading, ...]:
    return readings_from(lot.reading)


def history(engine: Engine, lot: Held) -> list[LabelEntry]:
    return look(engine, partial(label_history, lot=LotId(lot.id)))


def refused(engine: Engine, deed: Callable[[Writing], object], error: type[Exception]) -> str:
    """Run a deed that must be refused and change nothing, and give what is said of it."""
    before, version = lots_of(engine), version_of(engine)
    with pytest.raises(error) as caught:
        change(engine, deed)
    assert (lots_of(engine), version_of(engine)) == (before, version)
    return str(caught.value)


def test_a_reading_is_kept_to_the_last_sign_whatever_stands_in_it(engine: Engine) -> None:
    (lot,) = put_up(engine)
    after = record(engine, lot, EVERYTHING)
    assert after == lots_of(engine)[lot.id]
    assert standing(after) == (EVERYTHING,)
    (entry,) = history(engine, lot)
    assert (entry.kind, entry.readings) == ("label_read", (EVERYTHING,))
    (planned,) = look(engine, partial(load_snapshot, at=NOON)).lots
    assert planned.readings == (EVERYTHING,)


def test_who_read_and_when_stands_beside_each_reading(engine: Engine) -> None:
    (lot,) = put_up(engine, box(reading=PLAIN), by=someone(Role.VOLUNTEER))
    after = record(engine, lot, EVERYTHING)
    signed = signed_readings(after.reading, after.read_by)
    assert [(one.by, one.reading) for one in signed] == [
        ("a volunteer", PLAIN),
        ("a coordinator", EVERYTHING),
    ]
    assert {one.at for one in signed} == {"2026-09-01T12:00:00.000000Z"}


def test_a_second_reading_stands_beside_the_first_and_units_stay(engine: Engine) -> None:
    (lot,) = put_up(engine, box(6, reading=PLAIN))
    after = record(engine, lot, EVERYTHING)
    assert standing(after) == (PLAIN, EVERYTHING)
    assert (after.units, after.revision) == (6, 2)
    assert books_balance(engine)


def test_the_same_reading_again_is_an_entry_and_no_second_reading(engine: Engine) -> None:
    (lot,) = put_up(engine, box(reading=PLAIN))
    after = record(engine, lot, PLAIN)
    assert standing(after) == (PLAIN,)
    assert [entry.kind for entry in history(engine, lot)] == ["received", "label_read"]


def test_eight_readings_stand_and_a_ninth_waits_for_a_coordinator(engine: Engine) -> None:
    (lot,) = put_up(engine)
    for number in range(MOST_READINGS):
        record(engine, lot, numbered(number))
    deed = partial(labels.record, lot=LotId(lot.id), reading=PLAIN)
    assert "ask a coordinator to settle them" in refused(engine, deed, StockRefused)
    assert standing(record(engine, lot, numbered(3)))[3] == numbered(3)


@pytest.mark.parametrize("day", [date(1999, 12, 31), NOON.date() + timedelta(days=1)], ids=str)
def test_no_pack_was_packed_before_2000_or_after_today(engine: Engine, day: date) -> None:
    (lot,) = put_up(engine, box(reading=PLAIN))
    reading = replace(PLAIN, packed_on=day)
    words = "packed_on: must be a day from 2000 to today"
    id_ = LotId(lot.id)
    correction = custody.Correction(reading=reading)
    for deed in (
        partial(labels.record, lot=id_, reading=reading),
        partial(labels.settle, lot=id_, keep=reading, why="x", if_revision=1),
        partial(custody.correct, lot=id_, correction=correction, why="x", if_revision=1),
    ):
        assert words in refused(engine, deed, FieldsRefused)
    with pytest.raises(FieldsRefused, match="lines number 1 > reading > packed_on"):
        put_up(engine, box(reading=reading))


# --- the same label ---


def test_the_same_label_brings_the_readings_of_the_other_lot_and_who_made_them(
    engine: Engine,
) -> None:
    read, new = put_up(engine, box(reading=PLAIN), box(3), by=someone(Role.VOLUNTEER))
    after = change(engine, partial(labels.same_label, lot=LotId(new.id), as_lot=LotId(read.id)))
    (signed,) = signed_readings(after.reading, after.read_by)
    assert (signed.reading, signed.by) == (PLAIN, "a volunteer")
    (entry,) = history(engine, new)
    assert (entry.kind, entry.by, entry.readings) == ("label_same", "a coordinator", (PLAIN,))


def test_the_same_label_adds_to_what_was_read_on_this_lot(engine: Engine) -> None:
    one, other = put_up(engine, box(reading=PLAIN), box(reading=EVERYTHING))
    after = change(engine, partial(labels.same_label, lot=LotId(one.id), as_lot=LotId(other.id)))
    assert standing(after) == (PLAIN, EVERYTHING)


def test_a_label_is_not_the_same_as_that_of_another_food_or_one_unread(engine: Engine) -> None:
    lot, unread, barley = put_up(engine, box(), box(), box(food=BARLEY, reading=PLAIN))
    (words,) = put_up(engine, box(food=None, words="jars", reading=PLAIN))
    for as_lot, said in (
        (unread, "was not read yet"),
        (barley, "is of another food"),
        (words, "is of another food"),
        (lot, "name another lot"),
    ):
        deed = partial(labels.same_label, lot=LotId(lot.id), as_lot=LotId(as_lot.id))
        assert said in refused(engine, deed, StockRefused)
    deed = partial(labels.same_label, lot=LotId(words.id), as_lot=LotId(lot.id))
    assert "is of another food" in refused(engine, deed, StockRefused)


def test_a_household_compares_with_its_own_lots_alone(engine: Engine) -> None:
    own = box(owner=PEANUT_HOME, reading=PLAIN)
    shared, mine = put_up(engine, box(reading=EVERYTHING), own)
    (new,) = put_up(engine, box(owner=PEANUT_HOME), by=HOME)
    with pytest.raises(NotThere):
        change(
            engine,
            partial(labels.same_label, lot=LotId(new.id), as_lot=LotId(shared.id)),
            by=HOME,
        )
    deed = partial(labels.same_label, lot=LotId(new.id), as_lot=LotId(mine.id))
    assert standing(change(engine, deed, by=HOME)) == (PLAIN,)
    with pytest.raises(FieldsRefused, match="same_label_as: there is no lot"):
        put_up(engine, box(owner=PEANUT_HOME, same_label_as=LotId(shared.id)), by=HOME)


def test_a_box_takes_over_a_label_in_the_write_that_receives_it(engine: Engine) -> None:
    (read,) = put_up(engine, box(reading=PLAIN))
    before = version_of(engine)
    (new,) = put_up(engine, box(3, same_label_as=LotId(read.id)))
    assert (standing(new), version_of(engine)) == ((PLAIN,), before + 1)
    assert [entry.readings for entry in history(engine, new)] == [(PLAIN,)]


def test_a_box_whose_label_can_not_be_that_one_is_refused_with_its_line(engine: Engine) -> None:
    unread, barley = put_up(engine, box(), box(food=BARLEY, reading=PLAIN))
    for as_lot, said in (
        (LotId(unread.id), "was not read yet"),
        (LotId(barley.id), "is of another food"),
        (LotId("L-none"), "there is no lot 'L-none'"),
    ):
        with pytest.raises(FieldsRefused) as caught:
            put_up(engine, box(), box(same_label_as=as_lot))
        (fault,) = caught.value.faults
        assert fault.where == "lines number 2 > same_label_as"
        assert said in fault.what


# --- warnings at intake ---


def warned(engine: Engine, *, by: Credential | None = None, **changed: object) -> bool:
    (one,) = change(engine, partial(receive, lines=[box(**changed)]), by=by)  # type: ignore[arg-type]
    return Warned.LABEL_NOT_COMPARED in dict(one.warnings)


def test_a_box_of_a_food_that_was_read_here_asks_for_a_comparison(engine: Engine) -> None:
    assert not warned(engine)
    (read,) = put_up(engine, box(reading=PLAIN))
    assert warned(engine)
    assert not warned(engine, reading=EVERYTHING)
    assert not warned(engine, same_label_as=LotId(read.id))
    assert not warned(engine, is_label_unreadable=True)
    assert not warned(engine, food=BARLEY)
    assert not warned(engine, by=HOME, owner=PEANUT_HOME)


# --- settling ---


def settled(engine: Engine, lot: Held, keep: tuple[int, ...] | LabelReading) -> Held:
    deed = partial(
        labels.settle, lot=LotId(lot.id), keep=keep, why="compared", if_revision=lot.revision
    )
    return change(engine, deed)


def test_settling_keeps_what_is_named_and_the_ledger_keeps_the_rest(engine: Engine) -> None:
    (lot,) = put_up(engine, box(reading=PLAIN))
    third = numbered(3)
    lot = record(engine, record(engine, lot, EVERYTHING), third)
    after = settled(engine, lot, (3, 1))
    assert standing(after) == (PLAIN, third)
    last = history(engine, lot)[-1]
    assert (last.kind, last.why) == ("label_settled", "compared")
    assert (last.readings, last.no_longer) == ((PLAIN, third), (EVERYTHING,))


def test_settling_by_a_new_reading_lets_it_stand_alone(engine: Engine) -> None:
    (lot,) = put_up(engine, box(reading=PLAIN))
    after = settled(engine, record(engine, lot, EVERYTHING), numbered(9))
    (signed,) = signed_readings(after.reading, after.read_by)
    assert (signed.reading, signed.by) == (numbered(9), "a coordinator")
    assert history(engine, lot)[-1].no_longer == (PLAIN, EVERYTHING)


def test_what_is_not_there_can_not_be_settled(engine: Engine) -> None:
    lot, unread = put_up(engine, box(reading=PLAIN), box())
    for keep in ((), (0,), (1, 2)):
        deed = partial(labels.settle, lot=LotId(lot.id), keep=keep, why="x", if_revision=1)
        assert "their numbers, 1 to 1" in refused(engine, deed, FieldsRefused)
    stale = partial(labels.settle, lot=LotId(lot.id), keep=(1,), why="x", if_revision=7)
    assert "look again" in refused(engine, stale, NotAsItWas)
    nothing = partial(labels.settle, lot=LotId(unread.id), keep=(1,), why="x", if_revision=1)
    assert "nothing to settle" in refused(engine, nothing, StockRefused)


def test_a_corrected_reading_stands_alone_and_the_former_ones_are_kept(engine: Engine) -> None:
    (lot,) = put_up(engine, box(reading=PLAIN))
    correction = custody.Correction(reading=EVERYTHING)
    deed = partial(
        custody.correct, lot=LotId(lot.id), correction=correction, why="misread", if_revision=1
    )
    assert standing(change(engine, deed)) == (EVERYTHING,)
    last = history(engine, lot)[-1]
    assert (last.readings, last.no_longer) == ((EVERYTHING,), (PLAIN,))


# --- parts of a lot ---


def test_parts_of_a_lot_have_its_readings_and_their_history_until_they_parted(
    engine: Engine,
) -> None:
    (lot,) = put_up(engine, box(9, reading=PLAIN))
    id_ = LotId(lot.id)
    deeds: tuple[Callable[[Writing], list[Held]], ...] = (
        partial(handling.move, lot=id_, place=CELLAR, units=2),
        partial(handling.open_units, lot=id_, units=1, opened_on=None),
        partial(handling.repack, lot=id_, units=1, into_units=2, net_mass_g=50.0, repacked_on=None),
    )
    parts = [change(engine, deed)[1] for deed in deeds]
    record(engine, lot, EVERYTHING)
    for part in parts:
        (signed,) = signed_readings(part.reading, part.read_by)
        assert (signed.reading, signed.by) == (PLAIN, "a coordinator")
        assert [(entry.lot, entry.readings) for entry in history(engine, part)] == [
            (lot.id, (PLAIN,))
        ]


# --- labels of a food ---


def test_the_labels_of_a_food_are_told_apart_the_newest_first(engine: Engine) -> None:
    (first,) = put_up(engine, box(reading=PLAIN))
    put_up(engine, box(same_label_as=LotId(first.id)), box(), box(food=BARLEY, reading=PLAIN))
    (other,) = put_up(engine, box())
    deed = partial(labels.record, lot=LotId(other.id), reading=EVERYTHING)
    change(engine, deed, at=NOON + timedelta(days=1))
    found = look(engine, partial(food_labels, food=SALMON, owner=None))
    assert [one.signed.reading for one in found] == [EVERYTHING, PLAIN]
    assert found[0].lot == other.id
    assert look(engine, partial(food_labels, food=SALMON, owner=PEANUT_HOME)) == []


def test_twenty_labels_of_a_food_are_shown(engine: Engine) -> None:
    put_up(engine, *(box(reading=numbered(number)) for number in range(23)))
    found = look(engine, partial(food_labels, food=SALMON, owner=None))
    assert len({one.signed.reading for one in found}) == 20
