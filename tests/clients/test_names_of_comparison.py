"""The client names just the parts of a comparison that the service writes, with their types."""

import json
from dataclasses import fields
from datetime import date
from typing import Final, get_type_hints, is_typeddict

import pytest

from daysworth.answers import comparison as service
from daysworth.answers import stock_comparison, two_figures
from daysworth.answers.comparison import Side, answer_comparison, comparison_json
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.planners.scenario import Scenario
from daysworth_client import comparison_answers as client
from tests.clients.test_names_of_answers import AS_OF, PAIRS, differences, in_json

COMPARED: Final = (
    (client.ComparisonAnswer, service.ComparisonAnswer),
    (client.SidePart, service.SideAnswer),
    (client.HouseholdChangePart, service.HouseholdChange),
    (client.FoodChangePart, stock_comparison.FoodChange),
    (client.PassedPart, stock_comparison.PassedAnswer),
    (client.FigureChangePart, two_figures.FigureChange),
    (client.DaysChangePart, two_figures.DaysChange),
    (client.CountChangePart, two_figures.CountChange),
)
SAME: Final[dict[object, object]] = {
    **{theirs: ours for ours, theirs in (*COMPARED, *PAIRS)},
    date: str,
}


def named(type_: object) -> object:
    """Give the type that a value of the service's has in JSON, however deep it stands."""
    found = in_json(type_)
    if isinstance(found, tuple):
        return tuple(SAME.get(part, part) for part in found)
    return SAME.get(found, found)


@pytest.mark.parametrize(("ours", "theirs"), COMPARED, ids=lambda one: one.__name__)
def test_the_clients_names_and_types_are_the_services(ours: type, theirs: type) -> None:
    names = get_type_hints(ours)
    assert list(names) == [field.name for field in fields(theirs)]
    written = get_type_hints(theirs)
    assert {name: named(type_) for name, type_ in names.items()} == {
        name: named(type_) for name, type_ in written.items()
    }


def test_every_part_that_the_client_names_is_held_against_the_service() -> None:
    parts = {one for one in vars(client).values() if is_typeddict(one)}
    assert parts == {ours for ours, _ in COMPARED} | {
        ours for ours, _ in PAIRS if ours.__name__ in ("CautionPart", "ClassPart", "ScenarioPart")
    }


def test_the_json_of_a_comparison_is_just_what_the_client_says() -> None:
    demo = neighbourhood(AS_OF)
    before = Side(snapshot=demo, as_of=AS_OF, scenario=Scenario())
    later = Side(snapshot=demo, as_of=date(2027, 6, 1), scenario=Scenario(heating=True))
    answer = json.loads(comparison_json(answer_comparison(before, later)))
    assert answer["passed"]
    assert answer["households"]
    assert differences(answer, client.ComparisonAnswer, where="answer") == []
