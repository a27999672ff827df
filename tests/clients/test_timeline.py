"""The timeline as text: dates in words, days rounded down, nothing wider than 80 columns."""

from dataclasses import fields
from datetime import date
from typing import get_type_hints

import pytest

from daysworth.answers import timeline as service
from daysworth_client import timeline_answers as client
from daysworth_client.figures import columns
from daysworth_client.timeline import timeline_text
from daysworth_client.timeline_answers import PointPart, RunPart, TimelineAnswer

PAIRS = (
    (client.TimelineAnswer, service.TimelineAnswer),
    (client.CliffPart, service.CliffAnswer),
    (client.PointPart, service.PointAnswer),
    (client.ClassLinePart, service.ClassLineAnswer),
    (client.HouseholdLinePart, service.HouseholdLineAnswer),
    (client.RunPart, service.RunAnswer),
)


@pytest.mark.parametrize(("ours", "theirs"), PAIRS, ids=lambda one: one.__name__)
def test_the_clients_names_are_the_services(ours: type, theirs: type) -> None:
    assert list(get_type_hints(ours)) == [field.name for field in fields(theirs)]
    plain = {date: str, date | None: str | None}
    simple = (bool, int, float, str, float | None, str | None)
    for name, type_ in get_type_hints(ours).items():
        said = get_type_hints(theirs)[name]
        assert type_ not in simple or plain.get(said, said) == type_


def point(on: str, days: float | None, **more: object) -> PointPart:
    part: PointPart = {
        "point_day": on,
        "is_round": False,
        "members_with_a_need": 5,
        "everyone_fed_days": days,
        "everyone_fed_at_least": False,
        "person_days": 120.9,
        "passing_kcal": 0.0,
    }
    part.update(more)  # type: ignore[typeddict-item]
    return part


def run(food_name: str, first: str, last: str, **more: object) -> RunPart:
    part: RunPart = {
        "first_day": first,
        "last_day": last,
        "starts_days": 0.0,
        "ends_days": 2.5,
        "food": food_name,
        "food_name": food_name,
        "units": 2.96,
        "energy_kcal": 1_000.0,
        "good_to_day": None,
    }
    part.update(more)  # type: ignore[typeddict-item]
    return part


def answer(**more: object) -> TimelineAnswer:
    whole: TimelineAnswer = {
        "question": "timeline",
        "release": "0.1.0",
        "store": "fernhollow",
        "store_name": "Fernhollow Hall",
        "version": 3,
        "as_of": "2026-11-25",
        "scenario": {
            "heating": False,
            "running_water": True,
            "stock": "shared",
            "places_lost": [],
            "households_away": [],
            "basis": "reference",
            "ration": 1.0,
            "horizon_days": 180,
        },
        "cliff": {
            "last_day": "2027-11-25",
            "floor_days": 14,
            "below_floor_on": None,
            "points": [point("2026-11-25", 20.96)],
        },
        "classes": [],
        "household": None,
        "cautions": [],
    }
    whole.update(more)  # type: ignore[typeddict-item]
    return whole


def cliff(*points: PointPart, below: str | None) -> dict[str, object]:
    return {
        "last_day": "2027-11-25",
        "floor_days": 14,
        "below_floor_on": below,
        "points": [*points],
    }


def test_days_are_rounded_down_and_dates_are_in_words() -> None:
    text = timeline_text(answer())
    assert "25 November 2026" in text
    assert "20 days and some" in text
    assert "120 person-days" in text
    assert "On none of these dates, until 25 November 2027, fewer than 14 days." in text


def test_the_first_day_below_the_floor_is_said() -> None:
    later = point("2027-04-01", 13.0, is_round=True, passing_kcal=5_000.0)
    text = timeline_text(answer(cliff=cliff(point("2026-11-25", 20.0), later, below="2027-03-18")))
    assert "1 April 2027 (round)" in text
    assert "5,000 kcal pass their date after that" in text
    assert "Below the floor of 14 days from 18 March 2027." in text


def test_a_store_below_its_floor_today_is_said_to_be() -> None:
    text = timeline_text(answer(cliff=cliff(point("2026-11-25", 3.0), below="2026-11-25")))
    assert "That is below the floor of 14 days already." in text


def test_at_the_horizon_days_are_said_to_be_at_least_that_many() -> None:
    far = point("2026-11-25", 180.0, everyone_fed_at_least=True)
    assert "at least 180 days" in timeline_text(answer(cliff=cliff(far, below=None)))
    nobody = timeline_text(answer(cliff=cliff(point("2026-11-25", None), below=None)))
    assert "nobody has a need" in nobody


def test_a_households_food_is_told_by_stretches_of_days() -> None:
    runs = [
        run("peas", "2026-11-25", "2026-11-27", good_to_day="2026-11-30"),
        run("oats", "2026-11-25", "2026-11-27"),
        run("rice", "2026-11-27", "2026-11-27", starts_days=2.5),
    ]
    home = {"household": "H-1", "members": 1, "runs": runs}
    text = timeline_text(answer(household=home))
    assert "What household H-1 eats (1 person with a need)" in text
    assert "  From 25 November 2026 to 27 November 2026\n" in text
    assert "  On 27 November 2026\n" in text
    assert "2.9 x peas" in text
    assert "good to 30 November 2026" in text


def test_a_class_is_told_in_short() -> None:
    runs = [run(f"food {n}", "2026-11-25", "2026-11-27") for n in range(12)]
    runs += [run("oats", "2026-12-01", "2026-12-01", starts_days=float(n)) for n in range(3, 12)]
    one = {
        "members": 5,
        "need": "no peanut",
        "days": 20.96,
        "at_least": False,
        "energy_kcal_a_day": 9_000.0,
        "runs": runs,
    }
    text = timeline_text(answer(classes=[one]))
    assert "What 5 people eat (no peanut), fed for 20 days and some" in text
    assert "and 4 more foods" in text
    assert "and 4 more stretches of days" in text


def test_nothing_in_a_name_breaks_the_page() -> None:
    name = "a\u202enasty\n\tname " * 9
    home = {"household": "H\x1b[2J", "members": 2, "runs": [run(name, "2026-11-25", "2026-11-26")]}
    text = timeline_text(answer(store_name=name, household=home))
    assert "\u202e" not in text
    assert "\x1b" not in text
    assert all(columns(line) <= 80 for line in text.splitlines())


def test_a_class_without_food_is_told_so() -> None:
    one = {
        "members": 1,
        "need": "no peanut",
        "days": 0.0,
        "at_least": False,
        "energy_kcal_a_day": 2_000.0,
        "runs": [],
    }
    text = timeline_text(answer(classes=[one]))
    assert "What 1 person eats (no peanut), fed for 0 days" in text
    assert "Nothing in the store is for them." in text
