"""In an evacuation what needs no opener goes first, then most energy for its weight."""

import random
from dataclasses import replace
from math import inf, nan
from typing import Final

import pytest

from daysworth.domain.errors import ScenarioRefused
from daysworth.domain.foods import Food
from daysworth.domain.identifiers import HouseholdId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.meal_kits import MealKit
from daysworth.domain.people import Household
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.wares import WareKind
from daysworth.planners.take_along import TakeAlong, WhyLeftBehind, take_along
from tests.planners.bags import DISH, FRUIT, HOME, TINNED, WARES, a_kit, in_kits, stocked
from tests.planners.one_home import home, lot, woman
from tests.planners.small_stores import AS_OF
from tests.planners.warned_homes import PEANUT, SPREAD, STEW, VEGETARIAN, avoiding

OTHER: Final = home(woman("c"), id_="i")


def one_kit_each(
    *lots: Lot, homes: tuple[Household, ...] = (), **more: dict[str, object]
) -> Snapshot:
    """Put every lot up as a kit of its own, named for it; `more` are facts of some of them."""
    kits = tuple(
        a_kit(f"k{n}", str(n), units=held.units, **more.get(f"k{n}", {}))
        for n, held in enumerate(lots)
    )
    return stocked(*lots, kits=kits, homes=homes or (home(woman("a"), woman("b")), OTHER))


def taken(found: TakeAlong) -> list[str]:
    return [one.kit.id for one in found.taken]


def left(found: TakeAlong) -> dict[str, WhyLeftBehind]:
    return {one.kit.id: one.why for one in found.left}


def asked(snapshot: Snapshot, **more: object) -> TakeAlong:
    return take_along(snapshot, AS_OF, **more)  # type: ignore[arg-type]


# --- the order ---


def test_what_needs_no_opener_comes_first_and_then_the_most_energy_for_its_weight() -> None:
    """By hand: 250, 50, 250 and 100 kcal in 100 g."""
    snapshot = one_kit_each(in_kits(TINNED), in_kits(FRUIT), in_kits(DISH), in_kits(STEW))
    found = asked(snapshot)
    assert taken(found) == ["k2", "k3", "k1", "k0"]
    assert [one.needs_opener for one in found.taken] == [False, False, False, True]
    assert found.left == ()


def test_of_kits_with_the_same_energy_for_their_weight_the_lightest_comes_first() -> None:
    assert taken(asked(one_kit_each(in_kits(DISH, 3), in_kits(DISH, 1)))) == ["k1", "k0"]


def test_an_opener_in_the_bag_is_told_and_does_not_bring_the_kit_forward() -> None:
    with_opener: dict[str, object] = {"wares": {**WARES, WareKind.OPENER: 1}}
    found = asked(one_kit_each(in_kits(TINNED), in_kits(FRUIT), k0=with_opener))
    assert taken(found) == ["k1", "k0"]
    assert [one.has_opener for one in found.taken] == [False, True]


def test_running_totals_say_what_all_so_far_come_to() -> None:
    """By hand: two pouches of 1,000 kcal and 400 g; two cups of 70 kcal and 140 g."""
    found = asked(one_kit_each(in_kits(FRUIT), in_kits(DISH)))
    assert [
        (one.persons_so_far, one.energy_kcal_so_far, one.mass_g_so_far) for one in found.taken
    ] == [(2, 2_000, 800), (4, pytest.approx(2_140), 1_080)]


# --- the limit ---


def test_within_a_limit_each_is_taken_in_order_while_it_fits() -> None:
    """By hand: 1,200 g do not fit into 1,000 g any more beside 800 g, and 140 g do."""
    snapshot = one_kit_each(in_kits(DISH, 2), in_kits(DISH, 3), in_kits(FRUIT, 1))
    found = asked(snapshot, most_g=1_000)
    assert taken(found) == ["k0", "k2"]
    assert left(found) == {"k1": WhyLeftBehind.TOO_HEAVY}


def test_a_limit_that_is_just_met_is_met() -> None:
    assert taken(asked(one_kit_each(in_kits(DISH)), most_g=800)) == ["k0"]
    assert taken(asked(one_kit_each(in_kits(DISH)), most_g=799)) == []


@pytest.mark.parametrize("most_g", [0, -1, nan, inf])
def test_a_limit_is_some_grams(most_g: float) -> None:
    with pytest.raises(ScenarioRefused, match="grams above 0"):
        asked(one_kit_each(in_kits(DISH)), most_g=most_g)


