"""Claims about kept weeks: the first stands, two years are kept, and an erased home is in none."""

import json
import zlib
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date, timedelta
from functools import partial
from typing import Final, TypeVar

import pytest
from sqlalchemy import Connection, Engine, delete, func, select

from daysworth.answers.coverage import answer_coverage, to_json
from daysworth.answers.kept_weeks import export_of, snapshot_of
from daysworth.db import transactions
from daysworth.db.households import read_household
from daysworth.db.kept_exports import (
    MOST_KEPT,
    KeptExport,
    find_key,
    has_all,
    keep_export,
    kept_week,
    key_for_keeping,
    list_kept_weeks,
    read_export,
    read_kept_week,
)
from daysworth.db.kits import KeptKit
from daysworth.db.leaving import OwnStock, erase_household
from daysworth.db.snapshots import load_snapshot
from daysworth.db.tables import KEPT_EXPORT, KEPT_HOME, PSEUDONYM_KEY
from daysworth.db.transactions import Writing
from daysworth.domain.errors import NotThere
from daysworth.domain.identifiers import HouseholdId, StoreId
from daysworth.domain.iso_weeks import Week
from daysworth.domain.pseudonyms import KEY_BYTES, household_pseudonym, recognised
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario, StockScope
from tests.db.kit_grounds import pack, to_pack
from tests.db.promise_grounds import PARTNER, add_kitchen, promise, visit
from tests.grounds import (
    NOON,
    OTHER_HOME,
    OTHER_STORE,
    PEANUT_HOME,
    STORE_ID,
    begin_ground,
    box,
    change,
    look,
    put_up,
    small_store,
)

WEEK: Final = Week(2026, 36)
EVERYTHING: Final = Scenario(stock=StockScope.ALL)
Result = TypeVar("Result")


def beside(
    engine: Engine, work: Callable[[Connection], Result], *, store: StoreId = STORE_ID
) -> Result:
    return transactions.write_beside(engine, work, store=store)


def key_of(engine: Engine, store: StoreId = STORE_ID) -> bytes:
    return beside(engine, partial(key_for_keeping, store=store), store=store)


def current(engine: Engine, store: StoreId = STORE_ID) -> Snapshot:
    return look(engine, partial(load_snapshot, at=NOON), store=store)


def keep(engine: Engine, *weeks: Week, store: StoreId = STORE_ID) -> None:
    """Keep the store as it is for some weeks."""
    key, snapshot = key_of(engine, store), current(engine, store)
    for week in weeks:
        export = export_of(snapshot, week, key=key, taken_on=NOON.date(), at=NOON)
        assert export is not None
        beside(engine, partial(keep_export, store=store, export=export), store=store)


def kept(engine: Engine, week: Week = WEEK, *, store: StoreId = STORE_ID) -> KeptExport:
    return look(engine, partial(read_export, week=week), store=store)


def listed(engine: Engine, *, after: str = "", limit: int = 500) -> list[str]:
    page = look(engine, partial(list_kept_weeks, after=after, limit=limit))
    return [one.week for one in page.items]


def erase(engine: Engine, household: HouseholdId, *, own_stock: OwnStock | None = None) -> None:
    def leave(writing: Writing) -> None:
        revision = read_household(writing, household).revision
        erase_household(writing, household, own_stock=own_stock, if_revision=revision)

    change(engine, leave)


def everything_kept(engine: Engine, store: StoreId = STORE_ID) -> bytes:
    """Give all bytes of a store's exports, unpacked."""

    def all_of(reading: transactions.Reading) -> Iterable[bytes]:
        for row in reading.connection.execute(select(KEPT_EXPORT)).all():
            yield repr((row.week, row.kept_at, row.rewritten_at)).encode()
            yield zlib.decompress(row.stock)
        for row in reading.connection.execute(select(KEPT_HOME)).all():
            yield row.pseudonym.encode()
            yield zlib.decompress(row.home)

    return look(engine, lambda reading: b"\n".join(all_of(reading)), store=store)


