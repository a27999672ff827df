"""Every built-in menu can be packed from what stands on the invented neighbourhood's shelves."""

from collections import Counter
from datetime import date

import pytest

from daysworth.demo.neighbourhood import neighbourhood
from daysworth.domain.built_in_patterns import built_in_patterns
from daysworth.domain.identifiers import FoodId
from daysworth.domain.kit_rules import keeps_until_day
from daysworth.planners.shelf import Standing, dated_lots
from tests.menus import fillings


@pytest.mark.parametrize("as_of", [date(2026, 3, 1), date(2026, 11, 26), date(2031, 9, 30)])
def test_each_menu_can_be_packed_from_what_is_shared_and_keeps_for_six_months(
    as_of: date,
) -> None:
    snapshot = neighbourhood(as_of)
    first_day = keeps_until_day(as_of, snapshot.settings.meal_rules)
    on_hand: Counter[FoodId] = Counter()
    for item in dated_lots(snapshot, as_of):
        is_good = item.standing is Standing.GOOD and item.lot.is_shared
        if is_good and item.last_good_day is not None and item.last_good_day >= first_day:
            on_hand[item.food.id] += item.lot.units_to_eat
    for pattern in built_in_patterns().values():
        assert any(
            all(on_hand[one.food.id] >= one.units for one in kit) for kit in fillings(pattern)
        ), pattern.id
