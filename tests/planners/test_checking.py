"""A plan that lacks protein is found out; less than a grain of it is the solver's rounding."""

import numpy as np
import pytest

from daysworth.planners.bounds import most_days
from daysworth.planners.checking import checked_against
from daysworth.planners.grounds import Grounds
from daysworth.planners.program import lay_out
from daysworth.planners.supply import Refinement, Supply
from tests.planners.one_home import DRY, OIL, lot, store
from tests.planners.small_stores import AS_OF


@pytest.mark.parametrize("highest", [False, True])
@pytest.mark.parametrize(("days", "is_short"), [(1.0, True), (1e-6, True), (1e-8, False)])
def test_a_crumb_of_protein_is_not_missed(days: float, is_short: bool, highest: bool) -> None:
    # One woman, 46 g of protein a day, and nothing but oil, which has none.
    grounds = Grounds(store(lots=[lot(OIL, 9)]), AS_OF, scenario=DRY)
    supply = Supply(grounds.question, grounds.classes(), mean_kcal=grounds.mean_kcal)
    builder, layout = lay_out(supply, Refinement(), most=most_days(supply))
    values = np.zeros(builder.columns)
    values[layout.eaten[0].column] = days
    found = checked_against(layout, values, days=[days], highest=highest)
    assert (0 in found.short) is is_short
    assert not found.broken
