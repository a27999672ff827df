"""Say what came in, and what whoever logs it should be warned of before the box is put away."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Annotated, Final

from annotated_types import Ge, Gt, Le, Len
from dateutil.relativedelta import relativedelta

from daysworth.domain.foods import Food
from daysworth.domain.identifiers import FoodId, HouseholdId, IdLength, LotId, Name, PlaceId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import LabelReading
from daysworth.domain.lots import Condition

KEEPS_MONTHS: Final = 6
"""Food put up at a round should keep at least six months by the calendar: common practice."""

FAR_YEARS: Final = 30
"""Nothing that is put up claims to keep for longer; a code on a tin, read as a year, may."""

MOST_UNITS: Final = 100_000
"""More packs of one lot than this are taken for a slip of the pen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class IntakeLine:
    """One box: units of a food that the catalogue has, or of something in the giver's words.

    Exactly one of `food` and `words` is given. `pack_code` is the maker's code on the pack, for
    recalls. What is home-canned is set aside, whatever else is said of it: nobody can tell from
    outside whether it is safe. `same_label_as` is a lot whose label was read and is the same as
    this box's, to whoever compared the two. Raises ValueError where the facts contradict one
    another.
    """

    place: Annotated[PlaceId, IdLength]
    units: Annotated[int, Ge(1), Le(MOST_UNITS)]
    food: Annotated[FoodId, IdLength] | None = None
    words: Name | None = None
    owner: Annotated[HouseholdId, IdLength] | None = None
    is_shared: bool = True
    net_mass_g: Annotated[float, Gt(0), Le(1_000_000)] | None = None
    label_kind: LabelKind = LabelKind.UNLABELLED
    printed: str | None = None
    condition: Condition = Condition.SOUND
    is_home_canned: bool = False
    is_label_unreadable: bool = False
    reading: LabelReading | None = None
    same_label_as: Annotated[LotId, IdLength] | None = None
    pack_code: Annotated[str, Len(1, 40)] | None = None
    giver: Name | None = None

    def __post_init__(self) -> None:
        if (self.food is None) == (self.words is None):
            raise ValueError("name a food of the catalogue, or say in words what it is")
        if (self.label_kind is LabelKind.UNLABELLED) != (self.printed is None):
            raise ValueError("a label has a kind and a printed date, or neither")
        if self.owner is None and not self.is_shared:
            raise ValueError("a lot that is not shared needs an owner")
        if self.is_label_unreadable and self.reading is not None:
            raise ValueError("a label that cannot be read declares nothing")
        if self.is_label_unreadable and self.same_label_as is not None:
            raise ValueError("a label that cannot be read can be compared with none")
        if self.reading is not None and self.same_label_as is not None:
            raise ValueError("give what was read, or the lot with the same label, not both")

    @property
    def standing(self) -> Condition:
        """Give the condition in which the box is put away."""
        if self.is_home_canned and self.condition is Condition.SOUND:
            return Condition.QUARANTINED
        return self.condition


class Warned(StrEnum):
    """What is worth a second look at intake."""

    KEEPS_TOO_SHORT = "keeps_too_short"
    PAST_DATE = "past_date"
    UNDATED = "undated"
    DAMAGED = "damaged"
    HOME_CANNED = "home_canned"
    LABEL_UNREADABLE = "label_unreadable"
    FAR_AHEAD = "far_ahead"
    PACKED_AHEAD = "packed_ahead"
    NOT_IN_LIST = "not_in_list"
    LABEL_NOT_COMPARED = "label_not_compared"


def warnings_for(
    line: IntakeLine,
    *,
    food: Food | None,
    last_good_day: date | None,
    today: date,
    is_food_read: bool = False,
) -> Iterator[tuple[Warned, str]]:
    """Give what to warn of, in words.

    `last_good_day` None: undated. `is_food_read`: some lot of this food has a label that was read.
    """
    if line.condition is Condition.DAMAGED:
        yield Warned.DAMAGED, "damaged: it counts in no plan; discard it unopened, never taste it"
    if line.is_home_canned:
        yield (
            Warned.HOME_CANNED,
            "home-canned food is not for the pool: it is set aside, and counts in no plan",
        )
    if line.is_label_unreadable:
        yield (
            Warned.LABEL_UNREADABLE,
            "its label cannot be read: nobody who must avoid something may have it",
        )
    if _is_packed_ahead(line, today):
        yield Warned.PACKED_AHEAD, "it says that it was packed on a day that is still to come"
    if food is None:
        yield (
            Warned.NOT_IN_LIST,
            "saved; it counts in no plan until a coordinator says what it is",
        )
        return
    if is_food_read and _is_label_open(line):
        yield (
            Warned.LABEL_NOT_COMPARED,
            "labels of this food were read here: is this one the same? until somebody compares "
            "them it is not known whom it suits",
        )
    yield from _about_date(last_good_day, today)


def _is_label_open(line: IntakeLine) -> bool:
    """Tell whether nobody said yet what stands on a label that could be read."""
    return line.reading is None and line.same_label_as is None and not line.is_label_unreadable


def _about_date(last_good_day: date | None, today: date) -> Iterator[tuple[Warned, str]]:
    if last_good_day is None:
        yield Warned.UNDATED, "no date: it counts in no plan until someone dates it"
    elif last_good_day < today:
        yield Warned.PAST_DATE, f"its last good day was {last_good_day}: it counts in no plan"
    elif last_good_day < today + relativedelta(months=KEEPS_MONTHS):
        yield (
            Warned.KEEPS_TOO_SHORT,
            f"it keeps until {last_good_day}, less than {KEEPS_MONTHS} months",
        )
    elif last_good_day > today + relativedelta(years=FAR_YEARS):
        yield (
            Warned.FAR_AHEAD,
            f"it would keep until {last_good_day}, more than {FAR_YEARS} years: is the year right?",
        )


def _is_packed_ahead(line: IntakeLine, today: date) -> bool:
    """Tell whether a packing date is after today, as far as it was printed: month, or year."""
    if line.label_kind is not LabelKind.PACKED_ON or line.printed is None:
        return False
    return line.printed > today.isoformat()[: len(line.printed)]
