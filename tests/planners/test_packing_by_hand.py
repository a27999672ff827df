"""Kits of stores that can be reckoned by hand: what goes in, what runs out, what is refused."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta
from typing import Final

import pytest

from daysworth.domain.errors import PlanningStopped, ScenarioRefused
from daysworth.domain.foods import FoodGroup, MealRole
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId, PatternId, PlaceId
from daysworth.domain.kit_rules import pack_volume_l
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Lot
from daysworth.domain.meal_patterns import (
    Choice,
    MealPattern,
    MealRule,
    Served,
    Slot,
    SlotKind,
    Waiver,
    Wanted,
)
from daysworth.domain.meal_rules import MealRules
from daysworth.domain.people import Household
from daysworth.domain.restrictions import Reach
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.wares import WareKind, WareStock
from daysworth.planners.packing import (
    PackAsked,
    PackingPlan,
    PlannedKit,
    plan_packing,
)
from daysworth.planners.packing_shortfall import Lacking, Shortfall
from daysworth.planners.packing_stock import WhyLeft
from daysworth.planners.stopping import heeding
from tests.planners.one_home import home, woman
from tests.planners.small_kits import FOODS, kit_trial
from tests.planners.small_stores import AS_OF
from tests.planners.warned_homes import PEANUT, avoiding, infant

_FOODS: Final = {food.name: food for food in FOODS}


def wares_of(one: PlannedKit) -> Counter[WareKind]:
    """Count the wares of a kit."""
    wares: Counter[WareKind] = Counter()
    for ware in one.kit.wares:
        wares[ware.kind] += ware.units
    return wares


HALL: Final = PlaceId("hall")


def lot(name: str, units: int, *, days: int = 400, **more: object) -> Lot:
    """Make a lot of a food that keeps for so many days."""
    facts: dict[str, object] = {
        "id": LotId(f"{name}-{units}-{days}-{len(more)}"),
        "food": FoodId(name),
        "place": HALL,
        "label_kind": LabelKind.USE_BY,
        "printed": (AS_OF + timedelta(days=days)).isoformat(),
    }
    return Lot(units=units, **{**facts, **more})  # type: ignore[arg-type]


def store(
    *lots: Lot,
    homes: tuple[Household, ...] = (),
    wares: Mapping[WareKind, int] | None = None,
    **rules: float,
) -> Snapshot:
    """Make a store of lots, with wares enough unless told otherwise, that asks for no energy."""
    held = dict.fromkeys(WareKind, 99) | dict(wares or {})
    return replace(
        kit_trial(0)[0],
        settings=StoreSettings(meal_rules=MealRules(**{"share_of_day": 0.001, **rules})),  # type: ignore[arg-type]
        households=homes,
        lots=lots,
        wares=tuple(WareStock(kind=k, place=HALL, units=n) for k, n in held.items()),
    )


def slot(kind: SlotKind, *choices: str | FoodGroup | tuple[str, str], **more: object) -> Slot:
    """Make a slot of choices: a food's name, a group, or two names."""
    return Slot(
        kind=kind,
        choices=tuple(Choice(foods=tuple(map(_wanted, _each(one)))) for one in choices),
        **more,  # type: ignore[arg-type]
    )


def _each(one: str | FoodGroup | tuple[str, str]) -> tuple[str | FoodGroup, ...]:
    return one if isinstance(one, tuple) else (one,)


def _wanted(one: str | FoodGroup) -> Wanted:
    return Wanted(group=one) if isinstance(one, FoodGroup) else Wanted(food=FoodId(one))


def pattern(*slots: Slot, waived: tuple[MealRule, ...] = (), persons: int = 1) -> MealPattern:
    """Make a pattern for one."""
    return MealPattern(
        id=PatternId("supper"),
        name="Supper",
        persons=persons,
        slots=slots,
        waivers=tuple(Waiver(rule=rule, why="as tried") for rule in waived),
    )


FISH: Final = slot(SlotKind.PROTEIN, FoodGroup.FISH)
BREAD: Final = slot(SlotKind.STARCH, FoodGroup.BREADS_AND_CRACKERS)
FRUIT: Final = slot(SlotKind.FRUIT_OR_VEGETABLE, FoodGroup.FRUIT)
SUPPER: Final = pattern(FISH, BREAD, FRUIT)
FULL: Final = (lot("mackerel", 3), lot("oat crackers", 3), lot("peaches", 3))


