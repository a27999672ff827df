"""Claims about partners: kept whole, changed by revision, and never from under an open promise."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from functools import partial

import pytest
from sqlalchemy import Engine

from daysworth.db.partners import (
    KeptPartner,
    add_partner,
    change_partner,
    list_partners,
    partners_of,
    read_partner,
    remove_partner,
)
from daysworth.db.transactions import Writing
from daysworth.domain.errors import FieldsRefused, NotAsItWas, NotThere, PartnerHeld
from daysworth.domain.identifiers import PartnerId, WindowId
from daysworth.domain.partners import Partner
from daysworth.domain.snapshot import MOST_PARTNERS
from tests.db.promise_grounds import (
    FRIDAY,
    FRIDAYS,
    KITCHEN,
    OPENS,
    PARTNER,
    VISIT_DAY,
    add_kitchen,
    hand_off,
    lapse,
    promise,
    promise_of,
    visit,
)
from tests.grounds import (
    OTHER_STORE,
    begin_ground,
    change,
    look,
    promises_balance,
    put_up,
    small_store,
    someone,
    version_of,
)

TUESDAY_WINDOW, FRIDAY_WINDOW = PARTNER.windows


def kitchen_of(engine: Engine) -> KeptPartner:
    return look(engine, partial(read_partner, partner=KITCHEN))


def changed(engine: Engine, partner: Partner, *, if_revision: int = 1) -> KeptPartner:
    return change(
        engine, partial(change_partner, id_=KITCHEN, partner=partner, if_revision=if_revision)
    )


def removed(engine: Engine, *, if_revision: int = 1) -> None:
    change(engine, partial(remove_partner, id_=KITCHEN, if_revision=if_revision))


def with_windows(*windows: object) -> Partner:
    return replace(PARTNER, windows=windows)  # type: ignore[arg-type]


def test_a_partner_comes_back_as_it_was_given(engine: Engine) -> None:
    kept = add_kitchen(engine)
    assert kept == KeptPartner(partner=PARTNER, revision=1)
    assert kitchen_of(engine) == kept
    assert look(engine, list_partners) == [kept]


def test_a_partner_says_when_it_cannot_be_kept(engine: Engine) -> None:
    add_kitchen(engine)
    asked = replace(PARTNER, contact="two\nlines", windows=())
    with pytest.raises(FieldsRefused) as refused:
        change(engine, partial(add_partner, partner=asked))
    assert [fault.where for fault in refused.value.faults] == ["id", "contact"]
    with pytest.raises(FieldsRefused, match="has no slash"):
        change(engine, partial(add_partner, partner=replace(PARTNER, id=PartnerId("a/b"))))
    assert look(engine, list_partners) == [kitchen_of(engine)]


def test_every_change_of_a_partner_raises_the_stores_version(engine: Engine) -> None:
    before = version_of(engine)
    add_kitchen(engine)
    changed(engine, replace(PARTNER, name="Moss Lane soup kitchen"))
    removed(engine, if_revision=2)
    assert version_of(engine) == before + 3


def test_a_partner_is_changed_as_it_was_looked_at_or_not_at_all(engine: Engine) -> None:
    add_kitchen(engine)
    assert changed(engine, replace(PARTNER, rules=())).revision == 2
    for deed in (
        lambda: changed(engine, PARTNER, if_revision=1),
        lambda: removed(engine, if_revision=1),
    ):
        with pytest.raises(NotAsItWas, match="was changed since you looked"):
            deed()
    assert kitchen_of(engine) == KeptPartner(partner=replace(PARTNER, rules=()), revision=2)


def test_a_partner_keeps_its_id(engine: Engine) -> None:
    add_kitchen(engine)
    with pytest.raises(FieldsRefused, match="id: is 'kitchen', and stays so"):
        changed(engine, replace(PARTNER, id=PartnerId("school")))
    assert kitchen_of(engine).partner == PARTNER


@pytest.mark.parametrize(
    "deed",
    [
        partial(read_partner, partner=PartnerId("moon")),
        partial(change_partner, id_=PartnerId("moon"), partner=PARTNER, if_revision=1),
        partial(remove_partner, id_=PartnerId("moon"), if_revision=1),
    ],
)
def test_a_partner_that_is_not_there_is_not_there(
    engine: Engine, deed: Callable[[Writing], object]
) -> None:
    add_kitchen(engine)
    with pytest.raises(NotThere, match="there is no partner 'moon'"):
        change(engine, deed)


def test_partners_are_listed_by_name_and_loaded_by_id(engine: Engine) -> None:
    for id_, name in (("p1", "zeal"), ("p2", "Amber"), ("p3", "moss")):
        change(
            engine, partial(add_partner, partner=Partner(id=PartnerId(id_), name=name, contact="x"))
        )
    assert [one.partner.id for one in look(engine, list_partners)] == ["p2", "p3", "p1"]
    loaded = look(engine, lambda reading: partners_of(reading.connection, reading.store))
    assert [one.id for one in loaded] == ["p1", "p2", "p3"]


def test_a_partner_of_one_store_is_none_of_another(engine: Engine) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    add_kitchen(engine)
    assert look(engine, list_partners, store=OTHER_STORE) == []
    other = replace(PARTNER, name="Another kitchen")
    change(engine, partial(add_partner, partner=other), by=someone(store=OTHER_STORE))
    assert kitchen_of(engine).partner == PARTNER


def test_a_store_has_so_many_partners_at_most(engine: Engine) -> None:
    def fill(writing: Writing) -> None:
        for number in range(MOST_PARTNERS):
            add_partner(writing, Partner(id=PartnerId(f"p{number}"), name="x"))

    change(engine, fill)
    with pytest.raises(PartnerHeld, match="200 partners at most"):
        add_kitchen(engine)


def test_a_partner_with_an_open_promise_is_not_removed(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    with pytest.raises(PartnerHeld) as refused:
        removed(engine)
    assert f"{kept.id!r} is open for the visit on 2026-09-08 at 09:00" in str(refused.value)
    assert kitchen_of(engine).partner == PARTNER
    assert promises_balance(engine)
    lapse(engine, kept)
    removed(engine)
    assert look(engine, list_partners) == []


LATER = replace(
    TUESDAY_WINDOW.recurrence,
    starts_at=datetime.fromisoformat("2026-09-15T09:00"),
)


@pytest.mark.parametrize(
    "windows",
    [
        (FRIDAY_WINDOW,),
        (replace(TUESDAY_WINDOW, id=WindowId("mornings")), FRIDAY_WINDOW),
        (replace(TUESDAY_WINDOW, open_months=frozenset({11})), FRIDAY_WINDOW),
        (replace(TUESDAY_WINDOW, recurrence=LATER), FRIDAY_WINDOW),
        (
            replace(
                TUESDAY_WINDOW,
                recurrence=replace(TUESDAY_WINDOW.recurrence, except_at=(OPENS,)),
            ),
        ),
    ],
    ids=["gone", "renamed", "closed that month", "on other weeks", "left out that day"],
)
def test_a_window_is_not_changed_from_under_an_open_promise(
    engine: Engine, windows: tuple[object, ...]
) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    with pytest.raises(PartnerHeld) as refused:
        changed(engine, with_windows(*windows))
    assert kept.id in str(refused.value)
    assert "2026-09-08 at 09:00 (window 'tuesdays')" in str(refused.value)
    assert kitchen_of(engine) == KeptPartner(partner=PARTNER, revision=1)


def test_what_leaves_every_promised_visit_as_it_is_may_be_changed(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    promise(engine, visit((lot, 2)))
    longer = replace(TUESDAY_WINDOW, minutes=240, driver="somebody else", most_kg=None)
    assert changed(engine, with_windows(longer)).revision == 2


def test_every_promise_that_stands_in_the_way_is_named(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    friday, tuesday = promise(
        engine, visit((lot, 1), window=FRIDAYS, opens_at=FRIDAY), visit((lot, 1))
    )
    with pytest.raises(PartnerHeld) as refused:
        removed(engine)
    words = str(refused.value)
    assert 0 < words.index(friday.id) < words.index(tuesday.id)


def test_what_was_handed_off_stays_told_when_the_partner_has_gone(engine: Engine) -> None:
    (lot,) = put_up(engine)
    add_kitchen(engine)
    (kept,) = promise(engine, visit((lot, 2)))
    ended = hand_off(engine, kept, at=VISIT_DAY)
    removed(engine)
    assert promise_of(engine, kept.id) == ended
    assert ended.partner_name == PARTNER.name
