"""Make small stores that reach the corners: few people, few lots, hard dates, poor packs."""

import random
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Final, TypeVar

from daysworth.domain.foods import Food, FoodGroup, MadeOf, MassBasis, Preparation, Texture
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId, MemberId, PlaceId, StoreId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import LabelReading, Regime
from daysworth.domain.lots import Condition, Lot, Place
from daysworth.domain.needs import NeedsBasis
from daysworth.domain.people import Household, InfantFeeding, Member, Sex
from daysworth.domain.restrictions import DeclaredFacts, Diet, Reach, Restriction, Substance
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario, StockScope

AS_OF: Final = date(2027, 5, 14)
_PLACES: Final = ("hall", "cellar", "porch")
Choice = TypeVar("Choice")


def food(id_: str, *, kcal: float, protein_g: float, net_g: float = 400, **more: object) -> Food:
    """Make a food; what is not given is that of something eaten as it is."""
    facts = {"group": FoodGroup.PREPARED_MEALS, "made_of": MadeOf.MIXED, "texture": Texture.SOFT}
    return Food(
        id=FoodId(id_),
        name=id_,
        energy_kcal_100g=kcal,
        protein_g_100g=protein_g,
        net_mass_g=net_g,
        **{**facts, **more},  # type: ignore[arg-type]
    )


def containing(*substances: Substance) -> DeclaredFacts:
    """Declare what a recipe contains."""
    return DeclaredFacts(contains=frozenset(substances))


NEEDED: Final = Preparation.NEEDED
FOODS: Final = (
    food("beans", kcal=110, protein_g=7, figures_for=MassBasis.DRAINED, drained_fraction=0.6),
    food(
        "peanut_spread",
        kcal=600,
        protein_g=22,
        facts=containing(Substance.PEANUT),
        keeps_opened_days=6,
        keeps_repacked_days=9,
    ),
    food(
        "biscuits",
        kcal=480,
        protein_g=4,
        facts=containing(Substance.WHEAT),
        texture=Texture.FIRM,
        keeps_opened_days=3,
        keeps_repacked_days=4,
    ),
    food("crisps", kcal=530, protein_g=1.5, made_of=MadeOf.PLAIN_PLANT),
    food("fruit", kcal=70, protein_g=0.4, made_of=MadeOf.PLAIN_PLANT),
    food("fish", kcal=190, protein_g=25, facts=containing(Substance.FISH)),
    food("oil", kcal=884, protein_g=0, is_extra=True, made_of=MadeOf.PLAIN_PLANT),
    food("sugar", kcal=387, protein_g=0, is_extra=True, made_of=MadeOf.PLAIN_PLANT),
    food(
        "rice", kcal=365, protein_g=7, heating=NEEDED, added_water=NEEDED, added_water_ml_100g=250
    ),
    food(
        "milk_powder",
        kcal=490,
        protein_g=26,
        added_water=NEEDED,
        added_water_ml_100g=800,
        keeps_opened_days=4,
        keeps_repacked_days=5,
    ),
    food("formula_ready", kcal=63, protein_g=1.4, group=FoodGroup.INFANT_FORMULA),
    food(
        "formula_powder",
        kcal=520,
        protein_g=12,
        group=FoodGroup.INFANT_FORMULA,
        added_water=NEEDED,
        added_water_ml_100g=690,
    ),
    food("baby_jar", kcal=60, protein_g=2.5, group=FoodGroup.BABY_FOOD),
    food("salt", kcal=0, protein_g=0, is_extra=True),
    food(
        "filled_water", kcal=0, protein_g=0, net_g=5_000, group=FoodGroup.WATER, shelf_life_months=6
    ),
)
_EATEN: Final = FOODS[:-1]
_INGREDIENTS: Final = {
    "beans": "white beans, water, tomatoes, sugar, salt",
    "peanut_spread": "roasted peanuts, salt",
    "biscuits": "wheat flour, sugar, sunflower oil, salt",
    "crisps": "potatoes, sunflower oil, salt",
    "fruit": "peaches, water, sugar",
    "fish": "tuna, water, salt",
    "oil": "sunflower oil",
    "sugar": "cane sugar",
    "rice": "rice",
    "milk_powder": "skimmed milk powder",
    "formula_ready": "water, lactose, skimmed milk, sunflower oil",
    "formula_powder": "lactose, skimmed milk, sunflower oil",
    "baby_jar": "carrots, water",
    "salt": "salt",
}
_PRECAUTION: Final = "May contain peanuts and wheat."
_AGES_MONTHS: Final = (3, 8, *(30, 60, 100, 130, 160, 200, 400, 450, 500, 600, 700, 900) * 2)
_ALLERGIES: Final = (Substance.PEANUT, Substance.WHEAT, Substance.FISH)
_DIETS: Final = (Diet.VEGETARIAN, Diet.GLUTEN_FREE, Diet.SOFT, Diet.DIABETIC, Diet.PUREED)