def plan_of(
    snapshot: Snapshot, made_by: MealPattern = SUPPER, *, wanted: int = 3, **more: object
) -> PackingPlan:
    """Plan kits of one kind."""
    asked = PackAsked(pattern=made_by, wanted=wanted, **more)  # type: ignore[arg-type]
    return plan_packing(snapshot, AS_OF, asked=(asked,))


def short(plan: PackingPlan) -> Shortfall:
    """Give why a plan's only kind falls short."""
    (made,) = plan.made
    assert made.shortfall is not None
    return made.shortfall


def test_a_kit_is_a_serving_of_each_part_in_whole_units_with_its_wares() -> None:
    (kit, *_), stages = plan_of(store(*FULL)).kits, plan_of(store(*FULL)).stages
    assert [(item.lot.split("-")[0], item.units) for item in kit.kit.items] == [
        ("mackerel", 1),
        ("oat crackers", 1),
        ("peaches", 1),
    ]
    assert wares_of(kit) == {
        WareKind.PLATE: 1,
        WareKind.FORK: 1,
        WareKind.NAPKIN: 1,
        WareKind.BAG: 1,
    }
    # 120 g of fish, where a serving is 85 g, and nothing over of crackers (30 g) and fruit (140 g).
    assert kit.surplus_servings == pytest.approx(35 / 85)
    assert stages[3].value == pytest.approx(3 * 0.42)


def test_a_household_s_kit_serves_who_eats_there_and_asks_for_their_energy() -> None:
    (kit,) = plan_of(
        store(*FULL, homes=(home(woman(), woman("c"), infant(3)),)),
        wanted=1,
        household=HouseholdId("h"),
    ).kits
    assert (kit.kit.persons, kit.kit.household) == (2, "h")
    assert wares_of(kit)[WareKind.FORK] == 2


def test_a_kit_by_number_asks_for_the_mean_need_of_the_store_and_else_for_2100_kcal() -> None:
    # One fish, one pack of crackers, one of peaches: 276 + 135 + 84 kcal.
    for homes, share in (((), 495 / 2100), ((home(woman()),), 495 / 2000)):
        just, more = share * (1 - 1e-6), share * (1 + 1e-3)
        assert len(plan_of(store(*FULL, homes=homes, share_of_day=just)).kits) == 3
        lacking = plan_of(store(*FULL, homes=homes, share_of_day=more))
        assert lacking.kits == ()
        assert short(lacking).lacking is Lacking.ENERGY


def test_a_kit_waits_for_the_latest_dates_and_then_takes_what_lasts_as_long_as_the_rest() -> None:
    lots = (*FULL, lot("peaches", 1, days=300), lot("oat crackers", 1, days=300))
    (kit,) = plan_of(store(*lots), wanted=1).kits
    assert (kit.pull_by_day - AS_OF).days == 400
    shorter = (lot("peaches", 1, days=300), lot("oat crackers", 1, days=310), *FULL[:2])
    (kit,) = plan_of(store(*shorter), wanted=1).kits
    assert "oat crackers-1-310-0" in {item.lot for item in kit.kit.items}


def test_the_first_choice_comes_first_where_all_else_is_equal() -> None:
    lots = (lot("dates", 4), lot("honey bar", 4))
    for first, second in (("dates", "honey bar"), ("honey bar", "dates")):
        sweet = pattern(
            slot(SlotKind.EXTRA, first, second, grams_in_all=30.0), waived=(MealRule.COMPLETE,)
        )
        (kit,) = plan_of(store(*lots), sweet, wanted=1).kits
        assert [item.lot.split("-")[0] for item in kit.kit.items] == [first]


def test_two_foods_of_a_choice_are_each_for_half_and_never_the_same() -> None:
    both = slot(SlotKind.PROTEIN, ("mackerel", "sardines"), servings_each=2.0)
    alone = pattern(both, waived=(MealRule.COMPLETE,))
    (kit,) = plan_of(store(lot("mackerel", 5), lot("sardines", 5)), alone, wanted=1).kits
    # 85 g of each: a pack of 120 g, and two of 60 g.
    assert {item.lot.split("-")[0]: item.units for item in kit.kit.items} == {
        "mackerel": 1,
        "sardines": 2,
    }
    any_fish = pattern(
        replace(both, choices=(Choice(foods=(Wanted(group=FoodGroup.FISH),) * 2),)),
        waived=(MealRule.COMPLETE,),
    )
    assert plan_of(store(lot("mackerel", 9)), any_fish, wanted=1).kits == ()
    assert len(plan_of(store(lot("mackerel", 9), lot("sardines", 9)), any_fish).kits) == 3


