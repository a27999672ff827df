"""The weekly notice says what coverage and the shelf say, tells of nobody's needs, and is kept."""

import json
import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from daysworth.answers.coverage import (
    CoverageAnswer,
    HouseholdAnswer,
    LotAnswer,
    answer_coverage,
)
from daysworth.answers.notice import (
    BelowFloorAnswer,
    LastNoticeAnswer,
    NoticeAnswer,
    answer_notice,
    notice_from_json,
    notice_json,
)
from daysworth.answers.waiting import WaitingAnswer
from daysworth.demo.neighbourhood import neighbourhood
from daysworth.domain.identifiers import (
    HouseholdId,
    LotId,
    MemberId,
    StoreId,
)
from daysworth.domain.label_dates import LabelKind
from daysworth.domain.people import AgeBand, Household, InfantFeeding, Member
from daysworth.domain.restrictions import Restriction, Substance
from daysworth.domain.settings import StoreSettings
from daysworth.domain.snapshot import Snapshot
from daysworth.planners.scenario import Scenario
from daysworth.reference.cautions import caution_rows
from tests.planners import small_stores
from tests.planners.how_many import times

AS_OF: Final = date(2026, 11, 25)
WAITING: Final = (
    WaitingAnswer(lot="L900", words="tins without labels", units=4, place="Hall"),
    WaitingAnswer(lot="L870", words="something in jars", units=2, place="Cellar"),
)
LAST: Final = LastNoticeAnswer(week="2026-W45", everyone_fed_days=8.25, person_days=901.5)
ADULT: Final = Member(id=MemberId("m1"), age_band=AgeBand(from_years=30, to_years=40))
INFANT: Final = Member(
    id=MemberId("m1"),
    born_on=AS_OF - timedelta(days=60),
    infant_feeding=InfantFeeding.BREASTFED,
)


@cache
def store() -> Snapshot:
    return neighbourhood(AS_OF)


@cache
def coverage() -> CoverageAnswer:
    return answer_coverage(store(), AS_OF, scenario=Scenario())


def noticed(
    snapshot: Snapshot,
    as_of: date = AS_OF,
    *,
    covered: CoverageAnswer | None = None,
    waiting: Sequence[WaitingAnswer] = (),
    last: LastNoticeAnswer | None = None,
) -> NoticeAnswer:
    planned = covered or answer_coverage(snapshot, as_of, scenario=Scenario())
    return answer_notice(snapshot, as_of, coverage=planned, waiting=waiting, last=last)


@cache
def notice() -> NoticeAnswer:
    return noticed(store(), covered=coverage(), waiting=WAITING, last=LAST)


def bare(*members: Member, floor_days: int = 14) -> Snapshot:
    """Describe a store of one household, or none, with nothing on its shelves."""
    homes = (Household(id=HouseholdId("H1"), members=members),) if members else ()
    return Snapshot(
        store=StoreId("elm-row"),
        store_name="Elm Row",
        taken_on=AS_OF,
        settings=StoreSettings(floor_days=floor_days),
        households=homes,
    )


def test_a_notice_is_named_for_its_store_and_week() -> None:
    assert (notice().id, notice().week) == ("larkmoss-lane-2026-W48", "2026-W48")
    assert (notice().from_day, notice().to_day) == (date(2026, 11, 23), date(2026, 11, 29))
    assert (notice().as_of, notice().made_at) == (AS_OF, None)


def test_at_new_year_the_notice_is_of_the_week_and_not_of_the_year() -> None:
    found = noticed(bare(), date(2027, 1, 1))
    assert found.id == "elm-row-2026-W53"
    assert (found.from_day, found.to_day) == (date(2026, 12, 28), date(2027, 1, 3))


def test_the_stores_own_words_and_settings_are_repeated() -> None:
    chosen = StoreSettings(floor_days=5, locale="es-MX", notice_bands_days=(3, 90))
    found = noticed(replace(bare(), settings=chosen, version=12))
    assert (found.store, found.store_name, found.version) == ("elm-row", "Elm Row", 12)
    assert (found.floor_days, found.locale) == (5, "es-MX")
    assert [band.within_days for band in found.bands] == [3, 90]


def test_the_days_are_those_of_coverage() -> None:
    found, planned = notice(), coverage()
    assert found.everyone_fed_days == planned.everyone_fed_days == 7.442735
    assert found.everyone_fed_at_least is False
    assert found.person_days == planned.person_days
    assert (found.horizon_days, found.release) == (180, planned.release)
    assert found.overdue_water_l == planned.water.overdue_l == 189.0
    assert found.overdue_water_days == planned.water.overdue_days


def test_the_last_notice_and_the_lots_that_wait_are_given_as_they_came() -> None:
    assert notice().last_notice == LAST
    assert notice().waiting == list(WAITING)
    assert noticed(bare()).last_notice is None