def test_what_was_kept_is_the_store_as_it_was_under_pseudonyms(engine: Engine) -> None:
    put_up(engine, box(6), box(4, owner=PEANUT_HOME, is_shared=False), box(5, owner=OTHER_HOME))
    before = current(engine)
    keep(engine, WEEK)
    put_up(engine, box(100))
    back = recognised(snapshot_of(kept(engine)), of=before, key=key_of(engine))
    assert (back.version, len(back.lots)) == (before.version, 3)
    day = NOON.date()
    assert to_json(answer_coverage(back, day, scenario=EVERYTHING)) == to_json(
        answer_coverage(before, day, scenario=EVERYTHING)
    )


def test_nothing_kept_names_a_household_or_a_member(engine: Engine) -> None:
    put_up(engine, box(4, owner=PEANUT_HOME, is_shared=False), box(5, owner=OTHER_HOME))
    keep(engine, WEEK)
    found = everything_kept(engine)
    assert b'"allergy":"peanut"' in found
    for named in (b"H-peanut", b"H-other", b'"M-1"', b'"M-2"'):
        assert named not in found


def test_what_is_kept_first_in_a_week_stands(engine: Engine) -> None:
    keep(engine, WEEK)
    first = kept(engine)
    put_up(engine, box(100))
    keep(engine, WEEK)
    assert kept(engine) == first


def test_two_years_of_weeks_are_kept_and_the_oldest_goes_first(engine: Engine) -> None:
    first = date(2026, 9, 2)
    weeks = [Week.of(first + timedelta(weeks=n)) for n in range(MOST_KEPT + 3)]
    keep(engine, *weeks)
    assert MOST_KEPT >= 2 * 53
    assert listed(engine) == [str(week) for week in reversed(weeks[3:])]
    homes = look(
        engine,
        lambda r: r.connection.execute(select(func.count()).select_from(KEPT_HOME)).scalar_one(),
    )
    assert homes == 2 * MOST_KEPT
    with pytest.raises(NotThere, match="when its notice is first posted"):
        kept(engine, weeks[0])
    with pytest.raises(NotThere, match="when its notice is first posted"):
        look(engine, partial(read_kept_week, week=weeks[2]))


def test_weeks_are_listed_a_page_at_a_time_the_newest_first(engine: Engine) -> None:
    keep(engine, Week(2026, 53), Week(2027, 1), Week(2026, 52))
    assert listed(engine, limit=2) == ["2027-W01", "2026-W53"]
    assert listed(engine, after="2026-W53", limit=2) == ["2026-W52"]


def test_an_erased_household_is_in_no_export_and_the_others_stay(engine: Engine) -> None:
    put_up(
        engine,
        box(4, owner=PEANUT_HOME, is_shared=False),
        box(5, owner=PEANUT_HOME),
        box(7, owner=OTHER_HOME, is_shared=False),
    )
    weeks = (WEEK, Week(2026, 37))
    keep(engine, *weeks)
    key = key_of(engine)
    name = household_pseudonym(PEANUT_HOME, key=key).encode()
    assert name in everything_kept(engine)
    erase(engine, PEANUT_HOME, own_stock=OwnStock.RETURNED)
    found = everything_kept(engine)
    assert name not in found
    assert b'"allergy":"peanut"' not in found
    for week in weeks:
        export = kept(engine, week)
        assert export.kept.rewritten_at == "2026-09-01T12:00:00.000000Z"
        left = snapshot_of(export)
        assert [home.id for home in left.households] == [household_pseudonym(OTHER_HOME, key=key)]
        assert sorted(lot.units for lot in left.lots) == [5, 7]


def test_the_figures_of_an_export_are_then_those_without_that_household(engine: Engine) -> None:
    put_up(engine, box(60), box(5, owner=PEANUT_HOME))
    before = current(engine)
    keep(engine, WEEK)
    key = key_of(engine)
    erase(engine, PEANUT_HOME, own_stock=OwnStock.GIVEN)
    left = recognised(snapshot_of(kept(engine)), of=before, key=key)
    without = replace(
        before,
        households=tuple(home for home in before.households if home.id != PEANUT_HOME),
        lots=tuple(replace(lot, owner=None) for lot in before.lots),
    )
    day = NOON.date()
    assert to_json(answer_coverage(left, day, scenario=EVERYTHING)) == to_json(
        answer_coverage(without, day, scenario=EVERYTHING)
    )


