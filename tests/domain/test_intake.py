"""A box is logged with what its label says, and whoever logs it is told what to look at again."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from daysworth.domain.foods import Food, FoodGroup
from daysworth.domain.identifiers import FoodId, HouseholdId, LotId, PlaceId
from daysworth.domain.intake import FAR_YEARS, KEEPS_MONTHS, IntakeLine, Warned, warnings_for
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.labels import LabelReading
from daysworth.domain.lots import Condition

TODAY = date(2026, 11, 25)
IN_SIX_MONTHS = date(2027, 5, 25)
BEANS = Food(
    id=FoodId("beans"),
    name="Beans",
    group=FoodGroup.BEANS_AND_LENTILS,
    energy_kcal_100g=100,
    protein_g_100g=6,
    net_mass_g=400,
)
BOX = IntakeLine(place=PlaceId("hall"), units=12, food=BEANS.id)
IN_WORDS = IntakeLine(place=PlaceId("hall"), units=12, words="grey tins, no label")


def said(
    line: IntakeLine = BOX,
    *,
    food: Food | None = BEANS,
    last_good_day: date | None = IN_SIX_MONTHS,
    today: date = TODAY,
    is_food_read: bool = False,
) -> dict[Warned, str]:
    """Give every warning with its words; none comes twice."""
    warnings = list(
        warnings_for(
            line, food=food, last_good_day=last_good_day, today=today, is_food_read=is_food_read
        )
    )
    assert len(dict(warnings)) == len(warnings)
    return dict(warnings)


def test_sound_food_that_keeps_six_months_brings_no_warning() -> None:
    assert KEEPS_MONTHS == 6
    assert said() == {}


def test_food_that_keeps_a_day_less_than_six_months_is_warned_of_with_its_day() -> None:
    warned = said(last_good_day=IN_SIX_MONTHS - timedelta(days=1))
    assert set(warned) == {Warned.KEEPS_TOO_SHORT}
    assert "2027-05-24" in warned[Warned.KEEPS_TOO_SHORT]
    assert "6 months" in warned[Warned.KEEPS_TOO_SHORT]


@pytest.mark.parametrize(
    ("today", "enough"),
    [
        pytest.param(date(2026, 8, 31), date(2027, 2, 28), id="the end of a shorter month"),
        pytest.param(date(2027, 8, 31), date(2028, 2, 29), id="the end of a leap February"),
        pytest.param(date(2027, 8, 29), date(2028, 2, 29), id="the leap day itself"),
        pytest.param(date(2026, 2, 28), date(2026, 8, 28), id="the last of February: the 28th"),
        pytest.param(date(2026, 7, 1), date(2027, 1, 1), id="over the turn of the year"),
    ],
)
def test_six_months_are_months_of_the_calendar(today: date, enough: date) -> None:
    assert said(last_good_day=enough, today=today) == {}
    short = said(last_good_day=enough - timedelta(days=1), today=today)
    assert set(short) == {Warned.KEEPS_TOO_SHORT}


def test_the_last_good_day_itself_is_not_past() -> None:
    assert set(said(last_good_day=TODAY)) == {Warned.KEEPS_TOO_SHORT}


def test_the_day_after_the_last_good_day_is_past_and_nothing_else() -> None:
    warned = said(last_good_day=TODAY - timedelta(days=1))
    assert set(warned) == {Warned.PAST_DATE}
    assert "2026-11-24" in warned[Warned.PAST_DATE]
    assert "counts in no plan" in warned[Warned.PAST_DATE]


def test_food_without_a_date_is_warned_of_as_undated() -> None:
    warned = said(last_good_day=None)
    assert set(warned) == {Warned.UNDATED}
    assert "counts in no plan" in warned[Warned.UNDATED]


@pytest.mark.parametrize(
    "last_good_day", [None, TODAY - timedelta(days=1), TODAY, IN_SIX_MONTHS], ids=str
)
def test_what_the_catalogue_does_not_have_is_saved_and_no_day_of_it_is_spoken_of(
    last_good_day: date | None,
) -> None:
    warned = said(IN_WORDS, food=None, last_good_day=last_good_day)
    assert set(warned) == {Warned.NOT_IN_LIST}
    assert warned[Warned.NOT_IN_LIST].startswith("saved")


@pytest.mark.parametrize(
    ("last_good_day", "also"),
    [
        (IN_SIX_MONTHS, set[Warned]()),
        (TODAY, {Warned.KEEPS_TOO_SHORT}),
        (TODAY - timedelta(days=1), {Warned.PAST_DATE}),
        (None, {Warned.UNDATED}),
    ],
    ids=["keeps", "keeps too short", "past", "undated"],
)
def test_damage_is_warned_of_first_whatever_the_date_says(
    last_good_day: date | None, also: set[Warned]
) -> None:
    damaged = replace(BOX, condition=Condition.DAMAGED)
    warned = said(damaged, last_good_day=last_good_day)
    assert next(iter(warned)) is Warned.DAMAGED
    assert set(warned) == {Warned.DAMAGED} | also
    assert "never taste" in warned[Warned.DAMAGED]


def test_damage_is_warned_of_where_nobody_knows_what_it_is() -> None:
    damaged = replace(IN_WORDS, condition=Condition.DAMAGED)
    assert list(said(damaged, food=None)) == [Warned.DAMAGED, Warned.NOT_IN_LIST]


def test_what_is_set_aside_is_not_called_damaged() -> None:
    assert said(replace(BOX, condition=Condition.QUARANTINED)) == {}


@pytest.mark.parametrize(
    ("food", "words"), [(None, None), (BEANS.id, "beans")], ids=["neither", "both"]
)
def test_a_line_names_a_food_or_says_words_and_never_both(
    food: FoodId | None, words: str | None
) -> None:
    with pytest.raises(ValueError, match="in words"):
        IntakeLine(place=PlaceId("hall"), units=1, food=food, words=words)


@pytest.mark.parametrize("kind", [kind for kind in LabelKind if kind is not LabelKind.UNLABELLED])
def test_a_kind_of_label_comes_with_a_printed_date(kind: LabelKind) -> None:
    assert replace(BOX, label_kind=kind, printed="2027-08").printed == "2027-08"
    with pytest.raises(ValueError, match="a kind and a printed date"):
        replace(BOX, label_kind=kind)


def test_a_printed_date_comes_with_the_kind_of_its_label() -> None:
    with pytest.raises(ValueError, match="a kind and a printed date"):
        replace(BOX, printed="2027-08")


def test_a_lot_that_is_not_shared_has_an_owner() -> None:
    with pytest.raises(ValueError, match="needs an owner"):
        replace(BOX, is_shared=False)
    own = replace(BOX, is_shared=False, owner=HouseholdId("H01"))
    assert (own.owner, own.is_shared) == ("H01", False)


def test_a_line_is_shared_sound_and_unlabelled_unless_it_says_otherwise() -> None:
    assert (BOX.owner, BOX.is_shared) == (None, True)
    assert (BOX.condition, BOX.label_kind) == (Condition.SOUND, LabelKind.UNLABELLED)
    assert (BOX.printed, BOX.reading, BOX.pack_code, BOX.giver) == (None,) * 4


def test_food_that_keeps_thirty_years_to_the_day_brings_no_warning_and_a_day_longer_does() -> None:
    in_thirty_years = date(2056, 11, 25)
    assert FAR_YEARS == 30
    assert said(last_good_day=in_thirty_years) == {}
    warned = said(last_good_day=in_thirty_years + timedelta(days=1))
    assert set(warned) == {Warned.FAR_AHEAD}
    assert "2056-11-26" in warned[Warned.FAR_AHEAD]
    assert "more than 30 years" in warned[Warned.FAR_AHEAD]


def test_thirty_years_from_a_leap_day_end_with_february() -> None:
    leap_day = date(2028, 2, 29)
    assert said(last_good_day=date(2058, 2, 28), today=leap_day) == {}
    assert set(said(last_good_day=date(2058, 3, 1), today=leap_day)) == {Warned.FAR_AHEAD}


def test_what_is_home_canned_is_warned_of_whether_or_not_the_catalogue_has_it() -> None:
    warned = said(replace(BOX, is_home_canned=True))
    assert set(warned) == {Warned.HOME_CANNED}
    assert "not for the pool" in warned[Warned.HOME_CANNED]
    in_words = replace(IN_WORDS, is_home_canned=True)
    assert list(said(in_words, food=None)) == [Warned.HOME_CANNED, Warned.NOT_IN_LIST]


@pytest.mark.parametrize(
    ("condition", "is_home_canned", "standing"),
    [
        (Condition.SOUND, False, Condition.SOUND),
        (Condition.SOUND, True, Condition.QUARANTINED),
        (Condition.DAMAGED, False, Condition.DAMAGED),
        (Condition.DAMAGED, True, Condition.DAMAGED),
        (Condition.QUARANTINED, True, Condition.QUARANTINED),
    ],
)
def test_what_is_home_canned_is_set_aside_and_what_is_damaged_stays_damaged(
    condition: Condition, *, is_home_canned: bool, standing: Condition
) -> None:
    assert replace(BOX, condition=condition, is_home_canned=is_home_canned).standing is standing


def test_a_label_that_cannot_be_read_is_warned_of_whether_or_not_the_catalogue_has_it() -> None:
    warned = said(replace(BOX, is_label_unreadable=True))
    assert set(warned) == {Warned.LABEL_UNREADABLE}
    assert "cannot be read" in warned[Warned.LABEL_UNREADABLE]
    in_words = replace(IN_WORDS, is_label_unreadable=True)
    assert list(said(in_words, food=None)) == [Warned.LABEL_UNREADABLE, Warned.NOT_IN_LIST]


def test_a_label_that_cannot_be_read_leaves_the_box_as_sound_as_it_is() -> None:
    assert replace(BOX, is_label_unreadable=True).standing is Condition.SOUND


def test_a_label_that_cannot_be_read_declares_nothing() -> None:
    with pytest.raises(ValueError, match="declares nothing"):
        replace(BOX, is_label_unreadable=True, reading=LabelReading())
    with pytest.raises(ValueError, match="compared with none"):
        replace(BOX, is_label_unreadable=True, same_label_as=LotId("L1"))


def test_a_box_is_read_or_compared_and_not_both() -> None:
    with pytest.raises(ValueError, match="not both"):
        replace(BOX, reading=LabelReading(), same_label_as=LotId("L1"))


def test_a_label_that_nobody_compared_is_warned_of_where_its_food_was_read() -> None:
    warned = said(BOX, is_food_read=True)
    assert set(warned) == {Warned.LABEL_NOT_COMPARED}
    assert "not known whom it suits" in warned[Warned.LABEL_NOT_COMPARED]
    assert said(BOX, is_food_read=False) == {}


@pytest.mark.parametrize(
    "line",
    [
        replace(BOX, reading=LabelReading()),
        replace(BOX, same_label_as=LotId("L1")),
    ],
)
def test_a_label_that_was_read_or_compared_is_not_warned_of(line: IntakeLine) -> None:
    assert said(line, is_food_read=True) == {}


def test_a_label_that_can_not_be_read_can_not_be_compared_either() -> None:
    unreadable = replace(BOX, is_label_unreadable=True)
    assert set(said(unreadable, is_food_read=True)) == {Warned.LABEL_UNREADABLE}


def test_all_that_is_wrong_with_a_box_is_said_the_gravest_first() -> None:
    box = replace(BOX, condition=Condition.DAMAGED, is_home_canned=True, is_label_unreadable=True)
    assert list(said(box, last_good_day=TODAY)) == [
        Warned.DAMAGED,
        Warned.HOME_CANNED,
        Warned.LABEL_UNREADABLE,
        Warned.KEEPS_TOO_SHORT,
    ]