def test_a_food_of_several_parts_fills_their_slots_at_once() -> None:
    stew = pattern(*(slot(kind, "stew") for kind in SlotKind if kind.role is not None), persons=2)
    (kit,) = plan_of(store(lot("stew", 2)), stew, wanted=1).kits
    assert [item.units for item in kit.kit.items] == [2]


def test_packs_of_labels_that_suit_different_homes_are_not_one_dish() -> None:
    one = slot(SlotKind.PROTEIN, "sardines")
    alone = pattern(one, waived=(MealRule.COMPLETE,))
    kept = lot("sardines", 1, owner=HouseholdId("h"), is_shared=False)
    snapshot = store(kept, lot("sardines", 1), homes=(home(),))
    asked = PackAsked(pattern=alone, wanted=1, household=HouseholdId("h"))
    # Two packs of 60 g are a serving of 85 g; for one home alone, whose they are tells no more.
    assert len(plan_packing(snapshot, AS_OF, asked=(asked,)).kits) == 1
    both = (asked, PackAsked(pattern=alone, wanted=1))
    assert plan_packing(snapshot, AS_OF, asked=both).kits == ()


def test_kits_with_tins_are_as_many_as_openers_and_the_rest_go_without() -> None:
    lots = (lot("tuna tin", 3), lot("mackerel", 1), *FULL[1:])
    plan = plan_of(store(*lots, wares={WareKind.OPENER: 1}))
    assert len(plan.kits) == 2
    assert sum(wares_of(one).get(WareKind.OPENER, 0) for one in plan.kits) == 1
    assert (short(plan).lacking, short(plan).ware) == (Lacking.WARE, WareKind.OPENER)
    waiving = replace(SUPPER, waivers=(Waiver(rule=MealRule.OPENER, why="they have one"),))
    unheld = plan_of(store(*lots, wares={WareKind.OPENER: 0}), waiving)
    assert len(unheld.kits) == 3
    assert all(WareKind.OPENER not in wares_of(one) for one in unheld.kits)


def test_a_ware_that_runs_out_is_named_with_what_a_kit_takes_of_it() -> None:
    found = short(plan_of(store(*FULL, wares={WareKind.NAPKIN: 2}), persons=2))
    assert (found.lacking, found.ware, found.needed, found.left) == (
        Lacking.WARE,
        WareKind.NAPKIN,
        2,
        0,
    )


def test_a_slot_that_nothing_fills_is_named_with_why_each_unit_is_left_out() -> None:
    people = home(avoiding(PEANUT))
    lots = (
        *FULL[:2],
        lot("peaches", 5, days=150),
        lot("fruit bucket", 1),
        lot("apple bits", 1, opened_on=AS_OF),
        lot("peaches", 4, units_in_kits=1, units_promised=2),
        lot("pear tin", 2, owner=HouseholdId("g"), is_shared=False),
    )
    other = home(woman("c"), id_="g")
    plan = plan_of(store(*lots, homes=(people, other)), household=HouseholdId("h"))
    found = short(plan)
    assert (found.lacking, found.slot) == (Lacking.SLOT, 0)
    for_anybody = short(plan_of(store(*lots[:2], *lots[2:5], homes=(other,))))
    assert (for_anybody.lacking, for_anybody.slot) == (Lacking.SLOT, 2)
    assert {one.why: one.units for one in for_anybody.left_out} == {
        WhyLeft.OPENED: 1,
        WhyLeft.PACK_TOO_LARGE: 1,
        WhyLeft.KEEPS_TOO_SHORT: 5,
    }
    assert {one.why for one in found.left_out} == {WhyLeft.UNKNOWN}


def test_a_pattern_that_lacks_a_part_makes_nothing_and_names_the_part() -> None:
    found = short(plan_of(store(*FULL), pattern(FISH, replace(BREAD, servings_each=0.5))))
    assert found.lacking is Lacking.PART
    assert found.parts == (MealRole.STARCH, MealRole.FRUIT_OR_VEGETABLE)


def test_what_would_fit_no_bag_is_left_and_the_bag_is_named() -> None:
    lots = [(_FOODS[one.food], _FOODS[one.food].net_mass_g) for one in FULL]
    just_l = sum(pack_volume_l(food, mass_g) for food, mass_g in lots)
    assert len(plan_of(store(*FULL, bag_l=just_l + 1e-6)).kits) == 3
    assert short(plan_of(store(*FULL, bag_l=just_l - 1e-6))).lacking is Lacking.BAG
    both = short(plan_of(store(*FULL, bag_l=just_l - 1e-6, share_of_day=1)))
    assert both.lacking is Lacking.ENERGY_AND_BAG


