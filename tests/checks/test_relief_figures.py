"""Hold the planner's days against published figures for emergency water and relief rations.

C   CDC, water for an emergency kit: a gallon for each person and day, "a family of 4 needs 12
    gallons" (three days).
R   FEMA / American Red Cross, Food and Water in an Emergency: a gallon for each person and day;
    a family of four needs 56 gallons for two weeks.
W   World Food Programme, "The WFP food basket": one day's ration of 400 g cereal flour, rice or
    bulgur, 60 g pulses, 25 g oil, 50 g corn-soya blend, 15 g sugar and 5 g iodised salt gives
    2,100 kcal, 58 g protein and 43 g fat. UNHCR/UNICEF/WFP/WHO, Food and Nutrition Needs in
    Emergencies (2002), lists it as its first example ration, 2,113 kcal (that figure from memory).
"""

from datetime import date
from math import fsum

import pytest

from daysworth.domain.catalogue import generic_foods
from daysworth.domain.foods import Food, FoodGroup, Preparation
from daysworth.domain.identifiers import (
    FoodId,
    HouseholdId,
    LotId,
    MemberId,
    PlaceId,
    StoreId,
)
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Lot, Place
from daysworth.domain.needs import FLAT_ENERGY_KCAL, FLAT_PROTEIN_G, NeedsBasis
from daysworth.domain.people import AgeBand, Household, Member
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.domain.units import LITRES_PER_US_GALLON, gallons_to_l
from daysworth.planners.coverage import Coverage, plan_coverage
from daysworth.planners.scenario import Scenario

AS_OF = date(2026, 6, 15)
HALL = Place(id=PlaceId("hall"), name="Hall")
ADULTS = AgeBand(from_years=30, to_years=40)

# One US gallon of water, as a mass: the catalogue takes 1 kg of water for 1 L.
GALLON_G = LITRES_PER_US_GALLON * 1000

# Fortified blended food is no shelf food of our catalogue. World Food Programme, nutritional
# values of food aid commodities: 380 kcal, 18 g protein and 6 g fat in 100 g (from memory; the
# specification of later blends asks for at least 380 kcal, 14 g and 6 g).
CORN_SOYA_BLEND = Food(
    id=FoodId("corn_soya_blend"),
    name="Corn-soya blend",
    group=FoodGroup.GRAINS_AND_PASTA,
    energy_kcal_100g=380,
    protein_g_100g=18,
    fat_g_100g=6,
    net_mass_g=25_000,
    heating=Preparation.NEEDED,
    added_water=Preparation.NEEDED,
    added_water_ml_100g=500,
    shelf_life_months=12,
)
FOODS = {**generic_foods(), CORN_SOYA_BLEND.id: CORN_SOYA_BLEND}

CEREALS = ["wheat_flour_white", "white_rice_dry", "maize_meal"]
PULSES = ["lentils_dry", "pinto_beans_dry", "split_peas_dry"]
CEREAL_G, PULSES_G, OIL_G, BLEND_G, SUGAR_G, SALT_G = 400, 60, 25, 50, 15, 5
PUBLISHED_KCAL, PUBLISHED_PROTEIN_G = 2100, 58


def household(people: int, *, name: str = "home", pets: int = 0) -> Household:
    members = tuple(
        Member(id=MemberId(f"{name}-{number}"), age_band=ADULTS) for number in range(people)
    )
    return Household(id=HouseholdId(name), members=members, pets=pets)


def lot(food: str, *, net_mass_g: float, units: int = 1) -> Lot:
    return Lot(
        id=LotId(f"lot-{food}"),
        food=FoodId(food),
        place=HALL.id,
        units=units,
        net_mass_g=net_mass_g,
        label_kind=LabelKind.BEST_BY,
        printed="2030-01-01",
    )


def coverage(
    *lots: Lot,
    households: tuple[Household, ...],
    settings: StoreSettings | None = None,
    scenario: Scenario | None = None,
) -> Coverage:
    snapshot = Snapshot(
        store=StoreId("store"),
        store_name="A store",
        taken_on=AS_OF,
        settings=settings or StoreSettings(),
        households=households,
        foods=tuple(FOODS.values()),
        places=(HALL,),
        lots=lots,
    )
    return plan_coverage(snapshot, AS_OF, scenario=scenario)


