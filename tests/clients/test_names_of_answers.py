"""The client names just the parts of an answer that the service writes, with their types."""

import json
import re
from dataclasses import fields, is_dataclass
from datetime import date
from types import UnionType
from typing import Final, cast, get_args, get_origin, get_type_hints, is_typeddict

import pytest

from daysworth.answers import coverage as service
from daysworth.answers import coverage_parts as parts
from daysworth.answers.coverage import answer_coverage, to_json
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.planners.scenario import Scenario
from daysworth.reference.cautions import CautionRow
from daysworth_client import answers as client
from daysworth_client.answers import CoverageAnswer

AS_OF: Final = date(2026, 11, 25)
PAIRS: Final = (
    (client.CoverageAnswer, service.CoverageAnswer),
    (client.ScenarioPart, service.ScenarioAsked),
    (client.HouseholdPart, service.HouseholdAnswer),
    (client.ClassPart, service.ClassAnswer),
    (client.LabelPart, service.LabelToReadAnswer),
    (client.WaterPart, service.WaterAnswer),
    (client.LotPart, service.LotAnswer),
    (client.RoundPart, service.RoundAnswer),
    (client.SetAsidePart, service.SetAsideAnswer),
    (client.StepPart, parts.StepAnswer),
    (client.FoodGainPart, parts.FoodGainAnswer),
    (client.RunsOutPart, parts.RunsOutAnswer),
    (client.SpoilingLotPart, parts.SpoilingLotAnswer),
    (client.SpoilingPart, parts.SpoilingAnswer),
    (client.ClassMealsPart, parts.ClassMealsAnswer),
    (client.DietMixPart, parts.DietMixAnswer),
    (client.CautionPart, CautionRow),
)
SAME: Final[dict[object, object]] = {theirs: ours for ours, theirs in PAIRS} | {date: str}
"""What a type of the service is in JSON, where it is not itself."""


def in_json(type_: object) -> object:
    """Give the type that a value of the service's has in JSON."""
    if get_origin(type_) is list:
        return list, in_json(get_args(type_)[0])
    if isinstance(type_, UnionType):
        return frozenset(in_json(part) for part in get_args(type_))
    return SAME.get(type_, type_)


@pytest.mark.parametrize(("ours", "theirs"), PAIRS, ids=lambda one: one.__name__)
def test_the_clients_names_and_types_are_the_services(ours: type, theirs: type) -> None:
    assert is_typeddict(ours)
    assert is_dataclass(theirs)
    named = get_type_hints(ours)
    assert list(named) == [field.name for field in fields(theirs)]
    written = get_type_hints(theirs)
    assert {name: in_json(type_) for name, type_ in named.items()} == {
        name: in_json(type_) for name, type_ in written.items()
    }


def test_every_part_that_the_client_names_is_held_against_the_service() -> None:
    named = {one for one in vars(client).values() if is_typeddict(one)}
    assert named == {ours for ours, _ in PAIRS}


def differences(value: object, type_: object, *, where: str) -> list[str]:
    """List where a value of an answer's JSON is not what the client says it is."""
    if is_typeddict(type_):
        hints = get_type_hints(type_)
        if not isinstance(value, dict) or list(value) != list(hints):
            return [f"{where}: other names"]
        return [
            found
            for name, hint in hints.items()
            for found in differences(value[name], hint, where=f"{where}.{name}")
        ]
    if get_origin(type_) in (list, dict):
        return differences_within(value, type_, where=where)
    allowed = get_args(type_) if isinstance(type_, UnionType) else (type_,)
    return [] if type(value) in allowed else [f"{where}: {type(value).__name__}"]


def differences_within(value: object, type_: object, *, where: str) -> list[str]:
    """List the differences in a list, or in names with values all of one type."""
    *_, inner = get_args(type_)
    if get_origin(type_) is not type(value):
        return [f"{where}: {type(value).__name__}"]
    named = value.items() if isinstance(value, dict) else enumerate(cast("list[object]", value))
    return [d for name, one in named for d in differences(one, inner, where=f"{where}.{name}")]


@pytest.mark.parametrize("scenario", [Scenario(), Scenario(horizon_days=2)], ids=["plain", "short"])
def test_the_json_of_an_answer_is_just_what_the_client_says(scenario: Scenario) -> None:
    answer = json.loads(to_json(answer_coverage(neighbourhood(AS_OF), AS_OF, scenario=scenario)))
    assert differences(answer, CoverageAnswer, where="answer") == []
    assert re.fullmatch(r"\d{4}-\d\d-\d\d", answer["before_next_round"]["next_round_day"])
