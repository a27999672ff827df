"""Measure how fast labels are read, and how fast every food is decided for every household.

The foods and the households are made up from a seed. Households that are alike in whom they feed
and what they avoid share an answer, as they do in the service.
"""

import random
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from functools import cache, partial
from gc import collect, freeze
from statistics import median
from time import perf_counter
from tracemalloc import get_traced_memory, start, stop
from typing import Final

from daysworth.domain.demands import Demand, Eater
from daysworth.domain.eaters import eater_of
from daysworth.domain.foods import Food, FoodGroup, MadeOf
from daysworth.domain.identifiers import FoodId, HouseholdId, MemberId
from daysworth.domain.labels import LabelReading, Regime
from daysworth.domain.offers import Offer
from daysworth.domain.people import Household, Member
from daysworth.domain.restrictions import Diet, DietLevel, Reach, Restriction, Substance
from daysworth.domain.suitability import judge, reason_for
from daysworth.domain.verdicts import Verdict

SEED: Final = 1
FOODS: Final = 10_000
HOUSEHOLDS: Final = 500
RUNS: Final = 5
AS_OF: Final = date(2026, 11, 25)
PLACES: Final = {Verdict.SUITABLE: 0, Verdict.UNKNOWN: 1, Verdict.UNSUITABLE: 2}

PLAIN: Final = (
    *("rice", "water", "salt", "sugar", "tomatoes", "carrots", "onions", "potatoes", "peas"),
    *("sunflower oil", "rapeseed oil", "garlic powder", "black pepper", "citric acid", "paprika"),
    *("white beans", "lentils", "chickpeas", "corn starch", "tapioca starch", "apple juice"),
    *("peaches", "pears", "ascorbic acid", "cocoa butter", "coffee extract", "parsley"),
)
TELLING: Final = (
    *("wheat flour (wheat flour, niacin, iron)", "skimmed milk powder", "whey", "dried egg white"),
    *(
        "soy lecithin",
        "soybean oil",
        "roasted peanuts",
        "almonds",
        "sesame seeds",
        "tuna",
        "celery",
    ),
    *("mustard seed", "barley malt extract", "rolled oats", "honey", "coconut milk", "gelatin"),
    *("chicken", "pork", "white wine", "carmine", "sodium metabisulphite", "shrimp powder"),
    *("natural flavoring", "spices", "modified food starch", "yeast extract", "vegetable oil"),
)
STATED: Final = ("milk", "wheat", "soy", "peanuts", "tree nuts", "egg", "fish", "sesame")
RESTRICTIONS: Final = (
    *(Restriction(allergy=one) for one in (Substance.PEANUT, Substance.MILK, Substance.EGG)),
    *(Restriction(allergy=one) for one in (Substance.SESAME, Substance.TREE_NUT, Substance.SOY)),
    Restriction(allergy=Substance.FISH, accepts_may_contain=True),
    Restriction(allergy=Substance.PEANUT, accepts_may_contain=True, reach=Reach.PERSON),
    *(Restriction(diet=one) for one in (Diet.VEGETARIAN, Diet.VEGAN, Diet.DIABETIC, Diet.SOFT)),
    Restriction(diet=Diet.GLUTEN_FREE, reach=Reach.HOME),
    Restriction(diet=Diet.HALAL, reach=Reach.HOME),
    Restriction(diet=Diet.KOSHER, level=DietLevel.CERTIFIED),
    *(Restriction(words=one) for one in ("kiwi", "red dye", "corn syrup")),
)


def measure() -> None:
    """Print the seconds to read and to decide, the memory, and how many verdicts of each kind."""
    foods, households = list(_foods()), list(_households())
    tables = [_table(household) for household in households]
    began = perf_counter()
    offers = [Offer(food, (reading,)) for food, reading in foods]
    for offer in offers:
        offer.known  # noqa: B018  # This is what is measured: the label is read.
    print(f"{len(offers):,} labels read: {perf_counter() - began:.2f} s")
    # What is only held, and is no garbage, is not to be looked through for garbage while deciding.
    collect()
    freeze()
    print(f"{len(offers):,} foods, {len(tables):,} households of {len(set(tables))} kinds")
    for decide in (decided, through_each_judgement):
        taken = _seconds(decide, offers, tables=tables)
        name = decide.__name__.replace("_", " ")
        print(f"{name:<24} median of {RUNS}: {median(taken):.2f} s, least {min(taken):.2f} s")
    found = decided(offers, tables)
    assert found == through_each_judgement(offers, tables)
    _print_memory(foods, tables)
    for verdict, place in PLACES.items():
        count = sum(verdicts.count(place) for verdicts in found)
        print(f"{verdict:<12}{count:>12,}")


