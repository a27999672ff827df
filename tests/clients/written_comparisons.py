"""Write comparisons by hand, as the client gets them in JSON."""

from daysworth_client.answers import ClassPart
from daysworth_client.comparison_answers import (
    ComparisonAnswer,
    CountChangePart,
    DaysChangePart,
    FigureChangePart,
    FoodChangePart,
    HouseholdChangePart,
    PassedPart,
    SidePart,
)
from tests.clients.written_answers import a_class, a_scenario


def a_comparison() -> ComparisonAnswer:
    """Give a plain comparison: a week later, two thirds of a day fewer, and a household more."""
    return {
        "question": "comparison",
        "release": "0.0.0",
        "store": "s",
        "store_name": "Elm Row",
        "before": a_side("2026-11-05", week="2026-W45", held_by=[a_class(1, "egg allergy")]),
        "after": a_side("2026-11-12", held_by=[a_class(2, "milk allergy", days=2.31)]),
        "everyone_fed_days": days(2.96, 2.31),
        "next_level_days": days(5.0, None),
        "person_days": figures(12.96, 11.5),
        "person_days_on_paper": figures(30.9, 30.9),
        "water_days": figures(8.8, 9.9),
        "water_days_drinking_only": figures(17.6, 19.8),
        "household_count": counts(2, 3),
        "members": counts(3, 5),
        "members_with_a_need": counts(3, 5),
        "units_on_hand": counts(1_234, 1_230),
        "energy_on_hand_kcal": figures(100_000.0, 98_000.0),
        "households": [a_home("H1", 2.96, after=2.31), a_joined_home("H3")],
        "households_unchanged": 1,
        "foods": [a_food("Beans", -6, kcal=-2_500.0), a_food("Rice", 2, kcal=500.0)],
        "passed": [a_passed_lot("Beans", 6, still=2)],
        "cautions": [{"id": "c", "topic": "food", "text": "Read every label.", "source": "a book"}],
    }


def a_side(
    as_of: str, *, week: str | None = None, held_by: list[ClassPart] | None = None
) -> SidePart:
    """Give one side in the default scenario."""
    return {
        "version": 1,
        "as_of": as_of,
        "week": week,
        "is_rewritten": False,
        "scenario": a_scenario(),
        "held_by": held_by or [],
    }


def days(before: float | None, after: float | None) -> DaysChangePart:
    """Give days before and after, short of the horizon."""
    change = None if before is None or after is None else after - before
    return {
        "before": before,
        "before_at_least": False,
        "after": after,
        "after_at_least": False,
        "change": change,
    }


def figures(before: float | None, after: float | None) -> FigureChangePart:
    """Give a figure before and after."""
    change = None if before is None or after is None else after - before
    return {"before": before, "after": after, "change": change}


def counts(before: int, after: int) -> CountChangePart:
    """Give a count before and after."""
    return {"before": before, "after": after, "change": after - before}


def a_home(name: str, before: float | None, *, after: float | None) -> HouseholdChangePart:
    """Give a household of two that is on both sides."""
    return {
        "household": name,
        "members_before": 2,
        "members_after": 2,
        "days": days(before, after),
    }


def a_joined_home(name: str) -> HouseholdChangePart:
    """Give a household that was not there before."""
    return {
        "household": name,
        "members_before": None,
        "members_after": 2,
        "days": days(None, 3.0),
    }


def a_food(name: str, units: int, *, kcal: float) -> FoodChangePart:
    """Give a food of which there were ten units of a thousand kcal in all."""
    return {
        "food": name.lower(),
        "food_name": name,
        "units": counts(10, 10 + units),
        "energy_kcal": figures(1_000.0, 1_000.0 + kcal),
    }


def a_passed_lot(food: str, before: int, *, still: int) -> PassedPart:
    """Give a lot whose date passed."""
    return {
        "lot": "L1",
        "food": food,
        "place": "Hall",
        "last_good_day": "2026-11-07",
        "units_before": before,
        "units_still_there": still,
    }
