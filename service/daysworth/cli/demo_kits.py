"""Say which kits the demonstration puts up: two by hand some time ago, and those it plans today.

Two of the homes have a pattern of the neighbourhood's own, because no built-in menu has enough that
suits them.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from daysworth.domain.built_in_patterns import built_in_patterns
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId, PatternId, PlaceId
from daysworth.domain.meal_kits import KitItem, KitToPack, WareTaken
from daysworth.domain.meal_patterns import (
    Choice,
    MealPattern,
    MealRule,
    Served,
    Slot,
    SlotKind,
    Utensil,
    Waiver,
    Wanted,
)
from daysworth.domain.wares import WareKind
from daysworth.planners.packing_kinds import PackAsked

HALL: Final = PlaceId("hall")
"""Where the kits stand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OlderKit:
    """A kit that was put up by hand, so many days ago."""

    days_ago: int
    kit: KitToPack

    def packed_on(self, as_of: date) -> date:
        """Give the day on which it was put up."""
        return as_of - timedelta(days=self.days_ago)


def _choices(*foods: str) -> tuple[Choice, ...]:
    return tuple(Choice(foods=(Wanted(food=FoodId(food)),)) for food in foods)


OWN_PATTERN: Final = MealPattern(
    id=PatternId("beans-rice-nuts"),
    name="Beans, rice and sweetcorn with nuts (vegetarian)",
    persons=3,
    slots=(
        Slot(
            kind=SlotKind.PROTEIN,
            choices=_choices("black_beans_tinned", "kidney_beans_tinned", "pinto_beans_tinned"),
            servings_each=2.0,
            served=Served.BOWL,
        ),
        Slot(
            kind=SlotKind.STARCH,
            choices=_choices("brown_rice_ready_pouch", "white_rice_ready_pouch"),
            servings_each=2.0,
            served=Served.MIXED_IN,
        ),
        Slot(
            kind=SlotKind.FRUIT_OR_VEGETABLE,
            choices=_choices("sweetcorn_tinned", "green_peas_tinned"),
            served=Served.MIXED_IN,
        ),
        Slot(
            kind=SlotKind.EXTRA,
            choices=_choices("cashews_roasted", "almonds_roasted", "sunflower_seeds_roasted"),
            servings_each=2.0,
            served=Served.BOWL,
        ),
    ),
    utensil=Utensil.SPOON,
    steps=(
        "Drain the beans and the sweetcorn, and tip them into the bowls.",
        "Stir in the rice from its pouches; it is cooked already.",
        "Share out the nuts, on top or beside. They can choke a child under four.",
    ),
)
"""What the vegetarian home is to have: no built-in menu has the energy it needs from this stock."""


def kinds_wanted(own: MealPattern) -> tuple[PackAsked, ...]:
    """Say how many kits of each kind are wanted, those for single homes first."""
    built_in = built_in_patterns()

    def of(menu: str, wanted: int, *, home: str | None = None) -> PackAsked:
        household = None if home is None else HouseholdId(home)
        pattern = built_in[PatternId(f"std-{menu}")]
        return PackAsked(pattern=pattern, wanted=wanted, household=household)

    return (
        of("turkey-rice-pears-no-nuts", 1, home="H05"),
        of("salmon-rice-beans-no-gluten", 1, home="H21"),
        of("beans-rice-soured-cream", 1, home="H11"),
        PackAsked(pattern=own, wanted=2, household=HouseholdId("H11")),
        of("sardines-rice-from-packs", 2, home="H01"),
        of("chicken-crackers-peaches", 3),
        of("tuna-chickpea-salad", 2),
        of("beef-stew-crackers-pears", 3),
        of("ravioli-peas-nuts", 3),
        of("beans-rice-corn-vegan", 1),
        of("chilli-rice-corn-for-six", 2),
        of("corn-flakes-milk-peaches", 2),
    )


def _wares(*, people: int) -> tuple[WareTaken, ...]:
    """Take an opener, a bowl, a spoon and a napkin each, and a bag."""
    units = {
        WareKind.OPENER: 1,
        WareKind.BOWL: people,
        WareKind.SPOON: people,
        WareKind.NAPKIN: people,
        WareKind.BAG: 1,
    }
    return tuple(WareTaken(kind=kind, place=HALL, units=many) for kind, many in units.items())


_NEAR_THEIR_DATE: Final = Waiver(
    rule=MealRule.KEEPS,
    why="near their date when they were put up: better in a kit than forgotten",
)

_BEEF_STEW: Final = KitToPack(
    name="Beef stew and oat bars",
    persons=4,
    items=(
        KitItem(lot=LotId("L017"), units=5, served=Served.BOWL),
        KitItem(lot=LotId("L092"), units=8, served=Served.OWN_PACK),
    ),
    wares=_wares(people=4),
    utensil=Utensil.SPOON,
    waivers=(_NEAR_THEIR_DATE,),
    steps=("Share the stew out into the bowls, and two oat bars each.",),
)

_SPAGHETTI: Final = KitToPack(
    name="Spaghetti and meatballs with crackers",
    persons=2,
    items=(
        KitItem(lot=LotId("L324"), units=3, served=Served.BOWL),
        KitItem(lot=LotId("L333"), units=1, served=Served.OWN_PACK),
    ),
    wares=_wares(people=2),
    utensil=Utensil.SPOON,
    waivers=(_NEAR_THEIR_DATE,),
    steps=("Share the spaghetti out into the bowls, with crackers.",),
)

OLDER_KITS: Final = (
    OlderKit(days_ago=45, kit=_BEEF_STEW),
    OlderKit(days_ago=150, kit=_SPAGHETTI),
)
"""One that is still good and near its date, and one in which the tins passed theirs meanwhile."""
