"""Hold what a store asks of its kits: the figures behind the rules, each with its default."""

from dataclasses import dataclass
from typing import Annotated

from annotated_types import Ge, Gt, Le


@dataclass(frozen=True, slots=True, kw_only=True)
class MealRules:
    """The figures that kits are held to; common practice, unless another source is named.

    `share_of_day` is a meal's part of the daily need for energy. `keeps_months` are calendar months
    from the day of packing, clipped to the month's end. `bag_l` is the litres a bag holds.
    `pack_g_each` is the most that one pack may hold for each person served, where it does not keep
    once it is open (our judgement: what a person eats at one meal).
    """

    share_of_day: Annotated[float, Gt(0), Le(1)] = 1 / 3
    keeps_months: Annotated[int, Ge(0), Le(60)] = 6
    bag_l: Annotated[float, Gt(0), Le(100)] = 7.6
    pack_g_each: Annotated[float, Gt(0), Le(5_000)] = 400.0

    def days_of(self, meals: float) -> float:
        """Give the days' food that so many meals for one person are: each is its share of a day."""
        return meals * self.share_of_day
