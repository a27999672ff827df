"""Make labels, offers and judgements, for the tests of suitability."""

from dataclasses import replace
from datetime import date
from typing import Final

from daysworth.domain.ages import Stage
from daysworth.domain.demands import Demand, Eater
from daysworth.domain.foods import Food, FoodGroup, MadeOf, Texture
from daysworth.domain.identifiers import FoodId
from daysworth.domain.known import Known, known_of
from daysworth.domain.labels import Claim, LabelReading, Presence, Regime
from daysworth.domain.offers import Offer
from daysworth.domain.restrictions import DeclaredFacts, Substance
from daysworth.domain.suitability import judge
from daysworth.domain.verdicts import Judgement, Reason

PEANUT: Final = frozenset({Substance.PEANUT})
EVERYTHING: Final = frozenset(Substance)
PACKED_ON: Final = date(2026, 1, 15)
"""After every law of the table and every change of a list began to apply."""

AVOIDS: Final = Demand(allergy=Substance.PEANUT)
ACCEPTS: Final = Demand(allergy=Substance.PEANUT, accepts_may_contain=True)

MEAL: Final = Food(
    id=FoodId("noodle-bowl"),
    name="Noodle bowl",
    group=FoodGroup.PREPARED_MEALS,
    energy_kcal_100g=370,
    protein_g_100g=13,
    net_mass_g=500,
    texture=Texture.SOFT,
    made_of=MadeOf.MIXED,
)
"""A food of which nothing is known but its kind."""


def recipe(
    *contains: Substance, may_contain: tuple[Substance, ...] = (), made_of: MadeOf = MadeOf.MIXED
) -> Food:
    """Make a food whose generic recipe contains, or usually contains, the given substances."""
    facts = DeclaredFacts(contains=frozenset(contains), may_contain=frozenset(may_contain))
    return replace(MEAL, made_of=made_of, facts=facts)


def label(
    text: str,
    *,
    regime: Regime | None = Regime.US_FDA,
    is_whole: bool = True,
    packed_on: date | None = PACKED_ON,
    claims: frozenset[Claim] = frozenset(),
) -> LabelReading:
    """Copy a label's text, whole unless told otherwise."""
    return LabelReading(
        text=text, regime=regime, is_whole=is_whole, packed_on=packed_on, claims=claims
    )


def ticked(
    contains: frozenset[Substance] = frozenset(),
    may_contain: frozenset[Substance] = frozenset(),
    *,
    regime: Regime | None = Regime.EU,
    is_whole: bool = True,
    claims: frozenset[Claim] = frozenset(),
) -> LabelReading:
    """Tick what a label says; whatever it does not name was looked for and not found."""
    return LabelReading(
        contains=contains,
        may_contain=may_contain,
        not_declared=EVERYTHING - contains - may_contain,
        regime=regime,
        is_whole=is_whole,
        claims=claims,
        packed_on=PACKED_ON,
    )


PLAIN: Final = label("Ingredients: rice, water, salt.")
"""A whole label that names nothing of note."""

ALL_CLEAR: Final = ticked()


def known(*readings: LabelReading, food: Food = MEAL) -> Known:
    """Put together what readings of a label on a food say."""
    return known_of(food, readings=readings, packed_since_on=None)


def presence(substance: Substance, *readings: LabelReading) -> Presence:
    """Tell how a substance stands in a food with this label."""
    return known(*readings).of(substance)


def in_text(
    text: str, substance: Substance, *, regime: Regime, packed_on: date | None = PACKED_ON
) -> Presence:
    """Tell how a substance stands on a whole label with this text, under a law."""
    return presence(substance, label(text, regime=regime, packed_on=packed_on))


def judged(
    food: Food,
    *demands: Demand,
    readings: tuple[LabelReading, ...] = (),
    is_handled_here: bool = False,
    stage: Stage = Stage.TABLE_FOOD,
    is_under_four: bool = False,
) -> Judgement:
    """Judge one offer of a food for one eater."""
    offer = Offer(food, readings, is_handled_here)
    return judge(offer, Eater(stage, frozenset(demands), is_under_four))


def reason(
    demand: Demand, *readings: LabelReading, food: Food = MEAL, is_handled_here: bool = False
) -> Reason:
    """Give the one reason that a single demand finds in a food with this label."""
    found = judged(food, demand, readings=readings, is_handled_here=is_handled_here)
    (only,) = found.reasons
    return only