def small_store(seed: int) -> tuple[Snapshot, Scenario]:
    """Make the store and the scenario of a seed."""
    rng = random.Random(seed)
    homes = tuple(_household(rng, n) for n in range(1, rng.randint(2, 5)))
    lots = [_lot(rng, n, homes) for n in range(1, rng.randint(6, 17))]
    lots += [_water(rng, 100 + n, homes) for n in range(rng.randint(1, 4))]
    snapshot = Snapshot(
        store=StoreId("small"),
        store_name="A small store",
        version=seed,
        taken_on=AS_OF,
        settings=StoreSettings(
            extras_share=rng.choice((0.15, 0.15, 0.15, 0.0, 0.4, 1.0)),
            grace_days=rng.choice(({}, {FoodGroup.PREPARED_MEALS: 2})),
            water_l_per_person_day=rng.choice((3.785, 2.0)),
        ),
        households=homes,
        foods=FOODS,
        places=tuple(Place(id=PlaceId(place), name=place) for place in _PLACES),
        lots=tuple(lots),
    )
    return snapshot, _scenario(rng, homes)


def _scenario(rng: random.Random, homes: Sequence[Household]) -> Scenario:
    away = [home.id for home in homes if rng.random() < 0.08]
    return Scenario(
        heating=rng.random() < 0.4,
        running_water=rng.random() < 0.4,
        stock=rng.choice((StockScope.SHARED, StockScope.ALL)),
        places_lost=frozenset({PlaceId("porch")} if rng.random() < 0.15 else ()),
        households_away=frozenset(away if len(away) < len(homes) else ()),
        basis=NeedsBasis.FLAT if rng.random() < 0.2 else None,
        ration=rng.choice((1.0, 1.0, 0.6)),
        horizon_days=rng.choice((3, 6, 9, 12)),
    )


def _household(rng: random.Random, number: int) -> Household:
    members = tuple(
        _member(rng, MemberId(f"h{number}-{n}")) for n in range(1, rng.choice((2, 2, 3, 4)))
    )
    return Household(id=HouseholdId(f"h{number}"), members=members, pets=rng.choice((0, 0, 1)))


def _member(rng: random.Random, id_: MemberId) -> Member:
    months = rng.choice(_AGES_MONTHS)
    return Member(
        id=id_,
        born_on=AS_OF - timedelta(days=int(months * 30.5)),
        sex=rng.choice((Sex.FEMALE, Sex.MALE, None)),
        appetite=rng.choice((1.0, 1.0, 0.8, 1.3)),
        infant_feeding=rng.choice(tuple(InfantFeeding)) if months < 12 else None,
        restrictions=_restrictions(rng),
    )


def _restrictions(rng: random.Random) -> tuple[Restriction, ...]:
    draw = rng.random()
    if draw < 0.18:
        return (
            Restriction(
                allergy=rng.choice(_ALLERGIES),
                reach=rng.choice((None, Reach.PERSON)),
                accepts_may_contain=rng.random() < 0.3,
            ),
        )
    if draw < 0.3:
        return (Restriction(diet=rng.choice(_DIETS), reach=rng.choice((None, Reach.HOME))),)
    return ()


