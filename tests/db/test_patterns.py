"""Claims about a store's own patterns: kept whole, and made of foods that are there."""

from dataclasses import replace
from functools import partial

import pytest
from sqlalchemy import Engine

from daysworth.db.foods import add_food
from daysworth.db.pattern_kept import pattern_from, pattern_text
from daysworth.db.patterns import (
    KeptPattern,
    add_pattern,
    change_pattern,
    delete_pattern,
    list_patterns,
    read_pattern,
)
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.errors import FieldsRefused, NotAsItWas, NotThere
from daysworth.domain.identifiers import FoodId, PatternId
from daysworth.domain.meal_patterns import (
    Choice,
    MealPattern,
    Slot,
    SlotKind,
    Wanted,
)
from tests.db.kit_grounds import FISH_AND
from tests.grounds import (
    OTHER_STORE,
    SALMON,
    begin_ground,
    change,
    look,
    small_store,
    someone,
)


def with_food(food: str) -> MealPattern:
    slot = Slot(kind=SlotKind.EXTRA, choices=(Choice(foods=(Wanted(food=FoodId(food)),)),))
    return replace(FISH_AND, slots=(FISH_AND.slots[0], slot))


def add(engine: Engine, pattern: MealPattern = FISH_AND) -> KeptPattern:
    return change(engine, partial(add_pattern, pattern=pattern))


def test_a_pattern_is_kept_whole(engine: Engine) -> None:
    assert add(engine) == KeptPattern(pattern=FISH_AND, revision=1)
    kept = look(engine, partial(read_pattern, pattern=FISH_AND.id))
    assert kept == KeptPattern(pattern=FISH_AND, revision=1)
    assert pattern_from(pattern_text(FISH_AND)) == FISH_AND


def test_patterns_are_listed_by_id_a_page_at_a_time(engine: Engine) -> None:
    for id_ in ("c", "a", "b"):
        add(engine, replace(FISH_AND, id=PatternId(id_)))
    page = look(engine, partial(list_patterns, after="", limit=2))
    assert ([one.pattern.id for one in page.items], page.next_after) == (["a", "b"], "b")
    rest = look(engine, partial(list_patterns, after="b", limit=2))
    assert ([one.pattern.id for one in rest.items], rest.next_after) == (["c"], None)


@pytest.mark.parametrize(
    ("id_", "words"),
    [
        ("std-fish", "is the release's own"),
        ("fish/and", "no slash"),
        ("fish-and", "there is a pattern 'fish-and' already"),
    ],
)
def test_an_id_that_cannot_be_is_refused(engine: Engine, id_: str, words: str) -> None:
    add(engine)
    with pytest.raises(FieldsRefused, match=words):
        add(engine, replace(FISH_AND, id=PatternId(id_)))


def test_a_food_that_is_not_there_is_named_with_its_slot(engine: Engine) -> None:
    with pytest.raises(FieldsRefused) as refused:
        add(engine, with_food("own-salmon"))
    (fault,) = refused.value.faults
    assert fault.where == "slots number 2 > food"
    assert fault.what == "there is no food 'own-salmon'"
    own = replace(generic_foods()[SALMON], id=FoodId("own-salmon"))
    change(engine, partial(add_food, food=own, gtin=None, label=None))
    assert add(engine, with_food("own-salmon")).revision == 1


def test_a_pattern_is_changed_and_deleted_by_whoever_saw_it_as_it_is(engine: Engine) -> None:
    add(engine)
    shorter = replace(FISH_AND, name="Fish", steps=())
    changed = change(engine, partial(change_pattern, pattern=shorter, if_revision=1))
    assert changed == KeptPattern(pattern=shorter, revision=2)
    assert look(engine, partial(read_pattern, pattern=FISH_AND.id)) == changed
    for deed in (
        partial(change_pattern, pattern=FISH_AND, if_revision=1),
        partial(delete_pattern, pattern=FISH_AND.id, if_revision=1),
    ):
        with pytest.raises(NotAsItWas, match="changed since you looked"):
            change(engine, deed)
    with pytest.raises(FieldsRefused, match="slots number 2"):
        change(engine, partial(change_pattern, pattern=with_food("nothing"), if_revision=2))
    change(engine, partial(delete_pattern, pattern=FISH_AND.id, if_revision=2))
    with pytest.raises(NotThere, match="no pattern 'fish-and'"):
        look(engine, partial(read_pattern, pattern=FISH_AND.id))


def test_patterns_are_their_stores_own(engine: Engine) -> None:
    begin_ground(engine, small_store(OTHER_STORE))
    add(engine)
    with pytest.raises(NotThere):
        look(engine, partial(read_pattern, pattern=FISH_AND.id), store=OTHER_STORE)
    other = someone(store=OTHER_STORE)
    theirs = change(engine, partial(add_pattern, pattern=FISH_AND), by=other)
    assert theirs.revision == 1