def test_an_export_that_a_household_was_never_in_is_not_rewritten(engine: Engine) -> None:
    keep(engine, WEEK)
    erase(engine, PEANUT_HOME)
    later = Week(2026, 37)
    keep(engine, later)
    erase(engine, OTHER_HOME)
    assert kept(engine, later).kept.rewritten_at is not None
    assert look(engine, find_key) == key_of(engine)
    empty = Week(2026, 38)
    keep(engine, empty)
    assert kept(engine, empty).kept.rewritten_at is None
    assert snapshot_of(kept(engine, empty)).households == ()


def test_a_store_has_one_key_and_another_store_another(engine: Engine) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    assert look(engine, find_key) is None
    first, second = key_of(engine), key_of(engine, OTHER_STORE)
    assert len(first) == len(second) == KEY_BYTES
    assert first == key_of(engine) == look(engine, find_key)
    assert first != second
    with pytest.raises(NotThere):
        key_of(engine, StoreId("nowhere"))


def test_erasing_in_one_store_leaves_another_stores_weeks_alone(engine: Engine) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    keep(engine, WEEK)
    keep(engine, WEEK, store=OTHER_STORE)
    before = kept(engine, store=OTHER_STORE)
    erase(engine, PEANUT_HOME)
    assert kept(engine, store=OTHER_STORE) == before
    assert len(kept(engine).homes) == 1


def test_exports_whose_key_is_lost_go_with_the_next_erasure(engine: Engine) -> None:
    keep(engine, WEEK)
    beside(engine, lambda c: c.execute(delete(PSEUDONYM_KEY)))
    erase(engine, PEANUT_HOME)
    assert listed(engine) == []


def test_a_new_key_begins_without_the_exports_of_a_lost_one(engine: Engine) -> None:
    keep(engine, WEEK)
    beside(engine, lambda c: c.execute(delete(PSEUDONYM_KEY)))
    keep(engine, Week(2026, 37))
    assert listed(engine) == ["2026-W37"]


def test_households_are_all_there_until_one_is_erased(engine: Engine) -> None:
    homes = {PEANUT_HOME, OTHER_HOME}
    assert beside(engine, partial(has_all, store=STORE_ID, homes=homes))
    erase(engine, PEANUT_HOME)
    assert not beside(engine, partial(has_all, store=STORE_ID, homes=homes))
    assert beside(engine, partial(has_all, store=STORE_ID, homes={OTHER_HOME}))


def test_the_same_export_is_the_same_bytes(engine: Engine) -> None:
    put_up(engine, box(6), box(4, owner=PEANUT_HOME, is_shared=False))
    snapshot, key = current(engine), key_of(engine)
    first, second = (
        export_of(snapshot, WEEK, key=key, taken_on=NOON.date(), at=NOON) for _ in range(2)
    )
    assert first == second
    assert first is not None
    assert first.kept == kept_week(WEEK, version=snapshot.version, taken_on=NOON.date(), at=NOON)


def put_up_kits(engine: Engine) -> tuple[KeptKit, KeptKit]:
    """Put up a kit for the peanut home, of its own and of everyone's, and one for anybody."""
    shared, own = put_up(engine, box(9), box(4, owner=PEANUT_HOME, is_shared=False))
    theirs = to_pack(
        (shared, 2), (own, 1), household=PEANUT_HOME, name="For the Peanuts", steps=("Ring M-2.",)
    )
    first, second = pack(engine, theirs, to_pack((shared, 3)))
    return first, second


def test_kits_are_kept_with_whom_they_were_put_up_for_under_a_pseudonym(engine: Engine) -> None:
    first, second = put_up_kits(engine)
    before = current(engine)
    keep(engine, WEEK)
    found = everything_kept(engine)
    for named in (b"H-peanut", b"For the Peanuts", b"M-2"):
        assert named not in found
    left = snapshot_of(kept(engine))
    assert {kit.id: kit.household for kit in left.kits} == {
        first.id: household_pseudonym(PEANUT_HOME, key=key_of(engine)),
        second.id: None,
    }
    back = recognised(left, of=before, key=key_of(engine))
    assert {kit.id: (kit.household, kit.items, kit.wares) for kit in back.kits} == {
        kit.id: (kit.household, kit.items, kit.wares) for kit in before.kits
    }