def test_lots_set_aside_and_due_are_the_shared_ones_of_coverage() -> None:
    found, planned = notice(), coverage()
    shared = {lot.id for lot in store().lots if lot.is_shared}

    def of_all(lots: list[LotAnswer]) -> list[LotAnswer]:
        return [lot for lot in lots if lot.lot in shared]

    assert found.before_next_round.lots == of_all(planned.before_next_round.lots)
    assert found.before_next_round.units == sum(lot.units for lot in found.before_next_round.lots)
    assert (found.past, found.undated, found.damaged, found.quarantined) == (
        of_all(planned.set_aside.past),
        of_all(planned.set_aside.undated),
        of_all(planned.set_aside.damaged),
        of_all(planned.set_aside.quarantined),
    )
    assert all((found.past, found.undated, found.damaged, found.quarantined))


def test_what_a_household_keeps_for_itself_is_told_to_nobody() -> None:
    kept = {lot.id for lot in store().lots if not lot.is_shared}
    told = notice_json(notice())
    assert kept
    assert not [lot for lot in kept if f'"{lot}"' in told]


def test_each_band_lists_what_passes_its_date_in_it_as_a_person_reads_it() -> None:
    first, second, third = notice().bands
    assert (first.within_days, second.within_days, third.within_days) == (7, 30, 56)
    assert first.lots[0] == LotAnswer(
        lot="L163",
        food="Beef and vegetable stew, tinned",
        units=16,
        place="Meeting hall, basement shelves",
        last_good_day=date(2026, 11, 28),
    )
    ahead = [
        [(lot.last_good_day - AS_OF).days for lot in band.lots if lot.last_good_day is not None]
        for band in notice().bands
    ]
    assert all(0 <= days <= 7 for days in ahead[0])
    assert all(7 < days <= 30 for days in ahead[1])
    assert all(30 < days <= 56 for days in ahead[2])
    assert all(days and days == sorted(days) for days in ahead)


def test_units_promised_to_a_partner_are_in_no_band_and_are_past_with_the_rest() -> None:
    some = next(lot for lot in store().lots if lot.units_promised and lot.units_to_eat)
    soon = replace(
        some, label_kind=LabelKind.USE_BY, printed="2026-11-26", opened_on=None, repacked_on=None
    )
    past = replace(soon, id=LotId("past"), printed="2026-11-24")
    found = noticed(replace(store(), lots=(soon, past)))
    assert [lot.units for lot in found.bands[0].lots] == [some.units - some.units_promised]
    assert [lot.units for lot in found.past] == [some.units]


def all_listed(found: NoticeAnswer) -> list[str]:
    lists = [band.lots for band in found.bands]
    lists += [found.past, found.undated, found.damaged, found.quarantined]
    return [lot.lot for lots in lists for lot in lots]


@settings(max_examples=times(16), deadline=None, derandomize=True, database=None)
@given(st.integers(0, 10**6))
def test_no_lot_of_any_store_is_listed_twice_or_empty_and_the_notice_is_read_back(
    seed: int,
) -> None:
    snapshot, scenario = small_stores.small_store(seed)
    planned = answer_coverage(snapshot, small_stores.AS_OF, scenario=scenario)
    found = noticed(snapshot, small_stores.AS_OF, covered=planned)
    lots = all_listed(found)
    assert len(lots) == len(set(lots))
    assert all(lot.units > 0 for band in found.bands for lot in band.lots)
    assert notice_from_json(notice_json(found)) == found


def with_days(*homes: HouseholdAnswer, floor_days: int = 14) -> list[BelowFloorAnswer]:
    snapshot = bare(ADULT, floor_days=floor_days)
    planned = answer_coverage(snapshot, AS_OF, scenario=Scenario())
    return noticed(snapshot, covered=replace(planned, households=list(homes))).below_floor


def test_households_with_fewer_days_than_the_floor_are_listed_worst_first() -> None:
    below = notice().below_floor
    assert below[0] == BelowFloorAnswer("H05", 5, 7.442735)
    assert len(below) == 24
    assert [(one.days, one.household) for one in below] == sorted(
        (one.days, one.household) for one in below
    )


def test_a_household_at_the_floor_is_not_below_it() -> None:
    just_below = HouseholdAnswer("H1", 2, 13.999999, at_least=False)
    at_it = HouseholdAnswer("H2", 2, 14.0, at_least=False)
    assert with_days(just_below, at_it) == [BelowFloorAnswer("H1", 2, 13.999999)]


def test_a_household_that_reaches_the_horizon_is_not_below_a_floor_beyond_it() -> None:
    reached = HouseholdAnswer("H1", 2, 180.0, at_least=True)
    short = HouseholdAnswer("H2", 2, 179.5, at_least=False)
    assert with_days(short, reached, floor_days=300) == [BelowFloorAnswer("H2", 2, 179.5)]


def test_a_household_without_a_need_is_not_below_the_floor() -> None:
    assert with_days(HouseholdAnswer("H1", 2, None, at_least=False)) == []


