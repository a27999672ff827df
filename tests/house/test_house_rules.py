"""Hold the whole tree to the house rules."""

from tests.house import rules
from tests.house.source_tree import ALL, OURS


def test_no_module_has_a_name_that_says_nothing() -> None:
    assert [offence for source in ALL for offence in rules.vague_names(source)] == []


def test_dates_end_in_on_or_day_and_instants_in_at() -> None:
    assert [offence for source in OURS for offence in rules.dates_without_ending(source)] == []


def test_the_tree_that_is_held_to_the_rules_is_the_whole_tree() -> None:
    paths = {source.path for source in ALL}
    assert "service/daysworth/planners/coverage.py" in paths
    assert "clients/daysworth_client/summary.py" in paths
    assert len(paths) > 60