def test_an_erased_households_kits_are_in_no_export_and_anybodys_stay(engine: Engine) -> None:
    first, second = put_up_kits(engine)
    keep(engine, WEEK)
    erase(engine, PEANUT_HOME, own_stock=OwnStock.GIVEN)
    found = everything_kept(engine)
    assert household_pseudonym(PEANUT_HOME, key=key_of(engine)).encode() not in found
    assert first.id.encode() not in found
    left = snapshot_of(kept(engine))
    assert [kit.id for kit in left.kits] == [second.id]
    (packed,) = [lot for lot in left.lots if lot.units_in_kits]
    assert (packed.units, packed.units_in_kits) == (5, 5)


def test_anybodys_kit_with_an_erased_households_stock_in_it_is_left_out(engine: Engine) -> None:
    put_up_kits(engine)
    snapshot = current(engine)
    anybodys = replace(snapshot, kits=tuple(replace(kit, household=None) for kit in snapshot.kits))
    key = key_of(engine)
    export = export_of(anybodys, WEEK, key=key, taken_on=NOON.date(), at=NOON)
    assert export is not None
    assert len(snapshot_of(export).kits) == 2
    name = household_pseudonym(PEANUT_HOME, key=key)
    without = {home: piece for home, piece in export.homes.items() if home != name}
    assert len(snapshot_of(replace(export, homes=without)).kits) == 1


def test_partners_and_open_promises_are_kept_with_the_stock(engine: Engine) -> None:
    mine, ours = put_up(engine, box(5, owner=PEANUT_HOME), box(9))
    add_kitchen(engine)
    promise(engine, visit((mine, 2), (ours, 3)))
    before = current(engine)
    keep(engine, WEEK)
    back = snapshot_of(kept(engine))
    assert back.promises == before.promises
    (partner,) = back.partners
    assert (partner.id, partner.rules) == (PARTNER.id, PARTNER.rules)
    assert [window.recurrence for window in partner.windows] == [
        window.recurrence for window in PARTNER.windows
    ]
    assert PARTNER.contact.encode() not in everything_kept(engine)


def test_a_promise_with_an_erased_households_stock_in_it_is_left_out(engine: Engine) -> None:
    mine, ours = put_up(engine, box(5, owner=PEANUT_HOME), box(9))
    add_kitchen(engine)
    first, second = promise(engine, visit((mine, 2), (ours, 3)), visit((ours, 1)))
    snapshot = current(engine)
    kept_back = tuple(replace(lot, is_shared=lot.owner is None) for lot in snapshot.lots)
    key = key_of(engine)
    export = export_of(
        replace(snapshot, lots=kept_back), WEEK, key=key, taken_on=NOON.date(), at=NOON
    )
    assert export is not None
    whole = {one.id for one in snapshot_of(export).promises}
    assert whole == {first.id, second.id}
    gone = household_pseudonym(PEANUT_HOME, key=key)
    without = {name: home for name, home in export.homes.items() if name != gone}
    left = snapshot_of(replace(export, homes=without))
    assert [one.id for one in left.promises] == [second.id]


def test_an_export_of_a_release_without_kits_is_read_still(engine: Engine) -> None:
    put_up(engine, box(6), box(4, owner=PEANUT_HOME, is_shared=False))
    keep(engine, WEEK)
    export = kept(engine)
    stock = json.loads(export.stock)
    homes = {home: json.loads(piece) for home, piece in export.homes.items()}
    for name in ("kits", "wares", "patterns", "partners", "promises"):
        del stock[name]
    for place in stock["places"]:
        del place["walk_position"]
    for piece in homes.values():
        del piece["kits"]
    older = replace(
        export,
        stock=json.dumps({**stock, "format": "daysworth-snapshot-2"}).encode(),
        homes={home: json.dumps(piece).encode() for home, piece in homes.items()},
    )
    assert snapshot_of(older) == snapshot_of(export)
