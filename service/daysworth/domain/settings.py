"""Hold what a store decides for itself, each setting with its published or customary default."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Final
from zoneinfo import ZoneInfo

from annotated_types import Ge, Gt, Le

from daysworth.domain.foods import FoodGroup
from daysworth.domain.meal_rules import MealRules
from daysworth.domain.needs import NeedsBasis
from daysworth.domain.rounds import SPRING_AND_AUTUMN, check_round_rule

GALLON_A_DAY_L: Final = 3.785
"""One US gallon per person and day, half of it for drinking: CDC and FEMA/American Red Cross."""

MOST_BANDS: Final = 6

_LOCALE: Final = re.compile("[a-z]{2,3}(-[A-Z][a-z]{3})?(-([A-Z]{2}|[0-9]{3}))?")

LitresADay = Annotated[float, Gt(0), Le(100)]


@dataclass(frozen=True, slots=True, kw_only=True)
class StoreSettings:
    """What a store decides for itself.

    `water_l_per_person_day` and `water_l_per_pet_day` are litres (sources differ: CDC gives a
    gallon a day for each; others less for pets). `extras_share` is the most that condiments,
    fats, sweets and drinks may give of anyone's energy (our judgement; the standard relief ration
    gives 13 % as oil and sugar). `grace_days` extends best-by and sell-by dates by food group.
    `rounds_rule` is an RFC 5545 rule. `locale` (a BCP 47 tag) says in which order a label's date
    in figures is read. `notice_bands_days` are the days ahead by which the weekly notice sorts what
    is about to pass its date. `meal_rules` are the figures that kits are held to. Raises ValueError
    for a zone, a rule, a locale or bands that cannot be.
    """

    timezone: str = "UTC"
    water_l_per_person_day: LitresADay = GALLON_A_DAY_L
    water_l_per_pet_day: LitresADay = GALLON_A_DAY_L
    extras_share: Annotated[float, Ge(0), Le(1)] = 0.15
    grace_days: Mapping[FoodGroup, Annotated[int, Ge(0), Le(3_650)]] = field(default_factory=dict)
    needs_basis: NeedsBasis = NeedsBasis.REFERENCE
    floor_days: Annotated[int, Ge(0), Le(730)] = 14
    rounds_rule: str = SPRING_AND_AUTUMN
    locale: str = "en-US"
    notice_bands_days: tuple[Annotated[int, Ge(1), Le(730)], ...] = (7, 30, 56)
    meal_rules: MealRules = field(default_factory=MealRules)

    def __post_init__(self) -> None:
        if _LOCALE.fullmatch(self.locale) is None:
            raise ValueError(f"{self.locale!r} is not a locale such as en-US or es-MX")
        bands = self.notice_bands_days
        if not 1 <= len(bands) <= MOST_BANDS or list(bands) != sorted(set(bands)):
            raise ValueError("a notice has 1 to 6 bands of days, each wider than the one before")
        check_round_rule(self.rounds_rule)
        if not is_zone(self.timezone):
            raise ValueError(f"there is no time zone {self.timezone!r} in the IANA database")


_THIS_MACHINE: Final = ("localtime", "posixrules", "posix/", "right/")
"""Files of some machines' zone folders that are no IANA names."""


def is_zone(key: str) -> bool:
    """Tell whether the IANA database has a time zone of this name."""
    if key.startswith(_THIS_MACHINE):
        return False
    # A folder of the database ("America") is refused with OSError, a path with ValueError.
    try:
        ZoneInfo(key)
    except (LookupError, ValueError, OSError):
        return False
    return True
