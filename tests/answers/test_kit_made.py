"""Claims about what a plan of kits is short of: the part of the meal is named, and why."""

import pytest

from daysworth.answers.kit_made import short_words
from daysworth.domain.built_in_patterns import built_in_patterns
from daysworth.domain.catalogue import generic_foods
from daysworth.domain.foods import MealRole
from daysworth.domain.identifiers import HouseholdId, PatternId
from daysworth.domain.wares import WareKind
from daysworth.planners.packing_kinds import PackAsked
from daysworth.planners.packing_shortfall import Lacking, LeftOut, Shortfall
from daysworth.planners.packing_stock import WhyLeft

NAMES = {id_: food.name for id_, food in generic_foods().items()}
ASKED = PackAsked(
    pattern=built_in_patterns()[PatternId("std-nut-butter-crackers-pears")],
    wanted=3,
    household=HouseholdId("H-1"),
)


def said(short: Shortfall) -> str:
    """Say what is short of kits of nut butter, crackers and pears."""
    return short_words(short, asked=ASKED, names=NAMES)


def test_a_slot_that_nothing_fills_is_named_with_what_there_is_of_its_foods() -> None:
    left_out = (
        LeftOut(why=WhyLeft.UNSUITABLE, units=6),
        LeftOut(why=WhyLeft.UNKNOWN, units=2),
    )
    assert said(Shortfall(lacking=Lacking.SLOT, slot=0, left_out=left_out)) == (
        "nothing is left for its protein (Peanut butter, smooth or Peanut butter, crunchy or "
        "Almond butter or 1 more): 6 not suitable for those it is for and 2 not known to suit "
        "those it is for"
    )
    none = said(Shortfall(lacking=Lacking.SLOT, slot=2))
    assert none.startswith("nothing is left for its fruit or vegetable (Pears")
    assert none.endswith(": there is none")


@pytest.mark.parametrize(
    ("ware", "needed", "left", "words"),
    [
        (WareKind.SPOON, 4, 0, "a kit takes 4 spoons, and none is left"),
        (WareKind.SPOON, 4, 3, "a kit takes 4 spoons, and 3 are left"),
        (WareKind.OPENER, 1, 0, "a kit takes 1 tin opener, and none is left"),
    ],
)
def test_a_ware_that_ran_out_is_counted(
    ware: WareKind, *, needed: int, left: int, words: str
) -> None:
    assert said(Shortfall(lacking=Lacking.WARE, ware=ware, needed=needed, left=left)) == words


def test_a_pattern_that_lacks_a_part_says_which() -> None:
    short = Shortfall(lacking=Lacking.PART, parts=(MealRole.STARCH, MealRole.FRUIT_OR_VEGETABLE))
    assert said(short) == (
        "its pattern asks for less than a serving each of starch and fruit or vegetable"
    )


def test_every_other_reason_has_words_and_so_has_every_reason_to_leave_units() -> None:
    for lacking in (Lacking.ENERGY, Lacking.BAG, Lacking.ENERGY_AND_BAG, Lacking.PACKS):
        assert len(said(Shortfall(lacking=lacking))) > 20
    for why in WhyLeft:
        left_out = (LeftOut(why=why, units=1_200),)
        assert "1,200 " in said(Shortfall(lacking=Lacking.SLOT, slot=0, left_out=left_out))
