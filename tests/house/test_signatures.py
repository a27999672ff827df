"""Hold signatures, docstrings and handlers of service and clients to the house rules."""

from collections.abc import Callable, Iterable

import pytest

from tests.house import signature_rules as rules
from tests.house.rules import Source
from tests.house.source_tree import ALL, OURS


@pytest.mark.parametrize(
    "rule",
    [
        rules.many_placed,
        rules.placed_booleans,
        rules.unsaid,
        rules.any_as_a_type,
    ],
    ids=lambda rule: rule.__name__,
)
def test_service_and_clients_keep_the_rule(rule: Callable[[Source], Iterable[str]]) -> None:
    assert [offence for source in OURS for offence in rule(source)] == []


def test_nothing_catches_everything() -> None:
    assert [offence for source in ALL for offence in rules.caught_all(source)] == []