def test_a_floor_of_no_days_has_nobody_below_it() -> None:
    assert noticed(bare(ADULT, floor_days=0)).below_floor == []


def test_an_empty_store_feeds_its_people_for_no_days_and_lists_nothing() -> None:
    found = noticed(bare(ADULT))
    assert (found.everyone_fed_days, found.person_days) == (0.0, 0.0)
    assert found.below_floor == [BelowFloorAnswer("H1", 1, 0.0)]
    assert all_listed(found) == []
    assert (found.before_next_round.units, found.overdue_water_l) == (0, 0.0)


def test_with_nobody_to_feed_there_are_no_days() -> None:
    found = noticed(bare())
    assert (found.everyone_fed_days, found.everyone_fed_at_least) == (None, False)
    assert (found.below_floor, found.overdue_water_days) == ([], None)


def test_where_nobody_has_a_need_of_their_own_nobody_is_below_the_floor() -> None:
    found = noticed(bare(INFANT))
    assert (found.everyone_fed_days, found.below_floor) == (None, [])


def test_at_the_horizon_the_days_are_at_least_so_many() -> None:
    mine = Household(id=HouseholdId("only"), members=(ADULT,))
    lots = tuple(replace(lot, owner=None) for lot in store().lots if lot.is_shared)
    alone = replace(store(), households=(mine,), lots=lots)
    short = answer_coverage(alone, AS_OF, scenario=Scenario(horizon_days=20))
    found = noticed(alone, covered=short)
    assert (found.everyone_fed_days, found.everyone_fed_at_least) == (20.0, True)
    assert (found.horizon_days, found.below_floor) == (20, [])


def test_every_caution_but_that_on_floods_stands_whoever_is_fed() -> None:
    expected = [row for row in caution_rows() if row.topic != "flood"]
    assert noticed(bare()).cautions == noticed(bare(ADULT)).cautions == expected
    assert notice().cautions == expected
    assert len(expected) < len(caution_rows())


def test_with_empty_shelves_the_notice_is_the_same_whatever_people_must_not_eat() -> None:
    allergic = replace(ADULT, restrictions=(Restriction(allergy=Substance.PEANUT),))
    assert notice_json(noticed(bare(allergic))) == notice_json(noticed(bare(ADULT)))


def test_the_json_says_no_need_and_ties_a_household_to_its_days_alone() -> None:
    written = json.loads(notice_json(notice()))
    assert {frozenset(home) for home in written["below_floor"]} == {
        frozenset({"household", "members", "days"})
    }
    del written["cautions"]
    told = json.dumps(written)
    needs = {one.need for one in coverage().classes + coverage().held_by}
    assert len(needs) > 5
    assert [need for need in needs if need in told] == []
    assert re.search("allerg|infant of|restriction|need", told) is None


def test_the_same_store_and_day_give_the_same_bytes() -> None:
    again = noticed(neighbourhood(AS_OF), waiting=WAITING, last=LAST)
    assert notice_json(again) == notice_json(notice())


def test_a_notice_that_was_kept_is_read_back_as_it_was() -> None:
    kept = replace(notice(), made_at="2026-11-25T06:00:00Z")
    assert notice_from_json(notice_json(kept)) == kept
    assert notice_json(notice_from_json(notice_json(kept))) == notice_json(kept)


def test_a_notice_that_was_kept_before_visits_were_told_is_read_back() -> None:
    earlier = json.loads(notice_json(notice()))
    for name in ("promised_visits", "other_visits", "more_other_visits"):
        del earlier[name]
    read_back = notice_from_json(json.dumps(earlier))
    assert read_back == replace(notice(), promised_visits=[], other_visits=[], more_other_visits=0)


def test_letters_of_any_language_are_read_back() -> None:
    words = WaitingAnswer(lot="L1", words="Dosen ohne Etikett – 🥫, <b>«ñ»", units=1, place="Ø")
    kept = noticed(bare(), waiting=[words])
    assert notice_from_json(notice_json(kept)).waiting == [words]


@pytest.mark.parametrize(
    "text",
    ["", "{}", "[]", "no JSON"],
)
def test_a_text_that_is_no_notice_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="NoticeAnswer"):
        notice_from_json(text)


@pytest.mark.parametrize(
    ("name", "value"), [("floor_days", "14"), ("as_of", "25 November"), ("bands", None)]
)
def test_a_notice_with_a_value_of_another_type_is_refused(name: str, value: str | None) -> None:
    changed = json.loads(notice_json(notice())) | {name: value}
    with pytest.raises(ValueError, match=name):
        notice_from_json(json.dumps(changed))


def test_coverage_of_another_store_version_or_day_is_not_taken() -> None:
    others = (
        replace(coverage(), store="elm-row"),
        replace(coverage(), version=coverage().version + 1),
        replace(coverage(), as_of=AS_OF - timedelta(days=1)),
    )
    for other in others:
        with pytest.raises(ValueError, match="one store, one version and one day"):
            noticed(store(), covered=other)
