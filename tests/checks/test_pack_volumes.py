"""Hold the room that packs take against the sizes of tins.

A tin is named by its diameter and its height, each as whole inches and sixteenths: 307 x 113 is
3 7/16 in by 1 13/16 in (trade practice, from memory). One inch is 2.54 cm, exactly.
"""

from math import pi

import pytest

from daysworth.domain.catalogue import generic_foods
from daysworth.domain.foods import FoodGroup
from daysworth.domain.identifiers import FoodId
from daysworth.domain.kit_rules import pack_volume_l
from daysworth.reference.pack_volumes import pack_litres_per_kg


def tin_ml(diameter: int, height: int) -> float:
    """Give the outer volume of a tin by the trade's three digits for each of its measures."""
    across_cm, high_cm = (
        (digits // 100 + digits % 100 / 16) * 2.54 for digits in (diameter, height)
    )
    return pi / 4 * across_cm**2 * high_cm


TINS = [
    # The tins that these net masses are usually sold in (common practice; from memory).
    ("tuna_in_water_tinned", 142, (307, 113)),
    ("tuna_in_oil_tinned", 170, (307, 113)),
    ("chicken_chunks_tinned", 142, (307, 113)),
    ("black_beans_tinned", 425, (300, 407)),
    ("beef_stew_tinned", 425, (300, 407)),
    ("peaches_in_juice_tinned", 411, (300, 407)),
    ("sweetcorn_tinned", 425, (300, 407)),
    ("salmon_pink_tinned", 418, (301, 411)),
    ("peaches_in_syrup_tinned", 822, (401, 411)),
]


@pytest.mark.parametrize(("food", "net_g", "size"), TINS)
def test_a_tin_takes_its_own_room_at_least_and_no_more_than_half_as_much_again(
    food: str, net_g: float, size: tuple[int, int]
) -> None:
    """A bag that is reckoned full must hold what is in it, and not be half empty."""
    room_ml = pack_volume_l(generic_foods()[FoodId(food)], net_g) * 1000
    assert tin_ml(*size) <= room_ml <= 1.5 * tin_ml(*size)


def test_the_tins_have_their_published_capacities() -> None:
    """Trade tables (from memory): a No. 300 tin holds 15.2 fl oz, about 450 mL, inside."""
    assert 450 < tin_ml(300, 407) < 530
    assert tin_ml(307, 113) == pytest.approx(276, abs=1)


def test_no_group_takes_less_room_than_its_food_itself() -> None:
    """What is mostly water has 1 L a kilogram; oil, the lightest of all, 1.09 L (from memory)."""
    litres = pack_litres_per_kg()
    assert set(litres) == {group.value for group in FoodGroup}
    assert all(each > 1 for each in litres.values())
    assert litres[FoodGroup.FATS_AND_OILS] > 1.09
