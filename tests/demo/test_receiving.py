"""The neighbourhood has three partners on any day, which take different things at their times."""

from datetime import date, timedelta

import pytest

from daysworth.answers.window_words import window_words
from daysworth.demo.neighbourhood import neighbourhood, with_shop_lots
from daysworth.domain.acceptance import Refusal, refusal
from daysworth.domain.partner_faults import partner_faults
from daysworth.domain.partners import Partner
from daysworth.domain.snapshot import Snapshot

on_any_day = pytest.mark.parametrize(
    "as_of", [date(2010, 1, 1), date(2024, 2, 29), date(2026, 11, 25), date(2090, 12, 31)], ids=str
)


def taken_by(store: Snapshot, partner: Partner) -> dict[str, Refusal | None]:
    """Say of what the shop gave by which rule a partner does not take it today; None: it does."""
    foods = {food.id: food for food in store.foods}
    return {
        lot.id: refusal(partner, lot, food=foods[lot.food], on=store.taken_on)
        for lot in store.lots
        if lot.id.startswith("S")
    }


@on_any_day
def test_each_opens_as_it_says_and_has_visits_ahead_within_twelve_weeks(as_of: date) -> None:
    store = neighbourhood(as_of)
    opened = {
        partner.id: len(
            partner.windows[0].opens(from_on=as_of, to_on=as_of + timedelta(days=7 * 12 - 1))
        )
        for partner in store.partners
    }
    assert opened == {
        "quillmere-kitchen": 12,
        "ostrey-food-bank": pytest.approx(3, abs=1),
        "tansy-shelf": 6,
    }
    words = [window_words(partner.windows[0]) for partner in store.partners]
    assert words == [
        "every Tuesday at 09:00, for 2 hours (America/Chicago)",
        "on the first Saturday of every month at 10:00, for 3 hours (America/Chicago)",
        "every second Thursday at 17:30, for 1 hour and 30 minutes (America/Chicago)",
    ]
    assert [list(partner_faults(partner)) for partner in store.partners] == [[], [], []]


@on_any_day
def test_what_was_promised_before_is_for_a_visit_that_is_still_to_come(as_of: date) -> None:
    store = with_shop_lots(neighbourhood(as_of))
    (promised,) = store.promises
    partner = next(one for one in store.partners if one.id == promised.partner)
    assert as_of < promised.on <= as_of + timedelta(days=14)
    opens = partner.windows[0].opens(from_on=promised.on, to_on=promised.on)
    assert [at.replace(tzinfo=None) for at in opens] == [promised.opens_at]
    lots = {lot.id: lot for lot in store.lots}
    assert [(lots[one.lot].units_promised, one.units) for one in promised.items] == [(8, 8)]


@on_any_day
def test_what_the_shop_gave_shows_every_kind_of_rule(as_of: date) -> None:
    store = with_shop_lots(neighbourhood(as_of))
    kitchen, bank, shelf = (taken_by(store, partner) for partner in store.partners)
    assert (kitchen["S006"], bank["S006"], shelf["S006"]) == (Refusal.GROUP_NOT_TAKEN, None, None)
    assert (kitchen["S012"], shelf["S012"]) == (Refusal.TOO_FEW_DAYS_LEFT, None)
    assert bank["S005"] is Refusal.TOO_FEW_DAYS_LEFT
    assert {each["S011"] for each in (kitchen, bank, shelf)} == {Refusal.NOT_SOUND}
    assert all(each["S008"] and each["S009"] for each in (kitchen, bank, shelf))


def test_without_what_the_shop_gave_nothing_else_is_changed() -> None:
    made = neighbourhood(date(2026, 11, 25))
    store = with_shop_lots(made)
    assert store.lots[: len(made.lots)] == made.lots
    assert len(store.lots) == len(made.lots) + 11
