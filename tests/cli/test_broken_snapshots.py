"""Every fault of a broken snapshot is said with its place, and no health fact is echoed."""

import pytest

from daysworth.answers.snapshot_file import read_snapshot
from daysworth.domain.errors import SnapshotRefused
from tests.cli.broken import (
    HEALTH,
    LOT,
    MISSING,
    REPEATED,
    RULES,
    SECRET,
    SHAPES,
    Broken,
    lacking,
    repeating,
)
from tests.cli.documents import Json, at, changed, good, good_text, nodes, written
from tests.cli.process import done, refused

PIPED = (SHAPES[0], RULES[0], RULES[3], HEALTH[0])


def faults_in(text: bytes) -> list[str]:
    with pytest.raises(SnapshotRefused) as refused:
        read_snapshot(text)
    return [str(fault) for fault in refused.value.faults]


def test_the_snapshot_that_is_broken_here_is_good_before() -> None:
    assert "Everyone is fed for" in done("plan", "coverage", "-", given=good_text())


@pytest.mark.parametrize("broken", PIPED, ids=lambda broken: broken.name)
def test_the_command_says_what_and_where_and_that_nothing_was_changed(broken: Broken) -> None:
    said = refused("plan", "coverage", "-", given=broken.text())
    first, *rest = said.splitlines()
    assert first == "This snapshot cannot be used; nothing was changed:"
    assert all(line.startswith("  ") for line in rest)
    assert [words for words in broken.says if words not in said] == []


@pytest.mark.parametrize("broken", SHAPES + RULES + HEALTH, ids=lambda broken: broken.name)
def test_every_fault_is_a_fault_of_the_snapshot_with_its_place(broken: Broken) -> None:
    said = "\n".join(faults_in(broken.text()))
    assert [words for words in broken.says if words not in said] == []


@pytest.mark.parametrize("broken", SHAPES + HEALTH, ids=lambda broken: broken.name)
def test_one_thing_that_is_wrong_is_one_fault(broken: Broken) -> None:
    assert len(faults_in(broken.text())) == 1


def test_one_wrong_fact_of_someone_who_lives_alone_is_one_fault() -> None:
    home = ("households", 0, "members")
    alone = changed(good(), home, [at(good(), *home, 0)])
    assert len(faults_in(written(changed(alone, (*home, 0, "weight_kg"), -4)))) == 1


@pytest.mark.parametrize("broken", HEALTH, ids=lambda broken: broken.name)
def test_what_someone_must_not_eat_is_never_echoed(broken: Broken) -> None:
    assert SECRET not in "\n".join(faults_in(broken.text()))


def test_a_fact_of_a_member_is_never_echoed() -> None:
    text = written(changed(good(), ("households", 0, "members", 0, "weight_kg"), 911.25))
    assert "911" not in "\n".join(faults_in(text))


@pytest.mark.parametrize(("path", "where"), MISSING, ids=str)
def test_a_field_that_is_missing_is_named(path: tuple[str | int, ...], where: str) -> None:
    assert f"{where}: is missing" in faults_in(lacking(path))


@pytest.mark.parametrize("kind", REPEATED)
def test_an_id_that_stands_twice_is_named(kind: str) -> None:
    text, id_ = repeating(kind)
    said = [line for line in faults_in(text) if repr(id_) in line]
    assert any(kind in line and "2 times" in line for line in said)


def wrong_types() -> list[tuple[tuple[str | int, ...], object]]:
    """List every field of the first things of each kind, with what stands in it."""
    first = [("households", 0), ("foods", 0), ("places", 0), ("lots", 0), ("settings",)]
    return [
        (path, value)
        for path, value in nodes(good())
        if any(path[: len(start)] == start for start in first) or len(path) == 1
    ]


def test_a_value_of_the_wrong_type_is_refused_at_its_place_in_every_field() -> None:
    checked = 0
    for path, before in wrong_types():
        wrong: Json = {"surprise": 1} if not isinstance(before, dict) else 7
        said = faults_in(written(changed(good(), path, wrong)))
        top = str(path[0])
        assert any(line.startswith(top) for line in said), path
        checked += 1
    assert checked > 80


def test_many_faults_are_counted_and_not_listed_without_end() -> None:
    document = good()
    lots = at(document, "lots")
    assert isinstance(lots, list)
    assert len(lots) == 12
    for number in range(12):
        document = changed(document, ("lots", number, "units"), -1)
        document = changed(document, ("lots", number, "is_shared"), 1)
    said = faults_in(written(document))
    assert len(said) == 13
    assert said[-1] == "and 12 more faults"


def test_many_contradictions_are_counted_and_not_listed_without_end() -> None:
    document = good()
    for number in range(12):
        document = changed(document, ("lots", number, "food"), "moss")
        document = changed(document, ("lots", number, "place"), "moon")
    said = faults_in(written(document))
    assert len(said) == 13
    assert said[-1] == "and 12 more faults"


def test_an_unknown_field_is_said_in_a_sentence() -> None:
    said = faults_in(written(changed(good(), (*LOT, "colour"), "red")))
    assert said == ["lots number 3 > colour: is not a field that a snapshot has"]
