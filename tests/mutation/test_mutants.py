"""A mutant changes one decision, and leaves alone what decides nothing."""

import ast

import pytest

from tests.mutation.mutants import mutants_of


def changed(source: str) -> set[str]:
    return {mutant.source for mutant in mutants_of(source)}


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        ("a == b", {"a != b"}),
        ("a is b", {"a is not b"}),
        ("a in b", {"a not in b"}),
        ("a < b", {"a <= b", "a >= b"}),
        ("a >= b", {"a > b", "a < b"}),
        ("a and b", {"a or b"}),
        ("not a", {"a"}),
        ("a | b", {"a & b"}),
        ("a - b", {"a | b", "a & b"}),
        ("f(is_whole=True)", {"f(is_whole=False)"}),
        ("Verdict.SUITABLE", {"Verdict.UNKNOWN"}),
        ("Verdict.UNSUITABLE", {"Verdict.SUITABLE"}),
        ("Presence.ABSENT", {"Presence.CONTAINED"}),
        ("a if b else c", {"a if True else c", "a if False else c"}),
        ("[a for a in b if c]", {"[a for a in b]"}),
        ("{a: 1, b: 2}", {"{a: 1}", "{b: 2}", "{a: 2, b: 1}"}),
        ("{a: 1, b: 1}", {"{a: 1}", "{b: 1}"}),
    ],
)
def test_each_decision_is_changed_in_every_way_that_is_listed(
    source: str, expected: set[str]
) -> None:
    assert changed(source) == expected


def test_a_yield_that_is_taken_away_leaves_a_generator() -> None:
    (mutant,) = mutants_of("def f():\n    yield 1\n    return\n")
    assert mutant.source == "def f():\n    if False:\n        yield 1\n    return"


@pytest.mark.parametrize(
    "source",
    [
        "a: int | None = 1",
        "def f(a: int | None) -> str | None:\n    return a",
        "@dataclass(frozen=True)\nclass A:\n    pass",
        "'a word in a docstring == and not True'",
        "Verdict.shown",
        "Stage.TABLE_FOOD",
    ],
)
def test_what_decides_nothing_is_left_alone(source: str) -> None:
    assert changed(source) == set()


def test_a_mutant_tells_its_line_and_differs_from_its_source() -> None:
    source = "x = 1\ny = a == b\nif y:\n    x = True\n"
    found = list(mutants_of(source))
    assert [mutant.line for mutant in sorted(found, key=lambda one: one.line)] == [2, 3, 3, 4]
    assert all(mutant.source != ast.unparse(ast.parse(source)) for mutant in found)