def _lot(rng: random.Random, number: int, homes: Sequence[Household]) -> Lot:
    chosen = rng.choice(_EATEN)
    home = rng.choice(homes)
    is_shared = rng.random() < 0.75
    units = rng.randint(0, 6)
    promised = rng.randint(0, units) if rng.random() < 0.1 else 0
    kind, printed = _label(rng)
    return Lot(
        id=LotId(f"l{number}"),
        food=chosen.id,
        place=PlaceId(rng.choice(_PLACES)),
        units=units,
        owner=home.id if not is_shared or rng.random() < 0.3 else None,
        is_shared=is_shared,
        units_promised=promised,
        units_in_kits=rng.randint(0, units - promised) if rng.random() < 0.15 else 0,
        net_mass_g=rng.choice((None, None, 250.0, 900.0, 2_000.0)),
        label_kind=kind,
        printed=printed,
        opened_on=_handled(rng),
        repacked_on=_handled(rng),
        condition=rng.choice((Condition.SOUND,) * 14 + tuple(Condition)),
        readings=_readings(rng, chosen),
    )


def _handled(rng: random.Random) -> date | None:
    return AS_OF - timedelta(days=rng.randint(0, 4)) if rng.random() < 0.06 else None


def _label(rng: random.Random) -> tuple[LabelKind, str | None]:
    if rng.random() < 0.05:
        return LabelKind.UNLABELLED, None
    day = AS_OF + timedelta(days=rng.choice((-3, -1, 0, 1, 2, 2, 3, 4, 6, 8, 40, 40, 400)))
    return rng.choice((LabelKind.BEST_BY, LabelKind.USE_BY)), day.isoformat()


def _readings(rng: random.Random, chosen: Food) -> tuple[LabelReading, ...]:
    """Leave a label unread, tick what it says, copy it, or let two readers say different things."""
    regime = rng.choice((Regime.US_FDA, Regime.EU))
    ticked, copied = _ticked(chosen, regime), _copied(chosen, regime)
    draw = rng.random()
    if draw < 0.3:
        return ()
    if draw < 0.55:
        return (ticked,)
    if draw < 0.65:
        return (_with_traces(chosen, ticked),)
    if draw < 0.85:
        return (copied,)
    warned = replace(copied, text=f"{copied.text} {_PRECAUTION}")
    return (warned,) if draw < 0.95 else (ticked, warned)


def _ticked(chosen: Food, regime: Regime) -> LabelReading:
    held = chosen.facts.contains | ({Substance.GLUTEN} if chosen.id == "biscuits" else frozenset())
    clear = frozenset(Substance) - held
    return LabelReading(contains=held, not_declared=clear, is_whole=True, regime=regime)


def _with_traces(chosen: Food, ticked: LabelReading) -> LabelReading:
    traces = frozenset({Substance.PEANUT, Substance.WHEAT}) - ticked.contains
    return replace(ticked, may_contain=traces, not_declared=ticked.not_declared - traces)


def _copied(chosen: Food, regime: Regime) -> LabelReading:
    text = f"Ingredients: {_INGREDIENTS[chosen.id]}."
    return LabelReading(text=text, is_whole=True, regime=regime)


def _water(rng: random.Random, number: int, homes: Sequence[Household]) -> Lot:
    is_shared = rng.random() < 0.7
    return Lot(
        id=LotId(f"l{number}"),
        food=FOODS[-1].id,
        place=PlaceId(rng.choice(_PLACES)),
        units=rng.choice((1, 1, 2, 4, 12)),
        owner=None if is_shared else rng.choice(homes).id,
        is_shared=is_shared,
        label_kind=LabelKind.PACKED_ON,
        printed=(AS_OF - timedelta(days=rng.choice((10, 100, 300)))).isoformat(),
    )