def test_two_slots_that_need_the_same_packs_are_short_of_packs() -> None:
    twice = pattern(FISH, FISH, waived=(MealRule.COMPLETE,))
    assert short(plan_of(store(lot("mackerel", 1)), twice)).lacking is Lacking.PACKS


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"wanted": 0}, "1 to 500 kits"),
        ({"wanted": 501}, "1 to 500 kits"),
        ({"persons": 0}, "1 to 24 persons"),
        ({"persons": 25}, "1 to 24 persons"),
        ({"household": HouseholdId("x")}, "no household 'x'"),
        ({"household": HouseholdId("h"), "persons": 3}, "which are 1"),
        ({"household": HouseholdId("i")}, "nobody in household 'i'"),
    ],
)
def test_what_cannot_be_asked_is_refused_in_words(changes: dict[str, object], words: str) -> None:
    homes = (home(), home(infant(2), id_="i"))
    with pytest.raises(ScenarioRefused, match=words):
        plan_of(store(*FULL, homes=homes), **changes)  # type: ignore[arg-type]


def test_a_pattern_that_names_a_food_the_store_lacks_is_refused() -> None:
    with pytest.raises(ScenarioRefused, match="'caviar', which is not in this store's catalogue"):
        plan_of(store(*FULL), pattern(slot(SlotKind.PROTEIN, "caviar")))


def test_no_kind_and_too_many_kinds_are_refused() -> None:
    for times in (0, 13):
        with pytest.raises(ScenarioRefused, match="1 to 12 kinds"):
            plan_packing(store(), AS_OF, asked=(PackAsked(pattern=SUPPER, wanted=1),) * times)


def test_a_pattern_that_can_be_put_together_in_too_many_ways_is_refused() -> None:
    pairs = slot(SlotKind.PROTEIN, "mackerel", *(("mackerel", "sardines"),) * 3)
    many = [replace(pairs, grams_in_all=float(n)) for n in range(1, 7)]
    alone = pattern(*many, waived=(MealRule.COMPLETE,))
    with pytest.raises(ScenarioRefused, match="more than 600 ways"):
        plan_of(store(lot("mackerel", 9), lot("sardines", 9)), alone)


def test_a_kit_from_too_many_lots_is_refused() -> None:
    lots = [lot("sardines", 1, days=200 + n) for n in range(70)]
    much = replace(FISH, servings_each=1.9)
    alone = pattern(much, waived=(MealRule.COMPLETE, MealRule.BAG), persons=24)
    with pytest.raises(ScenarioRefused, match="more than 60 lots"):
        plan_of(store(*lots), alone, wanted=1)


class Asked:
    """A stop that is asked for once it has been looked at so often."""

    def __init__(self, after: int) -> None:
        self.left = after

    def is_asked(self) -> bool:
        """Count down to the stop."""
        self.left -= 1
        return self.left < 0


def test_a_stop_is_heeded_wherever_it_comes() -> None:
    snapshot, asked = kit_trial(3)
    looks = Asked(10**6)
    with heeding(looks):
        plan_packing(snapshot, AS_OF, asked=asked)
    needed = 10**6 - looks.left
    assert needed > 10
    for after in (0, needed // 3, needed // 2, needed - 1):
        with heeding(Asked(after)), pytest.raises(PlanningStopped):
            plan_packing(snapshot, AS_OF, asked=asked)


def test_a_kit_holds_a_lot_once_though_two_slots_take_from_it() -> None:
    twice = pattern(replace(FISH, served=Served.BOWL), FISH, waived=(MealRule.COMPLETE,))
    (kit,) = plan_of(store(lot("mackerel", 2)), twice, wanted=1).kits
    assert [(item.units, item.served) for item in kit.kit.items] == [(2, Served.BOWL)]


def test_a_household_s_kit_suits_everyone_served_and_all_that_binds_the_home() -> None:
    alone = replace(PEANUT, reach=Reach.PERSON)
    for people in (home(avoiding(PEANUT)), home(avoiding(alone), woman("b"))):
        plan = plan_of(store(*FULL, homes=(people,)), wanted=1, household=HouseholdId("h"))
        assert plan.kits == ()
