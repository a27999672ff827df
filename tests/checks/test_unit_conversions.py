"""Hold unit conversions and Atwater's factors against the documents they are published in."""

from fractions import Fraction

import pytest

from daysworth.domain import units

ML_PER_CUBIC_INCH = Fraction("2.54") ** 3


@pytest.mark.parametrize(
    ("ours", "published"),
    [
        (units.LITRES_PER_US_GALLON, 3.785411784),
        (units.LITRES_PER_US_QUART, 0.946352946),
        (units.ML_PER_US_FLUID_OUNCE, 29.5735295625),
        (units.G_PER_OUNCE, 28.349523125),
        (units.G_PER_POUND, 453.59237),
        (units.LITRES_PER_IMPERIAL_GALLON, 4.54609),
        (units.KJ_PER_KCAL, 4.184),
    ],
)
def test_units_have_the_published_size(ours: float, published: float) -> None:
    """NIST Handbook 44, Appendix C (from memory); the kilocalorie is the thermochemical one."""
    assert ours == published


def test_a_us_gallon_is_231_cubic_inches_and_divides_by_four_and_by_128() -> None:
    """NIST Handbook 44, Appendix C (from memory): 231 cubic inches of 2.54 cm, exactly."""
    gallon_l = 231 * ML_PER_CUBIC_INCH / 1000
    assert float(gallon_l) == units.LITRES_PER_US_GALLON
    assert float(gallon_l / 4) == units.LITRES_PER_US_QUART
    assert float(gallon_l * 1000 / 128) == units.ML_PER_US_FLUID_OUNCE


def test_a_pound_is_sixteen_ounces() -> None:
    """NIST Handbook 44, Appendix C (from memory)."""
    assert Fraction("453.59237") / 16 == Fraction(str(units.G_PER_OUNCE))
    assert units.pounds_to_g(1) == units.ounces_to_g(16)


@pytest.mark.parametrize(("people", "days", "litres"), [(4, 3, 45.42), (5, 14, 264.98)])
def test_a_gallon_a_person_a_day_comes_to_the_published_store(
    people: int, days: int, litres: float
) -> None:
    """CDC, emergency kit water: a gallon a person a day, "a family of 4 needs 12 gallons" (3 days).

    The litres, and the second row, are worked from the gallon of NIST Handbook 44.
    """
    assert units.gallons_to_l(people * days) == pytest.approx(litres, abs=0.01)


def test_energy_in_kilojoules_turns_into_kilocalories() -> None:
    """FAO/WHO/UNU, Human energy requirements (2004), 5.4.1: 10.08 MJ a day is 2,410 kcal.

    And 183 kJ per kg is 44 kcal per kg; both printed rounded.
    """
    assert units.kj_to_kcal(10_080) == pytest.approx(2410, abs=1)
    assert units.kj_to_kcal(183) == pytest.approx(44, abs=0.5)


def test_atwater_factors_are_four_four_and_nine() -> None:
    """21 CFR 101.9(c)(1)(i)(B): 4, 4 and 9 kcal per gram of protein, carbohydrate and fat."""
    assert units.atwater_kcal(1, carbohydrate_g=0, fat_g=0) == 4
    assert units.atwater_kcal(0, carbohydrate_g=1, fat_g=0) == 4
    assert units.atwater_kcal(0, carbohydrate_g=0, fat_g=1) == 9


def test_the_sample_label_bears_its_energy_out() -> None:
    """FDA, sample Nutrition Facts label: protein 3 g, carbohydrate 37 g, fat 8 g, 230 calories.

    The factors give 232; 21 CFR 101.9(c)(1) has calories above 50 rounded to the nearest ten.
    """
    energy_kcal = units.atwater_kcal(3, carbohydrate_g=37, fat_g=8)
    assert energy_kcal == 232
    assert round(energy_kcal, -1) == 230
