"""Hold what partners are given to what food banks and the law of donations publish.

F   USDA FSIS, food product dating: except for infant formula, a date is no safety date by federal
    law; food after its "Best if Used By" date may be sold, donated and eaten if it is wholesome.
I   21 CFR 107.20(c): infant formula has a "Use by" date, to the month; do not give it out after.
B   Acceptance handbooks that food banks publish: infant formula and baby food never past their
    date; rice and dry pasta up to 2 years past, low-acid tins of beans and meat up to 3 years,
    juice boxes up to 6 months; some take nothing past its date. All of it unopened, in its own
    pack with its label, packed commercially, and not damaged.
N   The rule of one network of food banks: formula and baby food leave a month before their date.
E   Regulation (EU) 1169/2011, Article 24 and Annex X: past its "use by" date a food is unsafe; a
    date to the month is good to the month's last day.
P   Common practice: a use-by date is kept to, whatever else a partner would take.
"""

from dataclasses import replace
from datetime import date
from typing import Final

import pytest

from daysworth.domain.acceptance import Refusal, last_day_to_go, refusal
from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.identifiers import FoodId, LotId, PartnerId, PlaceId
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.lots import Condition, Lot
from daysworth.domain.partners import AcceptanceRule, Partner

KITCHEN: Final = Partner(id=PartnerId("kitchen"), name="A kitchen")
"""States no rule."""

INFANTS: Final = (FoodGroup.INFANT_FORMULA, FoodGroup.BABY_FOOD)
GENEROUS: Final = -3_650


def food(group: FoodGroup) -> Food:
    return Food(
        id=FoodId("food"),
        name="Food",
        group=group,
        energy_kcal_100g=100,
        protein_g_100g=5,
        net_mass_g=400,
    )


def lot(printed: str, *, kind: LabelKind = LabelKind.BEST_BY) -> Lot:
    return Lot(
        id=LotId("lot"),
        food=FoodId("food"),
        place=PlaceId("hall"),
        units=1,
        label_kind=kind,
        printed=printed,
    )


def taking(*rules: tuple[FoodGroup | None, int]) -> Partner:
    """Make a partner that takes groups with so many days left; below 0, so many past."""
    made = tuple(AcceptanceRule(group=group, least_days_left=days) for group, days in rules)
    return replace(KITCHEN, rules=made)


def last_day(partner: Partner, group: FoodGroup, printed: Lot) -> date | None:
    return last_day_to_go(partner, printed, food=food(group))


@pytest.mark.parametrize(
    ("group", "printed", "days_past", "last"),
    [
        pytest.param(
            FoodGroup.GRAINS_AND_PASTA, "2026-05-31", 730, date(2028, 5, 30), id="rice, 2 years"
        ),
        pytest.param(
            FoodGroup.BEANS_AND_LENTILS, "2026-05-31", 1_095, date(2029, 5, 30), id="beans, 3 years"
        ),
        pytest.param(FoodGroup.DRINKS, "2026-05-31", 182, date(2026, 11, 29), id="juice, 6 months"),
    ],
)
def test_food_past_its_best_by_date_goes_as_far_as_a_published_rule_says(
    group: FoodGroup, printed: str, days_past: int, last: date
) -> None:
    """B, by the days that the years and months make; F allows it."""
    partner = taking((group, -days_past))
    assert last_day(partner, group, lot(printed)) == last
    one = lot(printed)
    assert refusal(partner, one, food=food(group), on=last) is None
    day_after = date.fromordinal(last.toordinal() + 1)
    late = refusal(partner, one, food=food(group), on=day_after)
    assert late is Refusal.TOO_FEW_DAYS_LEFT


def test_with_no_rule_stated_food_goes_to_its_date_and_no_day_longer() -> None:
    """B, the strictest of them; E, to the last day of the month."""
    assert last_day(KITCHEN, FoodGroup.GRAINS_AND_PASTA, lot("2027-02")) == date(2027, 2, 28)
    assert last_day(KITCHEN, FoodGroup.GRAINS_AND_PASTA, lot("2027-02-10")) == date(2027, 2, 10)


@pytest.mark.parametrize("group", INFANTS)
def test_with_no_rule_stated_formula_and_baby_food_go_a_month_before_their_date(
    group: FoodGroup,
) -> None:
    """N, a month as 30 days: of a date to the end of June, to the end of May."""
    for kind in (LabelKind.USE_BY, LabelKind.BEST_BY):
        assert last_day(KITCHEN, group, lot("2027-06", kind=kind)) == date(2027, 5, 31)
        # A rule for whatever else there is says nothing of them.
        for_others = taking((None, GENEROUS))
        assert last_day(for_others, group, lot("2027-06", kind=kind)) == date(2027, 5, 31)


@pytest.mark.parametrize("group", INFANTS)
def test_no_rule_takes_formula_or_baby_food_past_its_date(group: FoodGroup) -> None:
    """I, B: however far past other food may be."""
    partner = taking((group, GENEROUS), (None, GENEROUS))
    for kind in (LabelKind.USE_BY, LabelKind.BEST_BY, LabelKind.SELL_BY):
        one = lot("2027-06-30", kind=kind)
        assert refusal(partner, one, food=food(group), on=date(2027, 6, 30)) is None
        late = refusal(partner, one, food=food(group), on=date(2027, 7, 1))
        assert late is Refusal.PAST_SAFETY_DATE


def test_no_rule_takes_anything_past_a_use_by_date() -> None:
    """E, P."""
    partner = taking((FoodGroup.GRAINS_AND_PASTA, GENEROUS))
    one = lot("2027-06-30", kind=LabelKind.USE_BY)
    grains = food(FoodGroup.GRAINS_AND_PASTA)
    assert refusal(partner, one, food=grains, on=date(2027, 6, 30)) is None
    late = refusal(partner, one, food=grains, on=date(2027, 7, 1))
    assert late is Refusal.PAST_SAFETY_DATE


@pytest.mark.parametrize(
    ("changed", "why"),
    [
        (replace(lot("2030-01"), opened_on=date(2026, 1, 1)), Refusal.OPENED_HERE),
        (replace(lot("2030-01"), repacked_on=date(2026, 1, 1)), Refusal.REPACKED_HERE),
        (replace(lot("2030-01"), condition=Condition.DAMAGED), Refusal.NOT_SOUND),
        (replace(lot("2030-01"), condition=Condition.QUARANTINED), Refusal.NOT_SOUND),
        (
            replace(lot("2030-01"), label_kind=LabelKind.UNLABELLED, printed=None),
            Refusal.NOT_DATED,
        ),
    ],
)
def test_what_is_not_sound_and_in_its_own_labelled_pack_goes_to_nobody(
    changed: Lot, why: Refusal
) -> None:
    """B: opened, repacked, damaged, set aside (as home-canned food is here), or without a label."""
    partner = taking((None, GENEROUS))
    assert (
        refusal(partner, changed, food=food(FoodGroup.GRAINS_AND_PASTA), on=date(2026, 6, 1)) is why
    )