# --- what is left behind ---


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"condition": Condition.DAMAGED}, WhyLeftBehind.NOT_SOUND),
        ({"condition": Condition.QUARANTINED}, WhyLeftBehind.NOT_SOUND),
        ({"label_kind": LabelKind.USE_BY, "printed": "2027-05-13"}, WhyLeftBehind.PAST),
        ({"label_kind": LabelKind.UNLABELLED, "printed": None}, WhyLeftBehind.UNDATED),
        ({"owner": OTHER.id, "is_shared": False}, WhyLeftBehind.FOR_ANOTHER_HOUSEHOLD),
    ],
)
def test_a_kit_with_anything_in_it_that_is_not_good_stays(
    more: dict[str, object], why: WhyLeftBehind
) -> None:
    lots = (in_kits(DISH), in_kits(FRUIT, **more))
    homes = (home(woman("a"), woman("b")), OTHER)
    kits = (a_kit("good", "0", units=1), a_kit("bad", "0", "1", units=1))
    found = asked(stocked(*lots, kits=kits, homes=homes))
    assert taken(found) == ["good"]
    assert left(found) == {"bad": why}


def test_for_a_household_only_what_suits_everybody_in_it_is_taken() -> None:
    snapshot = one_kit_each(
        in_kits(DISH),
        in_kits(STEW, readings=()),
        lot(SPREAD, 2, units_in_kits=2),
        homes=(home(avoiding(PEANUT), woman("b")),),
    )
    found = asked(snapshot, household=HOME)
    assert taken(found) == ["k0"]
    assert left(found) == {"k2": WhyLeftBehind.UNSUITABLE, "k1": WhyLeftBehind.UNKNOWN}
    assert sorted(taken(asked(snapshot))) == ["k0", "k1", "k2"]


def test_a_diet_keeps_a_kit_from_those_who_keep_it() -> None:
    homes = (home(avoiding(VEGETARIAN)),)
    snapshot = one_kit_each(in_kits(STEW, readings=()), homes=homes)
    assert taken(asked(snapshot, household=HOME)) == []


def test_a_kit_that_was_put_up_for_others_is_theirs() -> None:
    snapshot = one_kit_each(
        in_kits(DISH),
        in_kits(FRUIT),
        in_kits(STEW),
        k0={"household": HOME},
        k1={"household": OTHER.id},
    )
    found = asked(snapshot, household=HOME)
    assert taken(found) == ["k0", "k2"]
    assert left(found) == {"k1": WhyLeftBehind.FOR_ANOTHER_HOUSEHOLD}


def test_a_household_that_the_store_has_not_is_refused() -> None:
    with pytest.raises(ScenarioRefused, match="no household 'nobody'"):
        asked(one_kit_each(in_kits(DISH)), household=HouseholdId("nobody"))


def test_without_kits_there_is_nothing_to_take() -> None:
    assert asked(stocked(in_kits(DISH))) == TakeAlong(taken=(), left=())


def some_kits(drawn: random.Random) -> Snapshot:
    """Draw kits of all sorts."""
    foods: list[Food] = [DISH, FRUIT, STEW, TINNED, SPREAD]
    lots = [
        in_kits(
            drawn.choice(foods),
            drawn.randint(1, 4),
            condition=drawn.choice([Condition.SOUND, Condition.SOUND, Condition.QUARANTINED]),
        )
        for _ in range(drawn.randint(1, 8))
    ]
    return one_kit_each(*lots, homes=(home(avoiding(PEANUT), woman("b")),))


def mass_g(kit: MealKit, snapshot: Snapshot) -> float:
    foods = {one.id: one for one in snapshot.foods}
    lots = {one.id: one for one in snapshot.lots}
    return sum(item.units * foods[lots[item.lot].food].net_mass_g for item in kit.items)


def test_every_kit_is_taken_or_left_once_and_the_limit_is_never_passed() -> None:
    for seed in range(80):
        drawn = random.Random(seed)
        snapshot, most_g = some_kits(drawn), drawn.uniform(100, 4_000)
        household = drawn.choice([None, HOME])
        found = asked(snapshot, household=household, most_g=most_g)
        ids = [*taken(found), *left(found)]
        assert sorted(ids) == sorted(kit.id for kit in snapshot.kits)
        weight_g = sum(mass_g(one.kit, snapshot) for one in found.taken)
        assert weight_g <= most_g + 1e-6
        for one in found.left:
            if one.why is WhyLeftBehind.TOO_HEAVY:
                assert weight_g + mass_g(one.kit, snapshot) > most_g


def test_the_order_in_which_kits_are_kept_changes_nothing() -> None:
    for seed in range(20):
        drawn = random.Random(seed)
        snapshot = some_kits(drawn)
        shuffled = list(snapshot.kits)
        drawn.shuffle(shuffled)
        again = replace(snapshot, kits=tuple(shuffled))
        assert asked(again, most_g=2_000) == asked(snapshot, most_g=2_000)
