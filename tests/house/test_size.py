"""Hold modules and functions to one idea and one look; `size_rules` says how lines count."""

from tests.house.rules import MEDIAN_FUNCTION_LINES
from tests.house.size_rules import long_functions, long_modules, median_read_lines
from tests.house.source_tree import ALL, OURS


def test_every_module_is_at_most_four_hundred_lines() -> None:
    assert [offence for source in ALL for offence in long_modules(source)] == []


def test_every_function_is_at_most_fifty_lines() -> None:
    assert [offence for source in ALL for offence in long_functions(source)] == []


def test_the_median_function_of_service_and_clients_is_under_a_dozen_lines() -> None:
    assert median_read_lines(OURS) < MEDIAN_FUNCTION_LINES