def water_days(
    gallons: int, *, people: int, pets: int = 0, settings: StoreSettings | None = None
) -> float:
    found = coverage(
        lot("water_bottled", net_mass_g=GALLON_G, units=gallons),
        households=(household(people, pets=pets),),
        settings=settings,
    )
    assert found.water.days is not None
    return found.water.days


EXACT_GALLON = StoreSettings(
    water_l_per_person_day=LITRES_PER_US_GALLON, water_l_per_pet_day=LITRES_PER_US_GALLON
)

PUBLISHED_WATER = [
    pytest.param(12, 4, 0, 3, id="C: a family of four, three days"),
    pytest.param(9, 3, 0, 3, id="C: three people, three days"),
    pytest.param(56, 4, 0, 14, id="R: a family of four, two weeks"),
    pytest.param(70, 5, 0, 14, id="worked: five people, two weeks"),
    pytest.param(15, 4, 1, 3, id="C: a gallon for each pet too"),
]


@pytest.mark.parametrize(("gallons", "people", "pets", "days"), PUBLISHED_WATER)
def test_the_published_gallons_last_the_published_days(
    gallons: int, people: int, pets: int, days: int
) -> None:
    """C, R: exactly, once the store sets its litres to one US gallon (NIST Handbook 44)."""
    found = water_days(gallons, people=people, pets=pets, settings=EXACT_GALLON)
    assert found == pytest.approx(days, abs=1e-9)


@pytest.mark.parametrize(("gallons", "people", "pets", "days"), PUBLISHED_WATER)
def test_the_default_setting_is_a_gallon_to_a_tenth_of_a_percent(
    gallons: int, people: int, pets: int, days: int
) -> None:
    """C, R: the default is printed in litres, 3.785, a hundredth of a percent short of a gallon."""
    found = water_days(gallons, people=people, pets=pets)
    assert found == pytest.approx(days, rel=0.001)
    assert found >= days


def test_half_of_the_gallon_is_for_drinking() -> None:
    """R: a normally active person drinks at least two quarts a day, which is half a gallon."""
    found = coverage(
        lot("water_bottled", net_mass_g=GALLON_G, units=12),
        households=(household(4),),
        settings=EXACT_GALLON,
    )
    assert found.water.days_drinking_only == pytest.approx(6, abs=1e-9)


def test_five_people_for_two_weeks_store_265_litres() -> None:
    """Worked from C: 5 x 14 x 1 gallon is 264.98 L (NIST Handbook 44, Appendix C)."""
    found = coverage(
        lot("water_bottled", net_mass_g=GALLON_G, units=70),
        households=(household(5),),
        settings=EXACT_GALLON,
    )
    assert found.water.stored_l == pytest.approx(264.98, abs=0.005)
    assert found.water.litres_a_day * 14 == pytest.approx(gallons_to_l(70), abs=1e-9)


COOKED = Scenario(heating=True, running_water=True, basis=NeedsBasis.FLAT)
"""The ration is meant to be cooked, and the planning figure is the same for everyone."""


def ration(cereal: str, pulses: str, *, times: int = 1) -> tuple[Lot, ...]:
    """The published ration, once for each person and day."""
    return (
        lot(cereal, net_mass_g=CEREAL_G, units=times),
        lot(pulses, net_mass_g=PULSES_G, units=times),
        lot("vegetable_oil_soya", net_mass_g=OIL_G, units=times),
        lot("corn_soya_blend", net_mass_g=BLEND_G, units=times),
        lot("white_sugar", net_mass_g=SUGAR_G, units=times),
        lot("salt", net_mass_g=SALT_G, units=times),
    )


def energy_kcal(lots: tuple[Lot, ...]) -> float:
    return fsum(one.units * FOODS[one.food].energy_kcal(one.net_mass_g) for one in lots)


def protein_g(lots: tuple[Lot, ...]) -> float:
    return fsum(one.units * FOODS[one.food].protein_g(one.net_mass_g) for one in lots)


def extras_kcal(lots: tuple[Lot, ...]) -> float:
    return energy_kcal(tuple(one for one in lots if FOODS[one.food].is_extra))