def decided(offers: Sequence[Offer], tables: Iterable[frozenset[Eater]]) -> list[list[int]]:
    """Give each household's verdict on every food, as its place from the best to the worst.

    A judgement is as bad as the worst of its reasons, and a household's answer as the worst at its
    table. So each stage and each demand is decided once for a food, and the worst is taken.
    """
    found: list[list[int]] = []
    by_table: dict[frozenset[Eater], list[int]] = {}
    by_stage, by_demand = cache(partial(_by_stage, offers)), cache(partial(_by_demand, offers))
    for table in tables:
        if table not in by_table:
            each = [by_stage(replace(eater, demands=frozenset())) for eater in table]
            each += [by_demand(one) for one in {one for eater in table for one in eater.demands}]
            by_table[table] = each[0] if len(each) == 1 else list(map(max, *each))
        found.append(by_table[table])
    return found


def _by_stage(offers: Sequence[Offer], eater: Eater) -> list[int]:
    return [PLACES[judge(offer, eater).verdict] for offer in offers]


def _by_demand(offers: Sequence[Offer], demand: Demand) -> list[int]:
    return [PLACES[reason_for(offer, demand).verdict] for offer in offers]


def through_each_judgement(
    offers: Sequence[Offer], tables: Iterable[frozenset[Eater]]
) -> list[list[int]]:
    """Give the same by a whole judgement for each eater, with nothing shared but equal tables."""
    of_table = cache(
        lambda table: [
            max(PLACES[judge(offer, eater).verdict] for eater in table) for offer in offers
        ]
    )
    return [of_table(table) for table in tables]


def _seconds(
    decide: Callable[[Sequence[Offer], Sequence[frozenset[Eater]]], list[list[int]]],
    offers: Sequence[Offer],
    *,
    tables: Sequence[frozenset[Eater]],
) -> list[float]:
    taken = []
    for _ in range(RUNS):
        for offer in offers:
            offer.decided.clear()
        began = perf_counter()
        decide(offers, tables)
        taken.append(perf_counter() - began)
    return taken


def _print_memory(
    foods: Sequence[tuple[Food, LabelReading]], tables: Sequence[frozenset[Eater]]
) -> None:
    start()
    decided([Offer(food, (reading,)) for food, reading in foods], tables)
    print(f"memory at most, labels and verdicts: {get_traced_memory()[1] / 1e6:.0f} MB")
    stop()


def _foods() -> Iterator[tuple[Food, LabelReading]]:
    rng = random.Random(SEED)
    groups = sorted(set(FoodGroup) - {FoodGroup.WATER, FoodGroup.INFANT_FORMULA})
    for number in range(FOODS):
        food = Food(
            id=FoodId(f"f{number}"),
            name=f"Food {number}",
            group=rng.choice(groups),
            energy_kcal_100g=200,
            protein_g_100g=5,
            net_mass_g=400,
            sodium_mg_100g=rng.choice((None, 10, 400)),
            made_of=rng.choice((MadeOf.MIXED, MadeOf.MIXED, MadeOf.PLAIN_PLANT)),
        )
        yield food, _label(rng, number)


def _label(rng: random.Random, number: int) -> LabelReading:
    listed = [*rng.sample(PLAIN, rng.randint(3, 9)), *rng.sample(TELLING, rng.choice((0, 0, 1, 3)))]
    rng.shuffle(listed)
    parts = [f"Ingredients: {', '.join(listed)}."]
    if rng.random() < 0.4:
        parts.append(f"Contains: {', '.join(rng.sample(STATED, rng.randint(1, 2)))}.")
    if rng.random() < 0.2:
        parts.append(f"May contain traces of {', '.join(rng.sample(STATED, rng.randint(1, 3)))}.")
    return LabelReading(
        text=f"{' '.join(parts)} Lot {number}.",
        is_whole=rng.random() < 0.9,
        regime=rng.choice((Regime.US_FDA, Regime.US_FDA, Regime.EU, None)),
        packed_on=rng.choice((None, date(2026, 3, 1))),
    )


@cache
def _sets() -> tuple[tuple[Restriction, ...], ...]:
    """Make the distinct sets of restrictions that the households' members have."""
    rng = random.Random(SEED)
    found: dict[tuple[Restriction, ...], None] = {(): None}
    while len(found) < 25:
        found[tuple(rng.sample(RESTRICTIONS, rng.choice((1, 1, 2, 3))))] = None
    return tuple(found)


def _households() -> Iterator[Household]:
    """Make households of one to four, of whom one has a set of restrictions."""
    rng = random.Random(SEED)
    for number in range(HOUSEHOLDS):
        plain = Member(id=MemberId("m0"), born_on=date(1980, 1, 1))
        members = [replace(plain, id=MemberId(f"m{n}")) for n in range(rng.randint(1, 4))]
        members[0] = replace(members[0], restrictions=_sets()[number % len(_sets())])
        yield Household(id=HouseholdId(f"h{number}"), members=tuple(members))


def _table(household: Household) -> frozenset[Eater]:
    return frozenset(
        eater_of(member, household=household, as_of=AS_OF) for member in household.members
    )
