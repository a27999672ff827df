"""Show that the rules on vague names and on dates catch what they are for."""

from collections.abc import Callable, Iterable

import pytest

from tests.house import rules
from tests.house.rules import Source

Rule = Callable[[Source], Iterable[str]]


@pytest.mark.parametrize(
    ("rule", "path", "text"),
    [
        (rules.vague_names, "service/utils.py", ""),
        (rules.vague_names, "service/helpers/a.py", ""),
        (rules.dates_without_ending, "service/a.py", "class A:\n    opened: date | None"),
        (rules.dates_without_ending, "service/a.py", "class A:\n    sent: datetime"),
    ],
)
def test_the_rule_catches(rule: Rule, path: str, text: str) -> None:
    assert list(rule(Source(path, text)))


@pytest.mark.parametrize(
    ("rule", "text"),
    [
        (rules.vague_names, "x = 1"),
        (rules.dates_without_ending, "class A:\n    opened_on: date\n    sent_at: datetime"),
        (rules.dates_without_ending, "class A:\n    as_of: date\n    last_good_day: date | None"),
    ],
)
def test_the_rule_lets_good_code_pass(rule: Rule, text: str) -> None:
    assert list(rule(Source("service/a.py", text))) == []
