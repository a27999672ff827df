"""Make offers and judge them, for the tests of suitability."""

from dataclasses import replace

from daysworth.domain.ages import Stage
from daysworth.domain.foods import Food, FoodGroup, MadeOf, Texture
from daysworth.domain.identifiers import FoodId
from daysworth.domain.restrictions import DeclaredFacts, Substance
from daysworth.domain.suitability import Demand, Eater, Judgement, Offer, judge

PEANUT = frozenset({Substance.PEANUT})
NOTHING_READ = None
NAMES_NOTHING = DeclaredFacts()
ALL_CLEAR = DeclaredFacts(free_from=frozenset(Substance))

AVOIDS = Demand(allergy=Substance.PEANUT)
ACCEPTS = Demand(allergy=Substance.PEANUT, accepts_may_contain=True)

OATS = Food(
    id=FoodId("oats"),
    name="Oats",
    group=FoodGroup.BREAKFAST_CEREALS,
    energy_kcal_100g=370,
    protein_g_100g=13,
    net_mass_g=500,
    texture=Texture.SOFT,
    made_of=MadeOf.MIXED,
)


def recipe(
    *contains: Substance, may_contain: tuple[Substance, ...] = (), made_of: MadeOf = MadeOf.MIXED
) -> Food:
    """Make a food whose generic recipe contains, or usually contains, the given substances."""
    facts = DeclaredFacts(contains=frozenset(contains), may_contain=frozenset(may_contain))
    return replace(OATS, made_of=made_of, facts=facts)


def judged(
    food: Food,
    *demands: Demand,
    reading: DeclaredFacts | None = None,
    is_handled_here: bool = False,
    stage: Stage = Stage.TABLE_FOOD,
) -> Judgement:
    """Judge one offer of a food for one eater."""
    offer = Offer(food, reading, is_handled_here)
    return judge(offer, Eater(stage, frozenset(demands)))


def read(
    *,
    contains: frozenset[Substance] = frozenset(),
    may_contain: frozenset[Substance] = frozenset(),
) -> DeclaredFacts:
    """A label read in full: whatever it does not name was looked for and not found."""
    return DeclaredFacts(
        contains=contains,
        may_contain=may_contain,
        free_from=frozenset(Substance) - contains - may_contain,
    )