@pytest.mark.parametrize("pulses", PULSES)
@pytest.mark.parametrize("cereal", CEREALS)
def test_the_published_ration_has_the_published_energy(cereal: str, pulses: str) -> None:
    """W: 2,100 kcal. Ours lie within 3 %: the tables differ by as much for cereals and pulses.

    W takes 350 to 360 kcal for 100 g of cereal flour (from memory), USDA 364 to 370.
    """
    assert energy_kcal(ration(cereal, pulses)) == pytest.approx(PUBLISHED_KCAL, rel=0.03)


def test_the_published_protein_lies_among_those_of_the_cereals_it_may_be_made_of() -> None:
    """W: 58 g, printed once for "cereal flour, rice or bulgur", whose protein is 7 to 12 %."""
    found = [protein_g(ration(cereal, pulses)) for cereal in CEREALS for pulses in PULSES]
    assert min(found) < PUBLISHED_PROTEIN_G < max(found)
    assert fsum(found) / len(found) == pytest.approx(PUBLISHED_PROTEIN_G, rel=0.05)


@pytest.mark.parametrize("pulses", PULSES)
@pytest.mark.parametrize("cereal", CEREALS)
def test_the_published_ration_feeds_one_person_for_one_day(cereal: str, pulses: str) -> None:
    """W: one person, one day, within 6 %.

    With wheat flour the ration's energy decides, up to 3 % over 2,100 kcal. With rice or maize its
    protein does: 50.3 to 52.5 g against the 53 g of Sphere's planning figure, up to 5 % under.
    """
    found = coverage(*ration(cereal, pulses), households=(household(1),), scenario=COOKED)
    assert found.everyone_fed_days == pytest.approx(1, rel=0.06)
    assert found.person_days == pytest.approx(1, rel=0.06)


@pytest.mark.parametrize("cereal", CEREALS)
def test_the_scarcer_of_energy_and_protein_decides(cereal: str) -> None:
    """W: worked by hand from the ration; the extras stay under their share, so they do not bind."""
    lots = ration(cereal, "lentils_dry")
    by_hand = min(energy_kcal(lots) / FLAT_ENERGY_KCAL, protein_g(lots) / FLAT_PROTEIN_G)
    found = coverage(*lots, households=(household(1),), scenario=COOKED)
    assert found.everyone_fed_days == pytest.approx(by_hand, rel=1e-6)


@pytest.mark.parametrize("cereal", CEREALS)
def test_oil_and_sugar_give_about_an_eighth_of_the_ration(cereal: str) -> None:
    """W: 25 g of oil and 15 g of sugar are 13 % of 2,100 kcal, below the default share of 15 %."""
    lots = ration(cereal, "lentils_dry")
    assert extras_kcal(lots) / PUBLISHED_KCAL == pytest.approx(0.13, abs=0.005)
    assert extras_kcal(lots) / energy_kcal(lots) < StoreSettings().extras_share


@pytest.mark.parametrize(
    ("people", "days"), [(1, 30), (7, 14), (40, 3)], ids=["one", "seven", "forty"]
)
@pytest.mark.parametrize("cereal", CEREALS)
def test_the_ration_of_many_for_many_days_lasts_them_as_many(
    cereal: str, people: int, days: int
) -> None:
    """W: rations are issued by the head, so N x D of them feed N people for D days, like one."""
    one = coverage(*ration(cereal, "lentils_dry"), households=(household(1),), scenario=COOKED)
    many = coverage(
        *ration(cereal, "lentils_dry", times=people * days),
        households=(household(people),),
        scenario=COOKED,
    )
    assert one.everyone_fed_days is not None
    assert many.everyone_fed_days == pytest.approx(one.everyone_fed_days * days, rel=1e-6)
    assert many.person_days == pytest.approx(one.person_days * people * days, rel=1e-6)
    assert many.everyone_fed_days == pytest.approx(days, rel=0.04)


def test_the_ration_feeds_nobody_without_a_stove() -> None:
    """W: its staple is flour and dry pulses; without heating only oil, sugar and salt are left."""
    found = coverage(
        *ration("maize_meal", "lentils_dry"),
        households=(household(1),),
        scenario=Scenario(running_water=True, basis=NeedsBasis.FLAT),
    )
    assert found.everyone_fed_days == pytest.approx(0, abs=1e-9)
    assert found.person_days_on_paper == pytest.approx(1, rel=0.04)
